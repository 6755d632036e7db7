#define _POSIX_C_SOURCE 200809L /* access */
#include "cli/series.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/number.h"
#include "book/action_store.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "cli/book.h"
#include "market/longer.h"
#include "market/scale.h"
#include "prices/csv_collect.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* More lines than this are counted, not shown. */
enum { MOST_FAULTS_SAID = 20 };

struct loading {
    struct call *call;
    const char *path;
    struct series *series;
};

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    (void)error;
    struct loading *loading = context;
    if (loading->series->set_aside++ < MOST_FAULTS_SAID)
        call_say(loading->call, "%s:%llu: %s; line set aside", loading->path,
                 (unsigned long long)fault->line, fault->reason);
    return ERROR_NONE;
}

static int load_file(struct call *call, const char *path, struct series *series,
                     struct interval wanted, struct error *error)
{
    struct loading loading = {call, path, series};
    const struct csv_source source = {.path = path};
    struct csv_summary summary;
    struct session session;
    struct csv_options options = {.interval = wanted, .session = &session};
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE)
        code = csv_collect(&source, &options, &series->bars, take_fault, &loading, &summary, error);
    session_close(&session);
    if (code != ERROR_NONE)
        return code;
    if (series->set_aside > MOST_FAULTS_SAID)
        call_say(call, "%s: %zu more lines set aside", path, series->set_aside - MOST_FAULTS_SAID);
    if (series->set_aside > 0)
        call->incomplete = true;
    series->instrument.interval = summary.facts.interval;
    return ERROR_NONE;
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

/* Turns the bars into longer ones of `wanted`, by the instrument's session. */
static int make_longer(const char *word, struct series *series, struct interval wanted,
                       struct error *error)
{
    struct session session;
    struct longer longer;
    if (wanted.unit == INTERVAL_NONE || interval_equal(wanted, series->bars.interval))
        return ERROR_NONE;
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE) {
        code = longer_make(&longer, &series->bars, wanted, &session, error);
        if (code == ERROR_NONE) {
            bars_free(&series->bars);
            series->bars = longer.bars;
            bars_init(&longer.bars);
        } else {
            error_context(error, "%s", word);
        }
        longer_free(&longer);
    }
    session_close(&session);
    series->instrument.interval = wanted;
    return code;
}

/* The stored bars to read for `wanted`: those very bars, else the longest that
 * can make them; for no wish those the instrument is usually read on, else the
 * longest there are. */
static const struct stored_series *choose(const struct stored_series *series, size_t count,
                                          struct interval usual, struct interval wanted)
{
    const struct stored_series *best = NULL;
    bool any = wanted.unit == INTERVAL_NONE;
    for (size_t i = 0; i < count; i++) {
        if (series[i].count == 0)
            continue;
        if (interval_equal(series[i].interval, any ? usual : wanted))
            return &series[i];
        if (any || longer_possible(series[i].interval, wanted))
            best = &series[i];
    }
    return best;
}

static int load_stored(struct book *book, const char *word, struct series *series,
                       struct interval wanted, struct error *error)
{
    struct stored_series *stored = NULL;
    struct instrument *instrument = &series->instrument;
    size_t count = 0;
    int code = bars_store_list(book, instrument->id, &stored, &count, error);
    const struct stored_series *chosen = NULL;
    if (code == ERROR_NONE) {
        chosen = choose(stored, count, instrument->interval, wanted);
        if (chosen == NULL)
            code = error_set(error, ERROR_INPUT, "%s: the book has no bars of it%s; import some",
                             word, count > 0 ? " that short" : "");
    }
    if (code == ERROR_NONE)
        code = bars_store_load(book, chosen, INT64_MIN, INT64_MAX, &series->bars, error);
    for (size_t i = 0; code == ERROR_NONE && series->finest.unit == INTERVAL_NONE && i < count; i++)
        if (stored[i].count > 0)
            series->finest = stored[i].interval;
    free(stored);
    series->instrument.interval = series->bars.interval;
    series->ended = instrument->last_known;
    return code;
}

/* Keeps the dividends of the actions for the positions that receive them; a
 * later split that the prices hold makes more units of less money each. */
static void keep_dividends(struct series *series, struct action *actions, size_t count,
                           enum adjustment adjustment, int64_t view)
{
    size_t kept = 0;
    for (size_t i = 0; i < count && adjustment != ADJUST_ALL; i++) {
        struct action action = actions[i];
        if (action.kind != ACTION_DIVIDEND || action.date > view)
            continue;
        const struct price_scale *scale = bars_scale(&series->bars, action.date);
        if (scale != NULL)
            action.value /= scale->split;
        actions[kept++] = action;
    }
    series->dividends = actions;
    series->dividend_count = kept;
}

