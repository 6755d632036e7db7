/* Instruments held open for a setup that changes: what is counted is what a plain
 * count over the same prices finds, also after a number was moved there and back;
 * one that asks for events gets them though the one before asked for none. The
 * plain counts are written out here and use nothing of the engine. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "base/random.h"
#include "book/event_store.h"
#include "book/import.h"
#include "setup/fields.h"
#include "work/held.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { DAYS = 900, FIRST_DAY = 18628 /* 2021-01-01 */ };

static char folder[] = "/tmp/rushlight-held-XXXXXX";
static char path[64];
static double lows[DAYS], highs[DAYS], closes[DAYS];

static void write_day(FILE *out, struct random_stream *stream, int day)
{
    char date[CALENDAR_TEXT_SIZE];
    double open = day > 0 ? closes[day - 1] : 100;
    closes[day] = round((open + random_unit(stream) * 4 - 2) * 10) / 10;
    /* As they read back from the file, so that equal prices are equal. */
    highs[day] = round(fmax(open, closes[day]) * 10 + random_unit(stream) * 10 + 1) / 10;
    lows[day] = round(fmin(open, closes[day]) * 10 - random_unit(stream) * 10) / 10;
    time_format(date, (FIRST_DAY + day) * SECONDS_PER_DAY, true);
    fprintf(out, "%s,%.1f,%.1f,%.1f,%.1f\n", date, open, highs[day], lows[day], closes[day]);
}

static int fill_book(struct book *book, const char *prices, struct error *error)
{
    struct import_result result;
    /* The last day is over. */
    struct import_options options = {.instrument = "marsh",
                                     .tick = 0.1,
                                     .now = (FIRST_DAY + DAYS + 9) * SECONDS_PER_DAY};
    const struct event event = {.time = (FIRST_DAY + 500) * SECONDS_PER_DAY,
                                .dated = true,
                                .kind = "report"};
    bool added = false;
    int code = import_file(book, prices, &options, &(struct import_watch){0}, &result, error);
    if (code == ERROR_NONE && result.set_aside > 0)
        code = error_set(error, ERROR_INPUT, "%llu lines were set aside",
                         (unsigned long long)result.set_aside);
    if (code == ERROR_NONE)
        code = book_begin(book, "test", error);
    if (code == ERROR_NONE)
        code = event_store_add(book, &event, &added, error);
    return code == ERROR_NONE ? book_commit(book, error) : code;
}

static int make(void **state)
{
    struct random_stream stream;
    struct book *book = NULL;
    struct error error = {0};
    char prices[96];
    (void)state;
    if (mkdtemp(folder) == NULL)
        return -1;
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    snprintf(prices, sizeof prices, "%s/prices.csv", folder);
    FILE *out = fopen(prices, "w");
    if (out == NULL)
        return -1;
    random_start(&stream, 20260712, 0);
    fprintf(out, "date,open,high,low,close\n");
    for (int day = 0; day < DAYS; day++)
        write_day(out, &stream, day);
    fclose(out);
    int code = book_open(&book, path, BOOK_WRITE, 10, &error);
    if (code == ERROR_NONE)
        code = fill_book(book, prices, &error);
    if (code != ERROR_NONE)
        fprintf(stderr, "%s\n", error.text);
    book_close(book, &error);
    return code;
}

