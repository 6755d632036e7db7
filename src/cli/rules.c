#include "cli/rules.h"

#include "base/array.h"
#include "base/text.h"
#include "book/event_store.h"
#include "cli/book.h"
#include "cli/progress.h"
#include "market/longer.h"
#include "market/scale.h"
#include "measures/series.h"
#include "prices/records.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Makes the bars that the setup is read on, where its interval is longer. */
static int settle_interval(const char *word, const struct setup *setup, struct series *series,
                           struct error *error)
{
    struct interval own = series->bars.interval;
    if (setup->interval.unit == INTERVAL_NONE || interval_equal(setup->interval, own))
        return ERROR_NONE;
    struct longer longer = {.known = NULL};
    struct session session;
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE)
        code = longer_make(&longer, &series->bars, setup->interval, &session, error);
    session_close(&session);
    if (code != ERROR_NONE) {
        longer_free(&longer);
        char asked[INTERVAL_TEXT_SIZE];
        char found[INTERVAL_TEXT_SIZE];
        interval_format(asked, setup->interval);
        interval_format(found, own);
        return error->code != ERROR_INPUT
                   ? error->code
                   : error_set(error, ERROR_INPUT,
                               "%s: setup %s is read on %s bars, which these (%s) cannot make; say "
                               "the file's own with --interval, or take another instrument",
                               word, setup->name, asked, found[0] != '\0' ? found : "unknown");
    }
    bars_free(&series->bars);
    series->bars = longer.bars;
    free(longer.known);
    return ERROR_NONE;
}

/* --- events and marks ------------------------------------------------------------ */

struct reading_extras {
    struct rules_case *opened;
    size_t event_room;
    size_t mark_room;
};

/* Whether a line is of this instrument: it names it, or `all`, or none. */
static bool is_of(const struct rules_case *opened, const char *name)
{
    return name == NULL || name[0] == '\0' || strcmp(name, "all") == 0 ||
           strcmp(name, opened->series.instrument.name) == 0;
}

static int add_event(struct reading_extras *extras, int64_t time, const char *kind,
                     struct error *error)
{
    struct rules_case *opened = extras->opened;
    struct setup_event *events = array_reserve(opened->events, &extras->event_room,
                                               opened->around.event_count + 1, sizeof *events);
    if (events == NULL)
        return error_memory(error);
    opened->events = events;
    struct setup_event event = {.time = time, .kind = string_copy(kind)};
    if (event.kind == NULL)
        return error_memory(error);
    events[opened->around.event_count++] = event;
    return ERROR_NONE;
}

static int take_event(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct reading_extras *extras = context;
    int64_t time = 0;
    (void)line;
    int code = record_time(fields[1], "time", &time, error);
    if (code != ERROR_NONE || !is_of(extras->opened, fields[2]))
        return code;
    return add_event(extras, time, fields[0], error);
}

/* Whether a list of criteria, or a group in it, asks for events. */
static bool asks_for_events(const struct criterion *list, size_t count)
{
    bool mirrored = false;
    const struct condition *row = condition_find("no_event", &mirrored);
    for (size_t i = 0; i < count; i++)
        if (list[i].condition == row || asks_for_events(list[i].parts, list[i].part_count))
            return true;
    return false;
}

