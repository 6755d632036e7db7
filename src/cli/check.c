/* `check`: what is odd about the bars. */
#include "base/array.h"
#include "base/calendar.h"
#include "book/instrument_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/paragraph.h"
#include "cli/series.h"
#include "cli/table.h"
#include "market/findings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct column columns[] = {
    {"instrument", "instrument", COLUMN_TEXT, 0},
    {"interval", "interval", COLUMN_TEXT, 0},
    {"finding", "finding", COLUMN_TEXT, 0},
    {"count", "count", COLUMN_INTEGER, 0},
    {"of", "of", COLUMN_INTEGER, 0},
    {"examples", "examples", COLUMN_TEXT, 0},
};

/* One instrument and what was found. */
struct checked {
    struct instrument instrument;
    struct interval interval;
    size_t bars;
    size_t set_aside;
    struct findings findings;
};

static void append_examples(struct text *text, const struct finding *finding, bool dated)
{
    for (size_t i = 0; i < finding->example_count; i++) {
        char time[CALENDAR_TEXT_SIZE];
        time_format(time, finding->examples[i].time, dated);
        text_append(text, i > 0 ? "; " : "");
        text_append(text, time);
        if (isnan(finding->examples[i].value))
            continue;
        text_append_format(text, " (%.6g)", finding->examples[i].value);
    }
}

static void put_rows(struct table *table, const struct checked *checked)
{
    char interval[INTERVAL_TEXT_SIZE];
    interval_format(interval, checked->interval);
    for (int k = 0; k < FINDING_KINDS; k++) {
        const struct finding *finding = &checked->findings.kinds[k];
        struct text text;
        if (finding->count == 0)
            continue;
        text_init(&text);
        append_examples(&text, finding, interval_is_dated(checked->interval));
        table_text(table, checked->instrument.name);
        table_text(table, interval);
        table_text(table, finding_name((enum finding_kind)k));
        table_integer(table, (int64_t)finding->count);
        table_integer(table, (int64_t)finding->of);
        table_text(table, text.bytes);
        text_free(&text);
    }
}

static void print_checked(FILE *out, const struct checked *checked)
{
    size_t found = 0;
    fprintf(out, "%s: %zu bars", checked->instrument.name, checked->bars);
    if (checked->set_aside > 0)
        fprintf(out, ", %zu lines set aside", checked->set_aside);
    fprintf(out, "\n");
    for (int k = 0; k < FINDING_KINDS; k++) {
        const struct finding *finding = &checked->findings.kinds[k];
        struct text text;
        if (finding->count == 0)
            continue;
        text_init(&text);
        text_append_format(&text, "%s: %llu of %llu, such as ", finding_name((enum finding_kind)k),
                           (unsigned long long)finding->count, (unsigned long long)finding->of);
        append_examples(&text, finding, interval_is_dated(checked->interval));
        text_append_format(&text, ". %s", finding_words((enum finding_kind)k));
        print_paragraph(out, text.bytes, 2);
        text_free(&text);
        found++;
    }
    if (found == 0)
        print_paragraph(out, "nothing odd was found.", 2);
}

static int load_ticks(struct call *call, const struct series *series, struct dated_tick **ticks,
                      size_t *count, struct error *error)
{
    struct book *book;
    *ticks = NULL;
    *count = 0;
    if (series->instrument.id != 0) {
        int code = book_of_call(call, BOOK_READ, &book, error);
        if (code == ERROR_NONE)
            code = instrument_store_ticks(book, series->instrument.id, ticks, count, error);
        return book_done(book, code, error);
    }
    /* Of a tick seen in the prices themselves nothing can be learnt. */
    if (series->tick_assumed)
        return ERROR_NONE;
    *ticks = array_new(1, sizeof **ticks);
    if (*ticks == NULL)
        return error_memory(error);
    (*ticks)[0] = (struct dated_tick){INT64_MIN, series->instrument.tick};
    *count = series->instrument.tick_known;
    return ERROR_NONE;
}

