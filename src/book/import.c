#include "book/import.h"

#include "base/array.h"
#include "book/action_store.h"
#include "book/import_store.h"
#include "book/instrument_store.h"
#include "book/newest_store.h"
#include "market/readjust.h"
#include "market/unadjust.h"
#include "prices/csv_apart.h"
#include "prices/file_hash.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <xxhash.h>

/* Contradictions that are held to be told at the end; of more than these the
 * book alone has each. */
enum { MOST_HELD = 1000 };

/* Files of this many bytes and more are read on a thread of their own. */
enum { LEAST_APART = 1 << 20 };

struct importer {
    struct book *book;
    const char *path;
    const struct import_options *options;
    const struct import_watch *watch;
    struct import_result *result;
    struct bars_writer writer;
    bool writing; /* the writer is open */
    struct source_writer notes;
    struct source source;
    struct file_hasher *hasher; /* of what is read; its end goes into `source` */
    struct session session;
    struct csv_options csv;
    struct columns_row kept;  /* of the book, for files of such a name */
    struct csv_wishes wishes; /* which column is what */
    const char *columns;      /* the same as text; NULL: as the header says */
    /* Contradictions, until it is known whether one adjustment explains them. */
    struct bars old;
    struct bars new;
    struct readjust_search search;
    bool undo; /* second reading: bars before `adjusted.before` are taken back */
    struct readjustment adjusted;
    /* The file is adjusted, as the book's actions say. */
    struct unadjust unadjust;
    struct bar_tolerance *tolerances;
};

static int no_name(const struct importer *importer, const char *given, struct error *error)
{
    return error_because(error, ERROR_INPUT, ERROR_REASON_NO_NAME,
                         "%s: '%.60s' is no name for an instrument; %s", importer->path, given,
                         instrument_name_rule);
}

/* The file's stem: `prices/amber.csv` names amber. */
static int name_instrument(struct importer *importer, struct error *error)
{
    struct instrument *instrument = &importer->result->instrument;
    char name[INSTRUMENT_NAME_SIZE] = "";
    const char *given = importer->options->instrument;
    if (given == NULL) {
        const char *slash = strrchr(importer->path, '/');
        const char *start = slash != NULL ? slash + 1 : importer->path;
        const char *dot = strrchr(start, '.');
        size_t length = dot != NULL && dot > start ? (size_t)(dot - start) : strlen(start);
        if (length < sizeof name)
            snprintf(name, sizeof name, "%.*s", (int)length, start);
        given = name;
    }
    bool found = false;
    if (!instrument_init(instrument, given))
        return no_name(importer, given, error);
    int code = instrument_store_find(importer->book, given, instrument, &found, error);
    if (code != ERROR_NONE || found)
        return code;
    if (!instrument_name_allowed(given))
        return no_name(importer, given, error);
    if (importer->options->zone != NULL)
        snprintf(instrument->zone, sizeof instrument->zone, "%s", importer->options->zone);
    return ERROR_NONE;
}

static void say_contradiction(struct importer *importer, enum bar_outcome outcome,
                              const struct bar *old, const struct bar *new)
{
    const struct import_watch *watch = importer->watch;
    if (watch->contradiction != NULL)
        watch->contradiction(watch->context, importer->path, outcome, old, new,
                             interval_is_dated(importer->result->interval));
}

/* Says what was held back. */
static void say_held(struct importer *importer)
{
    for (size_t i = 0; i < importer->old.count; i++) {
        struct bar old = bars_at(&importer->old, i);
        struct bar new = bars_at(&importer->new, i);
        say_contradiction(importer, BAR_KEPT_OUT, &old, &new);
    }
    importer->old.count = importer->new.count = 0;
}

/* Notes a bar that is no longer, or never was, in the series. */
static int take_contradiction(void *context, enum bar_outcome outcome, const struct bar *old,
                              const struct bar *new, struct error *error)
{
    struct importer *importer = context;
    bool replaced = outcome == BAR_REPLACED;
    int code = source_writer_revision(&importer->notes, replaced ? old : new, replaced, error);
    if (replaced || importer->undo) {
        say_contradiction(importer, outcome, old, new);
        return code;
    }
    readjust_note(&importer->search, old, new);
    if (code == ERROR_NONE && importer->old.count < MOST_HELD) {
        code = bars_append(&importer->old, old, error);
        if (code == ERROR_NONE)
            code = bars_append(&importer->new, new, error);
    }
    return code;
}

