/* Ten thousand files in dialects drawn by chance read back as what was
 * written. */
#include "prices/csv_collect.h"

#include "base/calendar.h"
#include "base/random.h"
#include "base/text.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { SEED = 20260301, FILES = 10000 };

enum date_style {
    ISO,
    SLASHED_ISO,
    BARE,
    NAMED,
    NAMED_SHORT,
    NAME_FIRST,
    DMY,
    MDY,
    DOTTED,
    EPOCH,
    EPOCH_MS,
    DATE_STYLES
};

struct dialect {
    char separator;
    bool comma; /* decimal comma */
    bool thousands;
    bool quotes;
    bool mark; /* byte order mark */
    const char *line_end;
    bool last_line_end;
    bool newest_first;
    bool volume;
    bool extra; /* a column that nobody needs */
    bool intraday;
    bool two_columns; /* date and time of day apart */
    bool half_days;   /* 4:00 PM */
    bool title_case;
    enum date_style date;
    int order[8]; /* of the columns */
    int places;
};

static bool chance(struct random_stream *random, uint64_t of)
{
    return random_below(random, of) == 0;
}

static struct dialect draw(struct random_stream *random)
{
    static const char separators[] = ",;\t|";
    static const char *const ends[] = {"\n", "\r\n", "\n", "\r"};
    struct dialect d = {.separator = separators[random_below(random, 4)],
                        .line_end = ends[random_below(random, 4)],
                        .quotes = chance(random, 3),
                        .mark = chance(random, 4),
                        .last_line_end = !chance(random, 4),
                        .newest_first = chance(random, 3),
                        .volume = !chance(random, 3),
                        .extra = chance(random, 3),
                        .intraday = chance(random, 2),
                        .title_case = chance(random, 2),
                        .date = (enum date_style)random_below(random, DATE_STYLES),
                        .places = 1 + (int)random_below(random, 4)};
    d.comma = chance(random, 3);
    d.thousands = chance(random, 3);
    /* What cannot be told apart is not written so: a comma inside an unquoted
     * cell of a comma file; three places, which look like thousands. */
    if (d.separator == ',' && (d.comma || d.thousands))
        d.quotes = true;
    if (d.places == 3 && (d.comma || d.thousands))
        d.places = 2;
    d.two_columns = d.intraday && d.date != EPOCH && d.date != EPOCH_MS && chance(random, 3);
    d.half_days = chance(random, 3) && d.date != BARE;
    for (int i = 0; i < 8; i++)
        d.order[i] = i;
    for (int i = 7; i > 0; i--) {
        int j = (int)random_below(random, (uint64_t)i + 1);
        int swap = d.order[i];
        d.order[i] = d.order[j];
        d.order[j] = swap;
    }
    return d;
}

static void append_clock(struct text *cell, const struct dialect *d, const struct civil_time *c)
{
    if (d->half_days)
        text_append_format(cell, "%d:%02d %s", c->hour % 12 == 0 ? 12 : c->hour % 12, c->minute,
                           c->hour < 12 ? "AM" : "PM");
    else
        text_append_format(cell, "%02d:%02d:%02d", c->hour, c->minute, c->second);
}

static void append_date(struct text *cell, const struct dialect *d, int64_t time)
{
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    struct civil_time c;
    civil_from_time(&c, time);
    switch (d->date) {
    case ISO: text_append_format(cell, "%04d-%02d-%02d", c.year, c.month, c.day); break;
    case SLASHED_ISO: text_append_format(cell, "%04d/%02d/%02d", c.year, c.month, c.day); break;
    case BARE: text_append_format(cell, "%04d%02d%02d", c.year, c.month, c.day); break;
    case NAMED: text_append_format(cell, "%d %s %04d", c.day, months[c.month - 1], c.year); break;
    case NAMED_SHORT:
        text_append_format(cell, "%02d-%s-%02d", c.day, months[c.month - 1], c.year % 100);
        break;
    case NAME_FIRST:
        text_append_format(cell, d->quotes || d->separator != ',' ? "%s %d, %04d" : "%s %d %04d",
                           months[c.month - 1], c.day, c.year);
        break;
    case DMY: text_append_format(cell, "%02d/%02d/%04d", c.day, c.month, c.year); break;
    case MDY: text_append_format(cell, "%d/%d/%04d", c.month, c.day, c.year); break;
    case DOTTED: text_append_format(cell, "%d.%d.%02d", c.day, c.month, c.year % 100); break;
    case EPOCH: text_append_format(cell, "%lld", (long long)time); break;
    default: text_append_format(cell, "%lld", (long long)time * 1000); break;
    }
    if (d->intraday && !d->two_columns && d->date != EPOCH && d->date != EPOCH_MS) {
        text_append_char(cell, d->date == ISO && d->places == 1 ? 'T' : ' ');
        append_clock(cell, d, &c);
    }
}

static void append_price(struct text *cell, const struct dialect *d, double value)
{
    char digits[64];
    int length = snprintf(digits, sizeof digits, "%.*f", d->places, fabs(value));
    int whole = length - d->places - 1;
    if (value < 0)
        text_append_char(cell, '-');
    for (int i = 0; i < whole; i++) {
        text_append_char(cell, digits[i]);
        if (d->thousands && whole - i > 1 && (whole - i - 1) % 3 == 0)
            text_append_char(cell, d->comma ? '.' : ',');
    }
    text_append_char(cell, d->comma ? ',' : '.');
    text_append(cell, digits + whole + 1);
}