/* Applies what was known on the date of the view, its last bar. */
static int adjust(struct call *call, struct book *book, struct series *series, struct error *error)
{
    enum adjustment adjustment = (enum adjustment)call_choice(call, "adjust");
    struct action *actions = NULL;
    size_t count = 0;
    int64_t view = call_time(call, "to", INT64_MAX);
    int code = action_store_list(book, series->instrument.id, &actions, &count, error);
    if (code == ERROR_NONE && series->bars.count > 0) {
        int64_t last = series->bars.time[series->bars.count - 1];
        view = view < last ? view : last;
        code = bars_adjust(&series->bars, actions, count, adjustment, view, error);
        keep_dividends(series, actions, count, adjustment, view);
    } else {
        free(actions);
    }
    return code;
}

/* Whose prices the bars are to have; NULL: those of their own view. */
static int bring_to_view(struct call *call, struct book *book, const struct series *like,
                         struct series *series, struct error *error)
{
    if (like == NULL)
        return book != NULL ? adjust(call, book, series, error) : ERROR_NONE;
    return bars_apply_scales(&series->bars, like->bars.scales, like->bars.scale_count, error);
}

/* The changes of the tick, where nobody asks for another. */
static int load_ticks(struct call *call, struct book *book, struct series *series,
                      struct error *error)
{
    if (call_has(call, "tick") || series->tick_assumed)
        return ERROR_NONE;
    int code = instrument_store_ticks(book, series->instrument.id, &series->ticks,
                                      &series->tick_count, error);
    if (series->tick_count < 2)
        series->tick_count = 0;
    return code;
}

/* The tick that was asked for, else the smallest step seen. */
static int settle_tick(struct call *call, const char *word, struct series *series,
                       struct error *error)
{
    struct instrument *instrument = &series->instrument;
    double step = call_number(call, "tick");
    if (step > 0) {
        if (!tick_from_number(&instrument->tick, step))
            return error_set(error, ERROR_USAGE,
                             "--tick: found '%s'; a decimal of at most 15 places is allowed",
                             call_option(call, "tick"));
        instrument->tick_known = true;
        return ERROR_NONE;
    }
    if (instrument->tick_known || series->bars.count == 0)
        return ERROR_NONE;
    if (!tick_from_number(&instrument->tick, bars_smallest_step(&series->bars)))
        return error_set(error, ERROR_INPUT,
                         "%s: no price step can be seen in the prices; say it with --tick", word);
    char text[NUMBER_TEXT_SIZE];
    number_format(text, instrument->tick.value);
    call_say(call, "%s: no tick is known; taking the smallest step seen, %s (--tick says another)",
             word, text);
    instrument->tick_known = true;
    series->tick_assumed = true;
    return ERROR_NONE;
}

/* NAME or NAME@4h. */
static int open_stored(struct call *call, const char *word, const struct series *like,
                       struct series *series, struct interval wanted, struct error *error)
{
    struct book *book = NULL;
    char name[INSTRUMENT_NAME_SIZE];
    bool found = false;
    const char *at = strrchr(word, '@');
    size_t length = at != NULL ? (size_t)(at - word) : strlen(word);
    if (at != NULL && !interval_parse(at + 1, &wanted))
        return error_set(
            error, ERROR_USAGE,
            "%s: found '%s' behind the @; a length such as 1d, 1w, 4h or 30m is allowed", word,
            at + 1);
    if (call->book == NULL || access(call->book, F_OK) != 0)
        return error_set(error, ERROR_INPUT,
                         "%s: there is no such file, and no book to look it up in", word);
    if (length == 0 || length >= sizeof name)
        return error_set(error, ERROR_INPUT, "%s: there is no such file", word);
    memcpy(name, word, length);
    name[length] = '\0';
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_find(book, name, &series->instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT,
                         "%s: there is no such file, and no such instrument in the book", word);
    if (code == ERROR_NONE)
        code = load_stored(book, word, series, wanted, error);
    /* The tick is that of all prices as traded. */
    if (code == ERROR_NONE)
        code = settle_tick(call, word, series, error);
    if (code == ERROR_NONE)
        code = load_ticks(call, book, series, error);
    if (code == ERROR_NONE)
        code = bring_to_view(call, book, like, series, error);
    if (code == ERROR_NONE)
        code = make_longer(word, series, wanted, error);
    return book_done(book, code, error);
}