static uint64_t hash_actions(const struct action *actions, size_t count)
{
    uint64_t hash = 0;
    for (size_t i = 0; i < count; i++) {
        int64_t kind = actions[i].kind;
        hash = XXH3_64bits_withSeed(&actions[i].date, sizeof actions[i].date, hash);
        hash = XXH3_64bits_withSeed(&kind, sizeof kind, hash);
        hash = XXH3_64bits_withSeed(&actions[i].value, sizeof actions[i].value, hash);
    }
    return hash;
}

/* How the file is read, as text: another way of reading is another import. */
static void describe(struct importer *importer)
{
    const struct import_options *options = importer->options;
    char interval[INTERVAL_TEXT_SIZE];
    interval_format_kept(interval, options->interval);
    snprintf(importer->source.options, sizeof importer->source.options,
             "interval=%s zone=%s dates=%d replace=%d%s", interval,
             options->zone != NULL ? options->zone : "", (int)options->dates, options->replace,
             options->whole ? " whole" : "");
    const struct unadjust *unadjust = &importer->unadjust;
    size_t length = strlen(importer->source.options);
    if (importer->columns != NULL)
        length += (size_t)snprintf(importer->source.options + length,
                                   sizeof importer->source.options - length, " columns=%s",
                                   importer->columns);
    if (options->adjustment != ADJUST_NONE)
        snprintf(importer->source.options + length, sizeof importer->source.options - length,
                 " adjust=%s actions=%016llx", adjustment_name(options->adjustment),
                 (unsigned long long)hash_actions(unadjust->actions, unadjust->count));
    struct stat status;
    if (stat(importer->path, &status) == 0 && S_ISREG(status.st_mode))
        importer->source.size = (uint64_t)status.st_size;
    importer->source.file = importer->path;
    importer->source.imported = options->now;
}

/* The partial bar that earlier observations left goes on. */
static int take_up_partial(struct importer *importer, struct error *error)
{
    const struct stored_series *series = &importer->writer.series;
    struct bars last;
    if (!series->partial || !series->observed_known)
        return ERROR_NONE;
    bars_init(&last);
    int code = bars_store_load(importer->book, series, series->last, series->last, &last, error);
    if (code == ERROR_NONE && last.count == 1) {
        importer->csv.continues = true;
        importer->csv.partial = bars_at(&last, 0);
        importer->csv.observed = series->observed;
    }
    bars_free(&last);
    return code;
}

static int begin(void *context, const struct csv_facts *facts, struct error *error)
{
    struct importer *importer = context;
    struct instrument *instrument = &importer->result->instrument;
    struct bars_writer *writer = &importer->writer;
    if (facts->interval.unit == INTERVAL_NONE)
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_LENGTH,
                             "the length of its bars cannot be seen");
    importer->result->interval = facts->interval;
    if (facts->observations && importer->options->adjustment != ADJUST_NONE)
        return error_because(error, ERROR_INPUT, ERROR_REASON_OBSERVATIONS,
                             "it holds observations, which are taken as traded");
    int code = ERROR_NONE;
    if (importer->options->tick > 0)
        instrument->tick_known = tick_from_number(&instrument->tick, importer->options->tick);
    if (instrument->id == 0 || importer->options->tick > 0) {
        if (instrument->interval.unit == INTERVAL_NONE)
            instrument->interval = facts->interval;
        code = instrument_store_save(importer->book, instrument, error);
    }
    *writer = (struct bars_writer){.book = importer->book,
                                   .replace = importer->options->replace,
                                   .context = importer,
                                   .contradiction = take_contradiction};
    writer->tolerances = importer->tolerances;
    writer->tolerance_count = importer->undo ? 1 : importer->unadjust.scale_count;
    if (code == ERROR_NONE)
        code = bars_store_find(importer->book, instrument->id, facts->interval, true,
                               &writer->series, error);
    if (code == ERROR_NONE && facts->observations)
        code = take_up_partial(importer, error);
    if (code == ERROR_NONE) {
        code = bars_writer_begin(writer, error);
        importer->writing = true;
    }
    if (code == ERROR_NONE)
        code = source_writer_begin(&importer->notes, importer->book, &importer->source,
                                   writer->series.id, error);
    return code;
}

