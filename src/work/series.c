#define _POSIX_C_SOURCE 200809L /* access */
#include "work/series.h"

#include "base/number.h"
#include "base/words.h"
#include "book/instrument_store.h"
#include "market/longer.h"
#include "market/price_step.h"
#include "market/scale.h"
#include "prices/csv_collect.h"
#include "work/as_of.h"
#include "work/series_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* More lines than this are counted, not shown. */
enum { MOST_FAULTS_SAID = 20 };

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    const struct opening *opening = context;
    if (opening->series->set_aside++ >= MOST_FAULTS_SAID)
        return ERROR_NONE;
    return notices_add(opening->notices, error, NOTICE_SET_ASIDE, "%s:%llu: %s; line set aside",
                       opening->word, (unsigned long long)fault->line, fault->reason);
}

static int load_file(struct opening *opening, struct error *error)
{
    struct series *series = opening->series;
    const struct csv_source source = {.path = opening->word};
    struct csv_summary summary;
    struct session session;
    struct csv_options options = {.interval = opening->wanted,
                                  .zone = work_wishes(opening->work)->zone,
                                  .columns = opening->like == NULL
                                                 ? work_wishes(opening->work)->columns
                                                 : NULL,
                                  .session = &session};
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE)
        code = csv_collect(&source, &options, &series->bars, take_fault, opening, &summary, error);
    session_close(&session);
    if (code != ERROR_NONE)
        return code;
    series->instrument.interval = summary.facts.interval;
    code = as_of_cut(work_wishes(opening->work), &series->instrument, &series->bars, error);
    if (code != ERROR_NONE)
        return code;
    if (series->set_aside <= MOST_FAULTS_SAID)
        return ERROR_NONE;
    return notices_add(opening->notices, error, NOTICE_SET_ASIDE, "%s: %zu more %s set aside",
                       opening->word, series->set_aside - MOST_FAULTS_SAID,
                       count_word(series->set_aside - MOST_FAULTS_SAID, "line", "lines"));
}

/* The file's stem: `prices/amber.csv` names amber. */
static bool name_from_path(const char *path, struct instrument *instrument)
{
    char name[INSTRUMENT_NAME_SIZE];
    const char *slash = strrchr(path, '/');
    const char *start = slash != NULL ? slash + 1 : path;
    const char *dot = strrchr(start, '.');
    size_t length = dot != NULL && dot > start ? (size_t)(dot - start) : strlen(start);
    if (length >= sizeof name)
        return false;
    memcpy(name, start, length);
    name[length] = '\0';
    return instrument_init(instrument, name);
}

int opening_make_longer(const struct opening *opening, struct error *error)
{
    struct series *series = opening->series;
    struct session session;
    struct longer longer;
    if (opening->wanted.unit == INTERVAL_NONE ||
        interval_equal(opening->wanted, series->bars.interval))
        return ERROR_NONE;
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE) {
        code = longer_make(&longer, &series->bars, opening->wanted, &session, error);
        if (code == ERROR_NONE) {
            bars_free(&series->bars);
            series->bars = longer.bars;
            bars_init(&longer.bars);
        } else {
            error_context(error, "%s", opening->word);
        }
        longer_free(&longer);
    }
    session_close(&session);
    series->instrument.interval = opening->wanted;
    return code;
}

int opening_settle_tick(const struct opening *opening, struct error *error)
{
    struct series *series = opening->series;
    struct instrument *instrument = &series->instrument;
    const struct tick *wished = &work_wishes(opening->work)->tick;
    if (wished->value > 0) {
        instrument->tick = *wished;
        instrument->tick_known = true;
        return ERROR_NONE;
    }
    if (instrument->tick_known || series->bars.count == 0)
        return ERROR_NONE;
    struct likely_step likely;
    if (!bars_likely_step(&series->bars, &likely))
        return ERROR_NONE;
    instrument->tick = likely.tick;
    instrument->tick_known = true;
    series->tick_assumed = true;
    char text[NUMBER_TEXT_SIZE];
    number_format(text, instrument->tick.value);
    if (likely.beside == 0)
        return notices_add(opening->notices, error, NOTICE_TICK_ASSUMED,
                           "%s: no tick is known; taking the smallest step seen, %s", opening->word,
                           text);
    return notices_add(opening->notices, error, NOTICE_TICK_ASSUMED,
                       "%s: no tick is known; taking %s, on which all but %zu of %zu bars lie",
                       opening->word, text, likely.beside, series->bars.count);
}

/* A price file; no book is needed. */
static int from_file(struct opening *opening, struct error *error)
{
    struct series *series = opening->series;
    const char *zone = work_wishes(opening->work)->zone;
    if (!name_from_path(opening->word, &series->instrument))
        return error_set(error, ERROR_INPUT, "%s: the file's name is no name for an instrument",
                         opening->word);
    if (zone != NULL)
        snprintf(series->instrument.zone, sizeof series->instrument.zone, "%s", zone);
    int code = load_file(opening, error);
    /* The tick is that of all that is known, so that a range does not change it. */
    if (code == ERROR_NONE)
        code = opening_settle_tick(opening, error);
    if (code == ERROR_NONE && opening->like != NULL)
        code = bars_apply_scales(&series->bars, opening->like->bars.scales,
                                 opening->like->bars.scale_count, error);
    return code == ERROR_NONE ? opening_make_longer(opening, error) : code;
}

void series_settle_first(const struct work *work, struct series *series)
{
    series->first = bars_find(&series->bars, work_wishes(work)->from);
}

/* Leaves out what was not known yet at the end of the range wished for. What
 * comes before its beginning stays: it warms up. */