static const char *const names[8] = {"date",  "open",   "high", "low",
                                     "close", "volume", "time", "note"};

static bool has_column(const struct dialect *d, int column)
{
    return column < 5 || (column == 5 && d->volume) || (column == 6 && d->two_columns) ||
           (column == 7 && d->extra);
}

static void append_cell(struct text *cell, const struct dialect *d, const struct bar *bar,
                        int column)
{
    const double prices[] = {0, bar->open, bar->high, bar->low, bar->close};
    struct civil_time c;
    switch (column) {
    case 0: append_date(cell, d, bar->time); break;
    case 5:
        if (!isnan(bar->volume))
            text_append_format(cell, "%.0f", bar->volume);
        break;
    case 6:
        civil_from_time(&c, bar->time);
        append_clock(cell, d, &c);
        break;
    case 7: text_append(cell, "a word"); break;
    default: append_price(cell, d, prices[column]); break;
    }
}

static void append_line(struct text *text, const struct dialect *d, const struct bar *bar)
{
    bool first = true;
    for (int i = 0; i < 8; i++) {
        int column = d->order[i];
        struct text cell;
        if (!has_column(d, column))
            continue;
        text_init(&cell);
        if (!first)
            text_append_char(text, d->separator);
        first = false;
        if (bar == NULL) {
            text_append(&cell, names[column]);
            if (d->title_case)
                cell.bytes[0] = (char)(cell.bytes[0] - 'a' + 'A');
        } else {
            append_cell(&cell, d, bar, column);
        }
        text_append_format(text, d->quotes ? "\"%s\"" : "%s", cell.bytes);
        text_free(&cell);
    }
}

static struct bars draw_bars(struct random_stream *random, const struct dialect *d)
{
    struct bars bars;
    struct error error;
    bars_init(&bars);
    double power = pow(10, d->places);
    /* Both halves of a month come up, so that the order of day and month shows;
     * and years that two digits can say. */
    size_t count = 25 + random_below(random, 40);
    int64_t time = (int64_t)random_below(random, 12000) * SECONDS_PER_DAY + SECONDS_PER_DAY * 4383;
    for (size_t i = 0; i < count; i++) {
        double at[4];
        for (int k = 0; k < 4; k++)
            at[k] = (double)random_below(random, 5000000) - 300000;
        double high = fmax(fmax(at[0], at[1]), fmax(at[2], at[3]));
        double low = fmin(fmin(at[0], at[1]), fmin(at[2], at[3]));
        double volume = !d->volume || chance(random, 9) ? NAN
                                                        : (double)random_below(random, 100000);
        struct bar bar = {time, at[0] / power, high / power, low / power, at[3] / power, volume};
        assert_int_equal(bars_append(&bars, &bar, &error), ERROR_NONE);
        time += d->intraday ? 43200 : SECONDS_PER_DAY;
    }
    return bars;
}

static int no_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    (void)error;
    text_append_format(context, "%llu: %s: %s\n", (unsigned long long)fault->line, fault->reason,
                       fault->text);
    return ERROR_NONE;
}

static void check_file(uint64_t number)
{
    struct random_stream random;
    struct text text;
    struct text faults;
    struct bars read;
    struct csv_summary summary;
    struct error error = {0};
    random_start(&random, SEED, number);
    struct dialect d = draw(&random);
    struct bars bars = draw_bars(&random, &d);
    text_init(&text);
    text_init(&faults);
    bars_init(&read);
    if (d.mark)
        text_append(&text, "\xef\xbb\xbf");
    append_line(&text, &d, NULL);
    text_append(&text, d.line_end);
    for (size_t i = 0; i < bars.count; i++) {
        struct bar bar = bars_at(&bars, d.newest_first ? bars.count - 1 - i : i);
        append_line(&text, &d, &bar);
        if (i + 1 < bars.count || d.last_line_end)
            text_append(&text, d.line_end);
    }
    const struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    const struct csv_source source = {.bytes = text.bytes, .length = text.length, .name = "f"};
    int code = csv_collect(&source, &options, &read, no_fault, &faults, &summary, &error);
    bool same = code == ERROR_NONE && read.count == bars.count;
    for (size_t i = 0; same && i < bars.count; i++) {
        struct bar a = bars_at(&bars, i);
        struct bar b = bars_at(&read, i);
        same = a.time == b.time && a.open == b.open && a.high == b.high && a.low == b.low &&
               a.close == b.close && (a.volume == b.volume || (isnan(a.volume) && isnan(b.volume)));
    }
    if (!same)
        fail_msg("file %llu of seed %d: %s\n%s\n%.*s", (unsigned long long)number, SEED, error.text,
                 faults.bytes, 900, text.bytes);
    text_free(&text);
    text_free(&faults);
    bars_free(&bars);
    bars_free(&read);
}

static void files_read_back(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < FILES; i++)
        check_file(i);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(files_read_back)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