static int take_bars(void *context, const struct bars *block, struct error *error)
{
    struct importer *importer = context;
    struct bars traded;
    if (!importer->undo && importer->unadjust.scale_count == 0)
        return bars_writer_merge(&importer->writer, block, error);
    int code = bars_slice(&traded, block, 0, block->count, error);
    if (code == ERROR_NONE) {
        if (importer->undo)
            bars_undo_readjustment(&traded, &importer->adjusted);
        unadjust_bars(&importer->unadjust, &traded);
        code = bars_writer_merge(&importer->writer, &traded, error);
    }
    bars_free(&traded);
    return code;
}

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    struct importer *importer = context;
    if (importer->watch->set_aside != NULL)
        importer->watch->set_aside(importer->watch->context, importer->path, fault);
    return source_writer_set_aside(&importer->notes, fault->line, fault->text, fault->reason,
                                   error);
}

static int show_progress(void *context, uint64_t done, uint64_t size, struct error *error)
{
    struct importer *importer = context;
    (void)error;
    if (importer->watch->progress != NULL)
        importer->watch->progress(importer->watch->context, importer->path, done, size);
    return ERROR_NONE;
}

/* A bar that is read before its time is over may still change. */
static int mark_bar(struct importer *importer, struct error *error)
{
    struct import_result *result = importer->result;
    struct bars_writer *writer = &importer->writer;
    struct stored_series *series = &writer->series;
    /* An older file says nothing about it. */
    if (writer->newest != series->last)
        return bars_writer_mark(writer, series->partial, series->observed_known, series->observed,
                                error);
    struct bucket bucket = session_bucket(&importer->session, result->interval, series->last,
                                          interval_is_dated(result->interval));
    result->partial = !importer->options->whole && importer->options->now < bucket.end;
    result->last = series->last;
    result->ends = bucket.end;
    bool observed = series->observed_known && series->last == writer->partial_time;
    return bars_writer_mark(writer, result->partial, observed, series->observed, error);
}

/* Everything is read: closes the record of the file. */
static int finish(struct importer *importer, const struct csv_summary *summary, struct error *error)
{
    struct import_result *result = importer->result;
    struct bars_writer *writer = &importer->writer;
    int code = ERROR_NONE;
    say_held(importer);
    if (summary->bars == 0 && !(importer->csv.continues && summary->lines > summary->set_aside))
        return error_set(error, ERROR_INPUT, "none of its %llu lines is a bar; nothing was kept",
                         (unsigned long long)summary->lines);
    result->lines = summary->lines;
    result->set_aside = summary->set_aside;
    result->added = writer->added;
    result->known = writer->known;
    result->replaced = writer->replaced;
    result->kept_out = writer->kept_out;
    /* The newest observation tells whether the last bar is whole. */
    if (summary->facts.observations &&
        (!importer->csv.continues || summary->observed > importer->csv.observed)) {
        struct bucket bucket = session_bucket(&importer->session, result->interval,
                                              summary->observed, false);
        if (bucket.start == writer->series.last)
            code = bars_writer_mark(writer, summary->last_is_partial, summary->last_is_partial,
                                    summary->observed, error);
    } else if (!summary->facts.observations) {
        code = mark_bar(importer, error);
    }
    if (code == ERROR_NONE)
        code = newest_store_update(importer->book, result->instrument.name, &writer->series,
                                   writer->first_changed, error);
    if (code != ERROR_NONE)
        return code;
    const struct source_counts counts = {result->lines, result->added, result->known,
                                         result->replaced, result->kept_out};
    file_hasher_end(importer->hasher, importer->source.hash, &importer->source.size);
    return source_writer_count(&importer->notes, &importer->source, &counts, error);
}