static int check_one(struct call *call, const struct series *series, int64_t newest,
                     struct checked *checked, struct error *error)
{
    struct dated_tick *ticks = NULL;
    size_t count = 0;
    int code = load_ticks(call, series, &ticks, &count, error);
    *checked = (struct checked){.instrument = series->instrument,
                                .interval = series->bars.interval,
                                .bars = series->bars.count,
                                .set_aside = series->set_aside};
    if (code == ERROR_NONE)
        code = findings_make(&checked->findings, &series->bars, &series->instrument, ticks, count,
                             newest, error);
    if (code != ERROR_NONE)
        error_context(error, "%s", series->instrument.name);
    free(ticks);
    return code;
}

/* The newest bar of all has to be known before the first can be judged; of the
 * bars themselves only one instrument's are held. */
static int find_newest(struct call *call, char **words, size_t count, int64_t *newest,
                       struct error *error)
{
    int code = ERROR_NONE;
    bool quiet = call->quiet;
    bool incomplete = call->incomplete;
    *newest = INT64_MIN;
    call->quiet = true;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        struct series series;
        code = series_open(call, words[i], &series, error);
        size_t bars = series.bars.count;
        if (code == ERROR_NONE && bars > 0 && series.bars.time[bars - 1] > *newest)
            *newest = series.bars.time[bars - 1];
        series_free(&series);
    }
    call->quiet = quiet;
    call->incomplete = incomplete;
    return code;
}

static int check_words(struct call *call, char **words, size_t count, struct table *table,
                       struct error *error)
{
    int64_t newest = INT64_MIN;
    int code = count > 1 ? find_newest(call, words, count, &newest, error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        struct series series;
        struct checked checked;
        code = series_open(call, words[i], &series, error);
        size_t bars = series.bars.count;
        if (code == ERROR_NONE && count == 1 && bars > 0)
            newest = series.bars.time[bars - 1];
        if (code == ERROR_NONE)
            code = check_one(call, &series, newest, &checked, error);
        if (code == ERROR_NONE && call->format == FORMAT_TEXT)
            print_checked(call->out, &checked);
        else if (code == ERROR_NONE)
            put_rows(table, &checked);
        series_free(&series);
    }
    return code;
}

/* Every instrument of the book. */
static int all_words(struct call *call, char ***words, size_t *count, struct error *error)
{
    struct book *book;
    struct instrument *all = NULL;
    size_t all_count = 0;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_all(book, &all, &all_count, error);
    *words = code == ERROR_NONE ? array_new(all_count, sizeof **words) : NULL;
    *count = 0;
    if (code == ERROR_NONE && *words == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < all_count; i++) {
        (*words)[*count] = string_copy(all[i].name);
        code = (*words)[*count] != NULL ? ERROR_NONE : error_memory(error);
        *count += code == ERROR_NONE;
    }
    free(all);
    return book_done(book, code, error);
}

int command_check(struct call *call, struct error *error)
{
    char **words = NULL;
    size_t count = 0;
    struct table table;
    bool named = call->argument_count > 0 || call_has(call, "list");
    int code = named ? series_words(call, 0, &words, &count, error)
                     : all_words(call, &words, &count, error);
    if (code == ERROR_NONE && call->format == FORMAT_TEXT) {
        code = check_words(call, words, count, NULL, error);
        if (code == ERROR_NONE)
            print_paragraph(call->out,
                            "Findings are questions, not faults: nothing was changed. "
                            "Look at the examples on the chart, or against a second "
                            "source.",
                            0);
    } else if (code == ERROR_NONE) {
        table_begin(&table, call, "findings", columns, sizeof columns / sizeof columns[0], false);
        code = check_words(call, words, count, &table, error);
        if (code == ERROR_NONE)
            code = table_end(&table, NULL, error);
        else
            text_free(&table.pending);
    }
    series_words_free(words, count);
    return code;
}
