#define _POSIX_C_SOURCE 200809L /* open, read */
#include "market/import.h"

#include "market/adjust.h"
#include "market/import_store.h"
#include "market/instrument_store.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <xxhash.h>

/* Contradictions held back at most. */
enum { MOST_HELD = 50000 };

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
    struct session session;
    struct csv_options csv;
    /* Contradictions, until it is known whether one adjustment explains them. */
    struct bars old;
    struct bars new;
    bool too_many; /* to wait with: they are noted as they come */
    bool undo;     /* second reading: bars before `adjusted.before` are taken back */
    struct readjustment adjusted;
};

/* XXH128 of the bytes of a file, hexadecimal. */
static int hash_file(const char *path, char hash[SOURCE_HASH_SIZE], uint64_t *size,
                     struct error *error)
{
    static const size_t piece = 1 << 18;
    int code = ERROR_NONE;
    int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0)
        return error_set(error, ERROR_INPUT, "%s: cannot be opened: %s", path, strerror(errno));
    char *buffer = malloc(piece);
    XXH3_state_t *state = XXH3_createState();
    if (buffer == NULL || state == NULL) {
        code = error_memory(error);
        goto out;
    }
    XXH3_128bits_reset(state);
    *size = 0;
    for (ssize_t got = 1; got != 0;) {
        got = read(file, buffer, piece);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            code = errno == EISDIR ? error_set(error, ERROR_INPUT,
                                               "%s: is a folder; a file of prices is needed", path)
                                   : error_set(error, ERROR_MACHINE, "%s: reading failed: %s", path,
                                               strerror(errno));
            goto out;
        }
        XXH3_128bits_update(state, buffer, (size_t)got);
        *size += (uint64_t)got;
    }
    XXH128_hash_t sum = XXH3_128bits_digest(state);
    snprintf(hash, SOURCE_HASH_SIZE, "%016llx%016llx", (unsigned long long)sum.high64,
             (unsigned long long)sum.low64);
out:
    XXH3_freeState(state);
    free(buffer);
    close(file);
    return code;
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
            memcpy(name, start, length);
        given = name;
    }
    bool found = false;
    if (!instrument_init(instrument, given))
        return error_set(error, ERROR_INPUT,
                         "%s: its name is none for an instrument; say one with --instrument",
                         importer->path);
    int code = instrument_store_find(importer->book, given, instrument, &found, error);
    if (code != ERROR_NONE || found)
        return code;
    if (importer->options->zone != NULL)
        snprintf(instrument->zone, sizeof instrument->zone, "%s", importer->options->zone);
    return ERROR_NONE;
}

/* Notes a bar that is no longer, or never was, in the series. */
static int note_contradiction(struct importer *importer, enum bar_outcome outcome,
                              const struct bar *old, const struct bar *new, struct error *error)
{
    const struct import_watch *watch = importer->watch;
    bool replaced = outcome == BAR_REPLACED;
    if (watch->contradiction != NULL)
        watch->contradiction(watch->context, importer->path, outcome, old, new,
                             interval_is_dated(importer->result->interval));
    return source_writer_revision(&importer->notes, replaced ? old : new, replaced, error);
}

/* Says and notes what was held back. */
static int note_held(struct importer *importer, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < importer->old.count; i++) {
        struct bar old = bars_at(&importer->old, i);
        struct bar new = bars_at(&importer->new, i);
        code = note_contradiction(importer, BAR_KEPT_OUT, &old, &new, error);
    }
    importer->old.count = importer->new.count = 0;
    return code;
}

static int take_contradiction(void *context, enum bar_outcome outcome, const struct bar *old,
                              const struct bar *new, struct error *error)
{
    struct importer *importer = context;
    int code = ERROR_NONE;
    if (outcome == BAR_REPLACED || importer->undo || importer->too_many)
        return note_contradiction(importer, outcome, old, new, error);
    if (importer->old.count == MOST_HELD) {
        importer->too_many = true;
        code = note_held(importer, error);
        return code == ERROR_NONE ? note_contradiction(importer, outcome, old, new, error) : code;
    }
    code = bars_append(&importer->old, old, error);
    return code == ERROR_NONE ? bars_append(&importer->new, new, error) : code;
}