/* The statements of one reading. */
static void close_writer(struct importer *importer)
{
    source_writer_finish(&importer->notes);
    if (importer->writing)
        bars_writer_finish(&importer->writer);
    importer->writing = false;
}

static void set_reading(struct importer *importer)
{
    const struct import_options *options = importer->options;
    importer->csv = (struct csv_options){.interval = options->interval,
                                         .dates = options->dates,
                                         .zone = options->zone,
                                         .columns = importer->columns != NULL ? &importer->wishes
                                                                              : NULL,
                                         .hasher = importer->hasher,
                                         .session = &importer->session};
}

static int read_once(struct importer *importer, struct csv_summary *summary, struct error *error)
{
    const struct csv_sink sink = {importer, begin, take_bars, take_fault, show_progress};
    readjust_begin(&importer->search);
    set_reading(importer);
    /* A thread costs more than it gains where there is little to read. */
    return (importer->source.size < LEAST_APART
                ? csv_read_file
                : csv_read_file_apart)(importer->path, &importer->csv, &sink, summary, error);
}

/* Whether one adjustment explains all contradictions; then everything is read
 * again with it taken back. */
static int read_again_if_readjusted(struct importer *importer, struct csv_summary *summary,
                                    struct error *error)
{
    struct import_result *result = importer->result;
    const struct bars_writer *writer = &importer->writer;
    if (importer->options->adjustment != ADJUST_NONE || summary->facts.observations ||
        writer->first_known < writer->last_contradicted ||
        !readjust_found(&importer->search, &importer->adjusted))
        return ERROR_NONE;
    importer->adjusted.before = writer->first_known < INT64_MAX ? writer->first_known
                                                                : writer->last_contradicted + 1;
    importer->tolerances = array_new(1, sizeof *importer->tolerances);
    if (importer->tolerances == NULL)
        return error_memory(error);
    importer->tolerances[0] = (struct bar_tolerance){importer->adjusted.before,
                                                     importer->adjusted.grain};
    close_writer(importer);
    importer->old.count = importer->new.count = 0;
    importer->undo = true;
    book_rollback(importer->book);
    int code = book_begin(importer->book, "import", error);
    if (code == ERROR_NONE)
        code = read_once(importer, summary, error);
    result->readjusted = true;
    result->by_ratio = importer->adjusted.ratio;
    result->factor = importer->adjusted.value;
    result->before = importer->adjusted.before;
    return code;
}

/* The actions that the file is adjusted for. */
static int load_actions(struct importer *importer, struct error *error)
{
    const struct instrument *instrument = &importer->result->instrument;
    enum adjustment adjustment = importer->options->adjustment;
    struct action *actions = NULL;
    size_t count = 0;
    int code = ERROR_NONE;
    if (adjustment == ADJUST_NONE)
        return ERROR_NONE;
    if (instrument->id != 0)
        code = action_store_list(importer->book, instrument->id, &actions, &count, error);
    if (code == ERROR_NONE)
        code = unadjust_begin(&importer->unadjust, actions, count, adjustment, error);
    free(actions);
    if (code == ERROR_NONE && importer->unadjust.count == 0)
        code = error_because(error, ERROR_INPUT, ERROR_REASON_NO_ACTIONS,
                             "%s: the book has no %s of %s that its prices could be adjusted for",
                             importer->path,
                             adjustment == ADJUST_ALL ? "actions" : "splits or rolls",
                             instrument->name);
    return code;
}

static int look_at_bars(void *context, const struct bars *block, struct error *error)
{
    (void)error;
    unadjust_look(context, block);
    return ERROR_NONE;
}

static int pass_over(void *context, const struct csv_fault *fault, struct error *error)
{
    (void)context;
    (void)fault;
    (void)error;
    return ERROR_NONE;
}

/* Reads the file once to see its last bar, its decimals, and the closes before
 * the actions. */