/* A price file; no book is needed. */
static int open_file(struct call *call, const char *path, const struct series *like,
                     struct series *series, struct interval wanted, struct error *error)
{
    const char *zone = call_option(call, "zone");
    if (!name_from_path(path, &series->instrument))
        return error_set(error, ERROR_INPUT, "%s: the file's name is no name for an instrument",
                         path);
    if (zone != NULL)
        snprintf(series->instrument.zone, sizeof series->instrument.zone, "%s", zone);
    int code = load_file(call, path, series, wanted, error);
    /* The tick is that of the whole file, so that a range does not change it. */
    if (code == ERROR_NONE)
        code = settle_tick(call, path, series, error);
    if (code == ERROR_NONE)
        code = bring_to_view(call, NULL, like, series, error);
    return code == ERROR_NONE ? make_longer(path, series, wanted, error) : code;
}

/* Leaves out what lies outside --from and --to, both included. */
static int cut_range(struct call *call, struct series *series, struct error *error)
{
    int64_t from = call_time(call, "from", INT64_MIN);
    int64_t to = call_time_end(call, "to", INT64_MAX);
    size_t first = bars_find(&series->bars, from);
    size_t end = to < INT64_MAX ? bars_find(&series->bars, to + 1) : series->bars.count;
    if (first == 0 && end == series->bars.count)
        return ERROR_NONE;
    struct bars part;
    int code = bars_slice(&part, &series->bars, first, end, error);
    if (code != ERROR_NONE)
        return code;
    bars_free(&series->bars);
    series->bars = part;
    return ERROR_NONE;
}

int series_open(struct call *call, const char *word, struct series *series, struct error *error)
{
    return series_open_like(call, word, NULL, series, error);
}

int series_open_like(struct call *call, const char *word, const struct series *like,
                     struct series *series, struct error *error)
{
    *series = (struct series){0};
    bars_init(&series->bars);
    struct interval wanted = call_interval(call, "interval");
    int code = access(word, F_OK) == 0 ? open_file(call, word, like, series, wanted, error)
                                       : open_stored(call, word, like, series, wanted, error);
    if (code == ERROR_NONE)
        code = cut_range(call, series, error);
    return code;
}

void series_free(struct series *series)
{
    bars_free(&series->bars);
    free(series->dividends);
    free(series->ticks);
    series->dividends = NULL;
    series->ticks = NULL;
}

void series_word_name(const char *word, char name[INSTRUMENT_NAME_SIZE])
{
    struct instrument instrument;
    if (access(word, F_OK) == 0 && name_from_path(word, &instrument))
        snprintf(name, INSTRUMENT_NAME_SIZE, "%s", instrument.name);
    else
        snprintf(name, INSTRUMENT_NAME_SIZE, "%.*s", (int)strcspn(word, "@"), word);
}

static int add_word(char ***words, size_t *count, size_t *capacity, const char *word,
                    struct error *error)
{
    char **grown = array_reserve(*words, capacity, *count + 1, sizeof *grown);
    if (grown != NULL)
        *words = grown;
    if (grown == NULL || (grown[*count] = string_copy(word)) == NULL)
        return error_memory(error);
    ++*count;
    return ERROR_NONE;
}

static int add_members(struct call *call, const char *list, char ***words, size_t *count,
                       size_t *capacity, struct error *error)
{
    struct book *book = NULL;
    char **members = NULL;
    size_t member_count = 0;
    bool found = false;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = list_store_members(book, list, &members, &member_count, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT,
                         "--list: there is no list '%s' in the book; 'lists' shows all", list);
    for (size_t i = 0; code == ERROR_NONE && i < member_count; i++)
        code = add_word(words, count, capacity, members[i], error);
    series_words_free(members, member_count);
    return book_done(book, code, error);
}

int series_words(struct call *call, size_t first, char ***words, size_t *count, struct error *error)
{
    *count = 0;
    *words = NULL;
    const char *list = call_option(call, "list");
    if (call->argument_count <= first && list == NULL)
        return error_set(error, ERROR_USAGE, "%s: name an instrument, or a list with --list",
                         call->command->name);
    size_t capacity = 0;
    int code = ERROR_NONE;
    for (size_t i = first; code == ERROR_NONE && i < call->argument_count; i++)
        code = add_word(words, count, &capacity, call->arguments[i], error);
    if (code == ERROR_NONE && list != NULL)
        code = add_members(call, list, words, count, &capacity, error);
    if (code != ERROR_NONE) {
        series_words_free(*words, *count);
        *words = NULL;
        *count = 0;
    }
    return code;
}

void series_words_free(char **words, size_t count)
{
    for (size_t i = 0; words != NULL && i < count; i++)
        free(words[i]);
    free(words);
}