/* How the file is read, as text: another way of reading is another import. */
static void describe(struct importer *importer)
{
    const struct import_options *options = importer->options;
    char interval[INTERVAL_TEXT_SIZE];
    interval_format(interval, options->interval);
    snprintf(importer->source.options, sizeof importer->source.options,
             "interval=%s zone=%s dates=%d replace=%d", interval,
             options->zone != NULL ? options->zone : "", (int)options->dates, options->replace);
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
        return error_set(
            error, ERROR_INPUT,
            "the length of its bars cannot be seen; say it with --interval, such as 1d or 1h");
    importer->result->interval = facts->interval;
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
    if (importer->undo) {
        writer->tolerance = importer->adjusted.grain;
        writer->tolerant_before = importer->adjusted.before;
    }
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
    if (!importer->undo)
        return bars_writer_merge(&importer->writer, block, error);
    int code = bars_slice(&traded, block, 0, block->count, error);
    if (code == ERROR_NONE) {
        bars_undo_readjustment(&traded, &importer->adjusted);
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

/* Everything is read: closes the record of the file. */
static int finish(struct importer *importer, const struct csv_summary *summary, struct error *error)
{
    struct import_result *result = importer->result;
    struct bars_writer *writer = &importer->writer;
    int code = note_held(importer, error);
    if (code != ERROR_NONE)
        return code;
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
        code = bars_writer_mark(writer, writer->series.partial, writer->series.observed_known,
                                writer->series.observed, error);
    }
    if (code != ERROR_NONE)
        return code;
    const struct source_counts counts = {result->lines, result->added, result->known,
                                         result->replaced, result->kept_out};
    return source_writer_count(&importer->notes, &counts, error);
}

/* The statements of one reading. */
static void close_writer(struct importer *importer)
{
    source_writer_finish(&importer->notes);
    if (importer->writing)
        bars_writer_finish(&importer->writer);
    importer->writing = false;
}

static int read_once(struct importer *importer, struct csv_summary *summary, struct error *error)
{
    const struct import_options *options = importer->options;
    const struct csv_sink sink = {importer, begin, take_bars, take_fault, show_progress};
    importer->csv = (struct csv_options){.interval = options->interval,
                                         .dates = options->dates,
                                         .zone = options->zone,
                                         .session = &importer->session};
    return csv_read_file(importer->path, &importer->csv, &sink, summary, error);
}

/* Whether one adjustment explains all contradictions; then everything is read
 * again with it taken back. */
static int read_again_if_readjusted(struct importer *importer, struct csv_summary *summary,
                                    struct error *error)
{
    struct import_result *result = importer->result;
    if (importer->too_many || summary->facts.observations ||
        importer->writer.first_known < importer->writer.last_contradicted ||
        !bars_readjusted(&importer->old, &importer->new, &importer->adjusted))
        return ERROR_NONE;
    if (importer->writer.first_known < INT64_MAX)
        importer->adjusted.before = importer->writer.first_known;
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

static int run(struct importer *importer, struct error *error)
{
    struct csv_summary summary;
    int code = name_instrument(importer, error);
    if (code == ERROR_NONE)
        describe(importer);
    /* To replace again is no mistake: others may have replaced it since. */
    if (code == ERROR_NONE && !importer->options->replace)
        code = source_store_known(importer->book, &importer->source,
                                  importer->result->instrument.id, &importer->result->already,
                                  error);
    if (code != ERROR_NONE || importer->result->already)
        return code;
    code = session_open(&importer->session, &importer->result->instrument, error);
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
    int code = hash_file(path, importer.source.hash, &importer.source.size, error);
    if (code != ERROR_NONE)
        return code;
    code = book_begin(book, "import", error);
    if (code != ERROR_NONE)
        return code;
    code = run(&importer, error);
    close_writer(&importer);
    bars_free(&importer.old);
    bars_free(&importer.new);
    session_close(&importer.session);
    if (code == ERROR_NONE && !result->already)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}