static int look_ahead(struct importer *importer, struct error *error)
{
    struct unadjust *unadjust = &importer->unadjust;
    const struct instrument *instrument = &importer->result->instrument;
    const struct csv_sink sink = {unadjust, NULL, look_at_bars, pass_over, NULL};
    struct csv_summary summary;
    if (unadjust->count == 0)
        return ERROR_NONE;
    unadjust->tick = instrument->tick_known ? &instrument->tick : NULL;
    set_reading(importer);
    int code = csv_read_file(importer->path, &importer->csv, &sink, &summary, error);
    if (code != ERROR_NONE)
        return code;
    unadjust_settle(unadjust);
    importer->tolerances = array_new(unadjust->scale_count, sizeof *importer->tolerances);
    if (importer->tolerances == NULL)
        return error_memory(error);
    for (size_t i = 0; i < unadjust->scale_count; i++)
        importer->tolerances[i] = (struct bar_tolerance){unadjust->scales[i].before,
                                                         2 * unadjust_room(unadjust, i)};
    importer->result->taken_back = unadjust->scale_count;
    return ERROR_NONE;
}

/* The columns that were said, else those the book keeps for such a name. */
static int find_columns(struct importer *importer, struct error *error)
{
    const struct import_options *options = importer->options;
    bool found = false;
    if (options->columns != NULL) {
        importer->wishes = *options->columns;
        importer->columns = options->columns_text;
        return ERROR_NONE;
    }
    int code = columns_store_find(importer->book, importer->path, &importer->kept, &found, error);
    if (code != ERROR_NONE || !found)
        return code;
    importer->columns = importer->kept.columns;
    memcpy(importer->result->pattern, importer->kept.pattern, sizeof importer->kept.pattern);
    return csv_wishes_read(&importer->wishes, importer->columns, error);
}

/* Whether the book has this file already. A long file is read for its hash alone
 * only where the book knows one of its length. */
static int look_for_same(struct importer *importer, struct error *error)
{
    struct source *source = &importer->source;
    bool known = true;
    int code = ERROR_NONE;
    if (source->size > 0)
        code = source_store_size_known(importer->book, source->size, &known, error);
    if (code == ERROR_NONE && known)
        code = file_hash(importer->path, source->hash, &source->size, error);
    if (code == ERROR_NONE && known)
        code = source_store_known(importer->book, source, importer->result->instrument.id,
                                  &importer->result->already, error);
    return code;
}

static int run(struct importer *importer, struct error *error)
{
    struct csv_summary summary;
    int code = name_instrument(importer, error);
    if (code == ERROR_NONE)
        code = load_actions(importer, error);
    if (code == ERROR_NONE)
        code = find_columns(importer, error);
    if (code == ERROR_NONE)
        describe(importer);
    /* To replace again is no mistake: others may have replaced it since. */
    if (code == ERROR_NONE && !importer->options->replace)
        code = look_for_same(importer, error);
    if (code != ERROR_NONE || importer->result->already)
        return code;
    code = session_open(&importer->session, &importer->result->instrument, error);
    if (code == ERROR_NONE)
        code = look_ahead(importer, error);
    if (code == ERROR_NONE)
        code = read_once(importer, &summary, error);
    if (code == ERROR_NONE)
        code = read_again_if_readjusted(importer, &summary, error);
    if (code == ERROR_NONE) {
        code = finish(importer, &summary, error);
        if (code != ERROR_NONE)
            error_context(error, "%s", importer->path);
    }
    return code;
}

int import_file(struct book *book, const char *path, const struct import_options *options,
                const struct import_watch *watch, struct import_result *result, struct error *error)
{
    struct importer importer = {.book = book,
                                .path = path,
                                .options = options,
                                .watch = watch,
                                .result = result};
    *result = (struct import_result){.lines = 0};
    int code = book_begin(book, "import", error);
    if (code != ERROR_NONE)
        return code;
    importer.hasher = file_hasher_new();
    code = importer.hasher != NULL ? run(&importer, error) : error_memory(error);
    close_writer(&importer);
    bars_free(&importer.old);
    bars_free(&importer.new);
    unadjust_free(&importer.unadjust);
    free(importer.tolerances);
    session_close(&importer.session);
    file_hasher_free(importer.hasher);
    if (code == ERROR_NONE && !result->already)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}