/* The events of the book, for an instrument of it and a setup that asks. */
static int take_book_events(struct call *call, const struct setup *setup,
                            struct reading_extras *extras, struct error *error)
{
    const struct instrument *instrument = &extras->opened->series.instrument;
    struct event_choice choice = {.instrument = instrument->name,
                                  .from = INT64_MIN,
                                  .to = INT64_MAX};
    struct book *book = NULL;
    struct event *events = NULL;
    size_t count = 0;
    if (instrument->id == 0 || (!asks_for_events(setup->place.list, setup->place.count) &&
                                !asks_for_events(setup->confirm.list, setup->confirm.count) &&
                                !asks_for_events(setup->exit.when.list, setup->exit.when.count)))
        return ERROR_NONE;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = event_store_list(book, &choice, &events, &count, error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = add_event(extras, events[i].time, events[i].kind, error);
    free(events);
    return book_done(book, code, error);
}

static int take_own_mark(void *context, const char *const *fields, uint64_t line,
                         struct error *error)
{
    struct reading_extras *extras = context;
    struct rules_case *opened = extras->opened;
    struct own_mark mark = {0};
    (void)line;
    int code = record_number(fields[0], "price", &mark.price, error);
    if (code == ERROR_NONE)
        code = record_time(fields[1], "from", &mark.known_from, error);
    if (code != ERROR_NONE || !is_of(opened, fields[2]))
        return code;
    /* A level is marked in the prices of its day. */
    mark.price = scale_to_view(bars_scale(&opened->series.bars, mark.known_from), mark.price);
    struct own_mark *marks = array_reserve(opened->marks, &extras->mark_room,
                                           opened->around.mark_count + 1, sizeof *marks);
    if (marks == NULL)
        return error_memory(error);
    opened->marks = marks;
    marks[opened->around.mark_count++] = mark;
    return ERROR_NONE;
}

/* Finer bars of the same instrument: a file named as it is, or that file in a
 * folder. */
static int open_finer(struct call *call, const char *word, struct rules_case *opened,
                      struct error *error)
{
    struct stat status;
    struct text path;
    text_init(&path);
    text_append(&path, word);
    if (stat(word, &status) == 0 && S_ISDIR(status.st_mode))
        text_append_format(&path, "/%s.csv", opened->series.instrument.name);
    int code = text_failed(&path)
                   ? error_memory(error)
                   : series_open_like(call, path.bytes, &opened->series, &opened->finer, error);
    if (code == ERROR_NONE &&
        strcmp(opened->finer.instrument.name, opened->series.instrument.name) != 0)
        code = error_set(error, ERROR_USAGE,
                         "--finer: %s holds bars of %s, not of %s; give a folder with a file for "
                         "each instrument",
                         path.bytes, opened->finer.instrument.name, opened->series.instrument.name);
    text_free(&path);
    return code;
}

/* The shortest bars that the book has of the instrument, where the setup asks
 * for finer ones and nobody names them. */
static int open_finest(struct call *call, const struct setup *setup, struct rules_case *opened,
                       struct error *error)
{
    const struct series *series = &opened->series;
    if (setup->same_bar != SAME_BAR_FINER || opened->finer.bars.count > 0 ||
        interval_seconds(series->finest) == 0 ||
        interval_seconds(series->finest) >= interval_seconds(series->bars.interval))
        return ERROR_NONE;
    char interval[INTERVAL_TEXT_SIZE];
    struct text named;
    interval_format(interval, series->finest);
    text_init(&named);
    text_append_format(&named, "%s@%s", series->instrument.name, interval);
    int code = text_failed(&named) ? error_memory(error)
                                   : open_finer(call, named.bytes, opened, error);
    text_free(&named);
    return code;
}

/* What --events, --marks and --finer name. */
static int open_extras(struct call *call, const struct setup *setup, struct rules_case *opened,
                       struct error *error)
{
    static const struct record_column event_columns[] = {{"kind", true},
                                                         {"time", true},
                                                         {"instrument", false}};
    static const struct record_column mark_columns[] = {{"price", true},
                                                        {"from", true},
                                                        {"instrument", false}};
    struct reading_extras extras = {.opened = opened};
    const char *events = call_option(call, "events");
    const char *marks = call_option(call, "marks");
    const char *finer = call_option(call, "finer");
    int code = ERROR_NONE;
    if (events != NULL)
        code = records_read(events, event_columns, 3, take_event, &extras, error);
    if (code == ERROR_NONE)
        code = take_book_events(call, setup, &extras, error);
    if (code == ERROR_NONE && marks != NULL)
        code = records_read(marks, mark_columns, 3, take_own_mark, &extras, error);
    if (code == ERROR_NONE && finer != NULL)
        code = open_finer(call, finer, opened, error);
    opened->around.events = opened->events;
    opened->around.marks = opened->marks;
    return code;
}

/* --- opening --------------------------------------------------------------------- */

/* Of an instrument of the book the bars that the setup is read on, where nobody
 * names others. */
static int open_bars(struct call *call, const char *word, const struct setup *setup,
                     struct series *series, struct error *error)
{
    if (setup->interval.unit == INTERVAL_NONE || call_has(call, "interval") ||
        strchr(word, '@') != NULL || access(word, F_OK) == 0 || call->book == NULL ||
        access(call->book, F_OK) != 0)
        return series_open(call, word, series, error);
    char interval[INTERVAL_TEXT_SIZE];
    struct text named;
    interval_format(interval, setup->interval);
    text_init(&named);
    text_append_format(&named, "%s@%s", word, interval);
    int code = text_failed(&named) ? error_memory(error)
                                   : series_open(call, named.bytes, series, error);
    text_free(&named);
    return code;
}

static int take_dividends(struct rules_case *opened, struct error *error)
{
    const struct series *series = &opened->series;
    opened->flows = array_new(series->dividend_count, sizeof *opened->flows);
    if (opened->flows == NULL)
        return error_memory(error);
    for (size_t i = 0; i < series->dividend_count; i++)
        opened->flows[i] = (struct cash_flow){series->dividends[i].date,
                                              series->dividends[i].value};
    return ERROR_NONE;
}

/* With --provisional a partial last bar is taken as if it were whole. */
static void look_provisionally(struct call *call, const char *word, struct series *series)
{
    if (!series->bars.last_is_partial || !call_offers(call, "provisional") ||
        !call_has(call, "provisional"))
        return;
    call_say(call, "%s: the last bar is partial and is taken as it stands; it may still change",
             word);
    series->bars.last_is_partial = false;
}

int rules_open(struct call *call, const char *word, const struct setup *setup,
               struct rules_case *opened, struct error *error)
{
    *opened = (struct rules_case){0};
    int code = open_bars(call, word, setup, &opened->series, error);
    if (code == ERROR_NONE)
        code = settle_interval(word, setup, &opened->series, error);
    if (code == ERROR_NONE)
        code = open_extras(call, setup, opened, error);
    if (code == ERROR_NONE)
        code = open_finest(call, setup, opened, error);
    if (code == ERROR_NONE)
        code = take_dividends(opened, error);
    if (code != ERROR_NONE)
        return code;
    look_provisionally(call, word, &opened->series);
    const struct instrument *instrument = &opened->series.instrument;
    opened->sheet = sheet_of_instrument(&opened->series.bars, instrument);
    if (opened->sheet == NULL)
        return error_memory(error);
    opened->around.zone = instrument->zone;
    opened->terms = (struct trade_terms){.tick = instrument->tick,
                                         .ticks = opened->series.ticks,
                                         .tick_count = opened->series.tick_count,
                                         .point_value = instrument->point_value,
                                         .ended = opened->series.ended,
                                         .basis = instrument->basis,
                                         .flows = opened->flows,
                                         .flow_count = opened->series.dividend_count};
    if (opened->finer.bars.count > 0)
        opened->terms.finer = &opened->finer.bars;
    return setup_view_init(&opened->view, setup, opened->sheet, &opened->around, error);
}

void rules_close(struct rules_case *opened)
{
    for (size_t i = 0; i < opened->around.event_count; i++)
        free((char *)opened->events[i].kind);
    free(opened->events);
    free(opened->marks);
    free(opened->flows);
    sheet_free(opened->sheet);
    series_free(&opened->series);
    series_free(&opened->finer);
    *opened = (struct rules_case){0};
}

/* One instrument of a batch. */
struct slot {
    struct rules_case opened;
    void *result;
    struct error error;
    int code;
};

static int open_batch(struct call *call, const struct setup *setup, const struct rules_job *job,
                      char **words, struct slot *slots, size_t count, struct error *error)
{
    for (size_t i = 0; i < count; i++) {
        int code = rules_open(call, words[i], setup, &slots[i].opened, error);
        if (code != ERROR_NONE)
            return code;
        slots[i].result = calloc(1, job->result_size);
        if (slots[i].result == NULL)
            return error_memory(error);
    }
    return ERROR_NONE;
}

/* A few instruments at a time, so that their measures are made together. */
static void work_group(const struct rules_job *job, struct slot *slots, size_t count)
{
    const struct setup_view *views[LANE_COUNT];
    for (size_t i = 0; i < count; i++)
        views[i] = &slots[i].opened.view;
    setup_measure_ahead(views, count);
    for (size_t i = 0; i < count; i++)
        slots[i].code = job->work(&slots[i].opened, job->context, slots[i].result, &slots[i].error);
}

static void work_batch(const struct call *call, const struct rules_job *job, struct slot *slots,
                       size_t count)
{
#pragma omp parallel for schedule(dynamic, 1) num_threads(call->threads)
    for (size_t i = 0; i < count; i += LANE_COUNT)
        work_group(job, slots + i, count - i < LANE_COUNT ? count - i : LANE_COUNT);
}

static int run_batch(struct call *call, const struct setup *setup, const struct rules_job *job,
                     char **words, size_t count, struct error *error)
{
    struct slot *slots = calloc(count, sizeof *slots);
    if (slots == NULL)
        return error_memory(error);
    int code = open_batch(call, setup, job, words, slots, count, error);
    if (code == ERROR_NONE)
        work_batch(call, job, slots, count);
    for (size_t i = 0; i < count; i++) {
        if (code == ERROR_NONE && slots[i].code != ERROR_NONE) {
            *error = slots[i].error;
            code = slots[i].code;
        }
        if (code == ERROR_NONE)
            code = job->take(&slots[i].opened, job->context, slots[i].result, error);
        if (slots[i].result != NULL)
            job->clear(slots[i].result);
        free(slots[i].result);
        rules_close(&slots[i].opened);
    }
    free(slots);
    return code;
}

int rules_each(struct call *call, const struct setup *setup, const struct rules_job *job,
               struct error *error)
{
    char **words = NULL;
    size_t count = 0;
    int code = series_words(call, 0, &words, &count, error);
    if (code != ERROR_NONE)
        return code;
    /* Several instruments a thread, so that the last one of a batch keeps
     * nobody waiting for long; memory stays at a batch's. */
    size_t batch = (size_t)call->threads * 2 * LANE_COUNT;
    struct progress progress;
    progress_begin(&progress, call);
    for (size_t first = 0; first < count && code == ERROR_NONE; first += batch) {
        size_t size = count - first < batch ? count - first : batch;
        code = run_batch(call, setup, job, words + first, size, error);
        progress_show(&progress, (double)(first + size) / (double)count);
    }
    progress_end(&progress);
    series_words_free(words, count);
    return code;
}