static int unmake(void **state)
{
    char command[96];
    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

/* --- plain counts ---------------------------------------------------------------------- */

/* Bars whose low is at or below that of each of `bars` bars before. */
static size_t count_lowest(int bars, bool *meets)
{
    size_t count = 0;
    for (int day = 0; day < DAYS; day++) {
        bool lowest = day >= bars;
        for (int before = day - bars; lowest && before < day; before++)
            lowest = lows[day] <= lows[before];
        meets[day] = lowest;
        count += lowest;
    }
    return count;
}

/* Bars that close above the average of the last `bars` closes. */
static size_t count_above(int bars, bool *meets)
{
    size_t count = 0;
    for (int day = 0; day < DAYS; day++) {
        double sum = 0;
        for (int i = day - bars + 1; day >= bars - 1 && i <= day; i++)
            sum += closes[i];
        meets[day] = day >= bars - 1 && closes[day] > sum / bars + 1e-9;
        count += meets[day];
    }
    return count;
}

/* --- the program's ------------------------------------------------------------------------- */

static struct setup read_setup(const char *place)
{
    struct setup setup;
    struct error error = {0};
    struct text text;
    text_init(&text);
    text_append_format(&text,
                       "setup: held\nside: long\ncandle: {shape: any}\nplace:\n%sentry: {on: "
                       "next_open}\nstop: {at: candle_low}\nexit: {targets: [{r: 2, share: 1}]}\n",
                       place);
    if (setup_read(&setup, "held", text.bytes, text.length, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    text_free(&text);
    return setup;
}

static struct work *begin_work(void)
{
    struct wishes wishes;
    struct work *work = NULL;
    struct error error = {0};
    wishes_init(&wishes);
    wishes.book = path;
    wishes.everything = true;
    assert_int_equal(work_open(&work, &wishes, &(struct voice){0}, &error), ERROR_NONE);
    return work;
}

static struct tally count_with(struct held *held, struct setup *setup)
{
    struct tally tally;
    struct error error = {0};
    struct work *work = begin_work();
    assert_int_equal(held_open(held, work, setup, "now", &error), ERROR_NONE);
    assert_int_equal(held_tally(held, work, setup, &tally, &error), ERROR_NONE);
    assert_int_equal(work_close(work, ERROR_NONE, &error), ERROR_NONE);
    return tally;
}

static const struct tally_row *place_row(const struct tally *tally, size_t item)
{
    for (size_t i = 0; i < tally->count; i++)
        if (tally->rows[i].section == CHECK_PLACE && tally->rows[i].item == item)
            return &tally->rows[i];
    fail_msg("there is no row %zu", item);
    return NULL;
}

static void counts_are_plain_counts(void **state)
{
    static bool low[DAYS], above[DAYS];
    struct held held = {0};
    struct setup setup = read_setup("  - lowest_low: {bars: 5}\n  - compare: {value: close, above: "
                                    "{average: {bars: 3}}}\n");
    (void)state;
    static const int lengths[] = {5, 2, 9, 5};
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        setup.place.list[0].values[0] = lengths[i];
        size_t alone = count_lowest(lengths[i], low);
        size_t others = count_above(3, above);
        size_t both = 0;
        for (int day = 0; day < DAYS; day++)
            both += low[day] && above[day];
        struct tally tally = count_with(&held, &setup);
        assert_int_equal(tally.bars, DAYS);
        assert_int_equal(place_row(&tally, 0)->alone, alone);
        assert_int_equal(place_row(&tally, 1)->alone, others);
        assert_int_equal(place_row(&tally, 1)->together, both);
        assert_int_equal(tally.signals, both);
        assert_true(both > 0 && both < alone);
    }
    held_free(&held);
    setup_free(&setup);
}

static void events_come_when_they_are_asked_for(void **state)
{
    struct held held = {0};
    struct setup without = read_setup("  - lowest_low: {bars: 5}\n");
    struct setup with = read_setup("  - no_event: {kind: report, before: 2, after: 2}\n");
    (void)state;
    count_with(&held, &without);
    assert_int_equal(held.list[0].opened.around.event_count, 0);
    count_with(&held, &with);
    assert_int_equal(held.list[0].opened.around.event_count, 1);
    held_free(&held);
    setup_free(&without);
    setup_free(&with);
}

static void cases_come_in_order(void **state)
{
    static bool low[DAYS];
    struct held held = {0};
    struct held_cases cases;
    struct error error = {0};
    struct setup setup = read_setup("  - lowest_low: {bars: 5}\n");
    struct work *work = begin_work();
    size_t next = 0;
    (void)state;
    count_lowest(5, low);
    assert_int_equal(held_open(&held, work, &setup, "now", &error), ERROR_NONE);
    assert_int_equal(held_cases_find(&held, work, &setup, &cases, &error), ERROR_NONE);
    for (int day = 0; day < DAYS; day++)
        if (low[day])
            assert_int_equal(cases.list[next++].time, (FIRST_DAY + day) * SECONDS_PER_DAY);
    assert_int_equal(next, cases.count);
    held_cases_by_nearness(&cases);
    for (size_t i = 1; i < cases.count; i++)
        assert_true(cases.list[i - 1].nearness <= cases.list[i].nearness);
    held_cases_free(&cases);
    held_free(&held);
    assert_int_equal(work_close(work, ERROR_NONE, &error), ERROR_NONE);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_are_plain_counts),
        cmocka_unit_test(events_come_when_they_are_asked_for),
        cmocka_unit_test(cases_come_in_order),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