static int cut_range(const struct work *work, struct series *series, struct error *error)
{
    struct bars part;
    const struct wishes *wishes = work_wishes(work);
    size_t end = wishes->to < INT64_MAX ? bars_find(&series->bars, wishes->to + 1)
                                        : series->bars.count;
    if (end < series->bars.count) {
        int code = bars_slice(&part, &series->bars, 0, end, error);
        if (code != ERROR_NONE)
            return code;
        bars_free(&series->bars);
        series->bars = part;
    }
    series_settle_first(work, series);
    return ERROR_NONE;
}

/* What cannot be the name of an instrument. */
static bool is_path(const char *word)
{
    return word[0] == '/' || strncmp(word, "./", 2) == 0 || strncmp(word, "../", 3) == 0;
}

/* Whether the book has the instrument whose name a file might be. A book that
 * cannot be read has none whose place the file could take. */
static int find_in_book(const struct opening *opening, const char *name, bool *found,
                        struct error *error)
{
    struct book *book = NULL;
    struct instrument instrument;
    int code = work_borrow(opening->work, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_find(book, name, &instrument, found, error);
    work_return(opening->work, book);
    return code == ERROR_INPUT ? ERROR_NONE : code;
}

/* Whether a word is read as a file. A word that names an instrument of the book
 * stands for it whatever lies in the folder, and that is said. */
static int find_out_whether_file(const struct opening *opening, bool *file, struct error *error)
{
    struct work *work = opening->work;
    const char *word = opening->word;
    char name[INSTRUMENT_NAME_SIZE];
    bool found = false;
    *file = !opening->named && !work_wishes(work)->names_only && access(word, F_OK) == 0;
    if (!*file || is_path(word) || !work_has_book(work) || !opening_word_name(word, name))
        return ERROR_NONE;
    int code = find_in_book(opening, name, &found, error);
    *file = !found;
    if (code != ERROR_NONE || !found)
        return code;
    return notices_add(opening->notices, error, NOTICE_NO_FILE,
                       "%s: taking the instrument of the book; ./%s is the file of that name", word,
                       word);
}

static int open_word(struct opening *opening, struct error *error)
{
    bool file = false;
    *opening->series = (struct series){0};
    bars_init(&opening->series->bars);
    int code = work_stopped(opening->work, error);
    if (code == ERROR_NONE)
        code = find_out_whether_file(opening, &file, error);
    if (code == ERROR_NONE)
        code = file ? from_file(opening, error) : opening_from_book(opening, error);
    return code == ERROR_NONE ? cut_range(opening->work, opening->series, error) : code;
}

int series_open(struct work *work, struct notices *notices, const char *word, struct series *series,
                struct error *error)
{
    return series_open_up_to(work, notices, word, false, SIZE_MAX, series, error);
}

int series_open_named(struct work *work, struct notices *notices, const char *word,
                      struct series *series, struct error *error)
{
    return series_open_up_to(work, notices, word, true, SIZE_MAX, series, error);
}

int series_open_up_to(struct work *work, struct notices *notices, const char *word, bool named,
                      size_t most, struct series *series, struct error *error)
{
    struct opening opening = {.work = work,
                              .notices = notices,
                              .word = word,
                              .named = named,
                              .wanted = work_wishes(work)->interval,
                              .series = series,
                              .most = most};
    return open_word(&opening, error);
}

int series_open_like(struct work *work, struct notices *notices, const char *word,
                     const struct series *like, struct series *series, struct error *error)
{
    /* The interval wished for is that of the bars these are finer than. */
    struct opening opening = {.work = work,
                              .notices = notices,
                              .word = word,
                              .like = like,
                              .series = series,
                              .most = SIZE_MAX};
    return open_word(&opening, error);
}

void series_free(struct series *series)
{
    bars_free(&series->bars);
    free(series->dividends);
    free(series->ticks);
    series->dividends = NULL;
    series->ticks = NULL;
}

/* Whether a word leads to a file for want of an instrument of the book. */
static int leads_to_file(struct work *work, const char *word, bool *file, struct error *error)
{
    struct notices notices = {0};
    const struct opening opening = {.work = work, .notices = &notices, .word = word};
    int code = find_out_whether_file(&opening, file, error);
    notices_free(&notices);
    return code;
}

int series_word_name(struct work *work, const char *word, char name[INSTRUMENT_NAME_SIZE],
                     struct error *error)
{
    struct instrument instrument;
    bool file = false;
    int code = leads_to_file(work, word, &file, error);
    if (code == ERROR_NONE && file && name_from_path(word, &instrument))
        snprintf(name, INSTRUMENT_NAME_SIZE, "%s", instrument.name);
    else
        snprintf(name, INSTRUMENT_NAME_SIZE, "%.*s", (int)strcspn(word, "@"), word);
    return code;
}

int series_word_interval(struct work *work, const char *word, struct interval *interval,
                         struct error *error)
{
    const char *at = strrchr(word, '@');
    bool file = false;
    *interval = work_wishes(work)->interval;
    int code = at != NULL ? leads_to_file(work, word, &file, error) : ERROR_NONE;
    /* What is no length is found when the word is opened. */
    if (code == ERROR_NONE && at != NULL && !file)
        interval_parse(at + 1, interval);
    return code;
}

int series_word_is_plain(struct work *work, struct notices *notices, const char *word, bool *plain,
                         struct error *error)
{
    bool file = false;
    *plain = false;
    if (strchr(word, '@') != NULL || !work_has_book(work))
        return ERROR_NONE;
    const struct opening opening = {.work = work, .notices = notices, .word = word};
    int code = find_out_whether_file(&opening, &file, error);
    *plain = code == ERROR_NONE && !file;
    return code;
}
