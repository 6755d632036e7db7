#include "book/bars_store.h"

#include "base/array.h"
#include "book/bars_pack.h"
#include "book/chunk_store.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SERIES_COLUMNS                                                                             \
    "SELECT s.id, s.interval, s.partial, s.observed, min(c.first), max(c.last), "                  \
    "coalesce(sum(c.count), 0) FROM series s LEFT JOIN chunk c ON c.series = s.id "

static int read_series(struct statement *statement, struct stored_series *series,
                       struct error *error)
{
    *series = (struct stored_series){
        .id = statement_integer(statement, 0),
        .partial = statement_integer(statement, 2) != 0,
        .observed_known = !statement_is_null(statement, 3),
        .observed = statement_integer(statement, 3),
        .first = statement_integer(statement, 4),
        .last = statement_integer(statement, 5),
        .count = statement_integer(statement, 6),
    };
    const char *interval = statement_text(statement, 1);
    if (interval == NULL)
        return error_memory(error);
    if (interval[0] != '\0' && !interval_parse_kept(interval, &series->interval))
        return error_set(error, ERROR_INPUT, "%s: '%s' is no interval; the book is damaged",
                         book_path(statement->book), interval);
    return ERROR_NONE;
}

static int shorter_first(const void *a, const void *b)
{
    int64_t x = interval_seconds(((const struct stored_series *)a)->interval);
    int64_t y = interval_seconds(((const struct stored_series *)b)->interval);
    return (x > y) - (x < y);
}

int bars_store_list(struct book *book, int64_t instrument, struct stored_series **series,
                    size_t *count, struct error *error)
{
    struct statement statement;
    size_t capacity = 0;
    bool row = false;
    *series = NULL;
    *count = 0;
    int code = statement_prepare(&statement, book,
                                 SERIES_COLUMNS "WHERE s.instrument = ?1 GROUP BY s.id", error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, instrument);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row) {
        struct stored_series *grown = array_reserve(*series, &capacity, *count + 1,
                                                    sizeof **series);
        if (grown == NULL) {
            code = error_memory(error);
            break;
        }
        *series = grown;
        code = read_series(&statement, &grown[(*count)++], error);
    }
    statement_finish(&statement);
    if (code == ERROR_NONE && *count > 0)
        qsort(*series, *count, sizeof **series, shorter_first);
    return code;
}

static int create_series(struct book *book, int64_t instrument, const char *interval,
                         struct stored_series *series, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book,
                                 "INSERT INTO series(instrument, interval) VALUES(?1, ?2)", error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        statement_bind_text(&statement, 2, interval);
        code = statement_run(&statement, error);
    }
    if (code == ERROR_NONE)
        series->id = book_last_row(book);
    statement_finish(&statement);
    return code;
}

int bars_store_find(struct book *book, int64_t instrument, struct interval interval, bool create,
                    struct stored_series *series, struct error *error)
{
    char text[INTERVAL_TEXT_SIZE];
    struct statement statement;
    bool row = false;
    interval_format_kept(text, interval);
    *series = (struct stored_series){.interval = interval};
    int code = statement_prepare(&statement, book,
                                 SERIES_COLUMNS
                                 "WHERE s.instrument = ?1 AND s.interval = ?2 GROUP BY s.id",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, instrument);
        statement_bind_text(&statement, 2, text);
        code = statement_step(&statement, &row, error);
    }
    if (code == ERROR_NONE && row)
        code = read_series(&statement, series, error);
    statement_finish(&statement);
    if (code == ERROR_NONE && !row && create)
        code = create_series(book, instrument, text, series, error);
    return code;
}

int bars_store_newest(struct book *book, int64_t to, int64_t *newest, struct error *error)
{
    struct statement statement;
    bool row = false;
    *newest = INT64_MIN;
    int code = statement_prepare(
        &statement, book,
        "SELECT min(last, ?1) FROM chunk WHERE first <= ?1 ORDER BY last DESC LIMIT 1", error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, to);
        code = statement_step(&statement, &row, error);
    }
    if (code == ERROR_NONE && row)
        *newest = statement_integer(&statement, 0);
    statement_finish(&statement);
    return code;
}

enum { MOST_RESERVED = 1 << 20 };

int bars_store_load(struct book *book, const struct stored_series *series, int64_t from, int64_t to,
                    struct bars *bars, struct error *error)
{
    struct statement statement;
    struct bars all;
    bool row = false;
    bars_init(&all);
    int code = statement_prepare(&statement, book,
                                 "SELECT id, count, data FROM chunk WHERE series = ?1 AND last >= "
                                 "?2 AND first <= ?3 ORDER BY first",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, series->id);
        statement_bind_integer(&statement, 2, from);
        statement_bind_integer(&statement, 3, to);
    }
    /* All at once, so that bars are not moved while they grow; a count that a
     * damaged book may have is no reason to ask for more. */
    if (code == ERROR_NONE && from == INT64_MIN && to == INT64_MAX && series->count > 0 &&
        series->count < MOST_RESERVED)
        code = bars_reserve(&all, (size_t)series->count, error);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row)
        code = bars_chunk_take(&statement, &all, error);
    statement_finish(&statement);
    size_t first = bars_find(&all, from);
    size_t end = to < INT64_MAX ? bars_find(&all, to + 1) : all.count;
    if (code == ERROR_NONE && bars->count == 0 && first == 0 && end == all.count) {
        bars_free(bars);
        *bars = all;
        bars_init(&all);
    } else if (code == ERROR_NONE) {
        code = bars_append_range(bars, &all, first, end, error);
    }
    bars_free(&all);
    bars->interval = series->interval;
    bars->last_is_partial = series->partial && bars->count > 0 &&
                            bars->time[bars->count - 1] == series->last;
    return code;
}

/* Of the chunks that end by `to` how many bars they hold, and when the last of
 * them is. */
static int count_whole_chunks(struct book *book, int64_t series, int64_t to, int64_t *count,
                              int64_t *last, struct error *error)
{
    struct statement statement;
    bool row = false;
    int code = statement_prepare(
        &statement, book,
        "SELECT sum(count), max(last) FROM chunk WHERE series = ?1 AND last <= ?2", error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, series);
        statement_bind_integer(&statement, 2, to);
        code = statement_step(&statement, &row, error);
    }
    bool any = code == ERROR_NONE && row && !statement_is_null(&statement, 1);
    *count = any ? statement_integer(&statement, 0) : 0;
    *last = any ? statement_integer(&statement, 1) : INT64_MIN;
    statement_finish(&statement);
    return code;
}

int bars_store_up_to(struct book *book, struct stored_series *series, int64_t to,
                     struct error *error)
{
    struct bars rest;
    int64_t count = 0;
    int64_t last = INT64_MIN;
    if (series->count == 0 || series->last <= to)
        return ERROR_NONE;
    bars_init(&rest);
    int code = count_whole_chunks(book, series->id, to, &count, &last, error);
    if (code == ERROR_NONE)
        code = bars_store_load(book, series, last > INT64_MIN ? last + 1 : last, to, &rest, error);
    if (code == ERROR_NONE) {
        series->count = count + (int64_t)rest.count;
        series->last = rest.count > 0 ? rest.time[rest.count - 1] : last;
        series->partial = false;
    }
    bars_free(&rest);
    return code;
}

int bars_writer_begin(struct bars_writer *writer, struct error *error)
{
    bars_init(&writer->stored);
    bars_init(&writer->merged);
    writer->partial_time = writer->series.partial ? writer->series.last : INT64_MIN;
    writer->newest = INT64_MIN;
    writer->first_known = INT64_MAX;
    writer->last_contradicted = INT64_MIN;
    writer->first_changed = INT64_MAX;
    int code = statement_prepare(
        &writer->insert, writer->book,
        "INSERT INTO chunk(series, first, last, count, data) VALUES(?1, ?2, ?3, ?4, ?5)", error);
    if (code == ERROR_NONE)
        code = statement_prepare(&writer->overlapping, writer->book,
                                 "SELECT id, count, data FROM chunk WHERE series = ?1 AND last >= "
                                 "?2 AND first <= ?3 ORDER BY first",
                                 error);
    if (code == ERROR_NONE)
        code = statement_prepare(&writer->delete, writer->book,
                                 "DELETE FROM chunk WHERE series = ?1 AND first BETWEEN ?2 AND ?3",
                                 error);
    return code;
}

void bars_writer_finish(struct bars_writer *writer)
{
    statement_finish(&writer->insert);
    statement_finish(&writer->overlapping);
    statement_finish(&writer->delete);
    bars_free(&writer->stored);
    bars_free(&writer->merged);
}

static int write_chunks(struct bars_writer *writer, const struct bars *bars, struct error *error)
{
    unsigned char bytes[PACK_ROOM];
    struct statement *insert = &writer->insert;
    int code = ERROR_NONE;
    for (size_t first = 0; code == ERROR_NONE && first < bars->count; first += PACK_MOST) {
        size_t left = bars->count - first;
        size_t count = left < PACK_MOST ? left : PACK_MOST;
        size_t length = bars_pack(bars, first, count, bytes);
        statement_bind_integer(insert, 1, writer->series.id);
        statement_bind_integer(insert, 2, bars->time[first]);
        statement_bind_integer(insert, 3, bars->time[first + count - 1]);
        statement_bind_integer(insert, 4, (int64_t)count);
        statement_bind_bytes(insert, 5, bytes, length);
        code = statement_run(insert, error);
    }
    return code;
}

/* The chunks that meet from..to, into writer->stored. */
static int load_overlapping(struct bars_writer *writer, int64_t from, int64_t to,
                            struct error *error)
{
    struct statement *statement = &writer->overlapping;
    bool row = false;
    int code = ERROR_NONE;
    writer->stored.count = 0;
    statement_bind_integer(statement, 1, writer->series.id);
    statement_bind_integer(statement, 2, from);
    statement_bind_integer(statement, 3, to);
    while (code == ERROR_NONE && (code = statement_step(statement, &row, error)) == ERROR_NONE &&
           row)
        code = bars_chunk_take(statement, &writer->stored, error);
    statement_reset(statement);
    return code;
}

static bool same_prices(const struct bar *a, const struct bar *b, double room)
{
    return fabs(a->open - b->open) <= room && fabs(a->high - b->high) <= room &&
           fabs(a->low - b->low) <= room && fabs(a->close - b->close) <= room;
}

static bool same_bar(const struct bars_writer *writer, const struct bar *a, const struct bar *b)
{
    for (size_t i = 0; i < writer->tolerance_count; i++)
        if (a->time < writer->tolerances[i].before)
            return same_prices(a, b, writer->tolerances[i].room);
    bool same_volume = isnan(a->volume) || isnan(b->volume) || a->volume == b->volume;
    return same_prices(a, b, 0) && same_volume;
}

static void note_change(struct bars_writer *writer, int64_t time, bool *changed)
{
    *changed = true;
    if (time < writer->first_changed)
        writer->first_changed = time;
}

/* Two bars of one time: which stays. */
static int settle(struct bars_writer *writer, const struct bar *old, const struct bar *new,
                  struct bar *kept, bool *changed, struct error *error)
{
    bool partial = old->time == writer->partial_time;
    *kept = *old;
    if (same_bar(writer, old, new)) {
        writer->known++;
        if (old->time < writer->first_known)
            writer->first_known = old->time;
        if (isnan(old->volume) && !isnan(new->volume)) {
            kept->volume = new->volume;
            note_change(writer, old->time, changed);
        }
        return ERROR_NONE;
    }
    if (partial || writer->replace) {
        *kept = *new;
        note_change(writer, old->time, changed);
    }
    if (partial) {
        writer->added++;
        return ERROR_NONE;
    }
    if (old->time > writer->last_contradicted)
        writer->last_contradicted = old->time;
    if (writer->replace)
        writer->replaced++;
    else
        writer->kept_out++;
    if (writer->contradiction == NULL)
        return ERROR_NONE;
    return writer->contradiction(writer->context, writer->replace ? BAR_REPLACED : BAR_KEPT_OUT,
                                 old, new, error);
}

/* writer->stored and the block, in order, into writer->merged. */
static int merge(struct bars_writer *writer, const struct bars *block, bool *changed,
                 struct error *error)
{
    const struct bars *stored = &writer->stored;
    struct bars *merged = &writer->merged;
    int code = ERROR_NONE;
    size_t i = 0;
    size_t j = 0;
    merged->count = 0;
    while (code == ERROR_NONE && (i < stored->count || j < block->count)) {
        bool old = i < stored->count && (j == block->count || stored->time[i] <= block->time[j]);
        bool new = j < block->count && (i == stored->count || block->time[j] <= stored->time[i]);
        struct bar kept = old ? bars_at(stored, i) : bars_at(block, j);
        if (old && new) {
            struct bar before = kept;
            struct bar other = bars_at(block, j);
            code = settle(writer, &before, &other, &kept, changed, error);
        } else if (new) {
            writer->added++;
            note_change(writer, kept.time, changed);
        }
        i += old;
        j += new;
        if (code == ERROR_NONE)
            code = bars_append(merged, &kept, error);
    }
    return code;
}

static int delete_stored(struct bars_writer *writer, struct error *error)
{
    const struct bars *stored = &writer->stored;
    if (stored->count == 0)
        return ERROR_NONE;
    statement_bind_integer(&writer->delete, 1, writer->series.id);
    statement_bind_integer(&writer->delete, 2, stored->time[0]);
    statement_bind_integer(&writer->delete, 3, stored->time[stored->count - 1]);
    return statement_run(&writer->delete, error);
}

static void note_range(struct stored_series *series, const struct bars *block)
{
    int64_t first = block->time[0];
    int64_t last = block->time[block->count - 1];
    if (series->count == 0 || first < series->first)
        series->first = first;
    if (series->count == 0 || last > series->last) {
        series->last = last;
        /* What was partial is closed by a later bar. */
        series->partial = false;
    }
}

int bars_writer_merge(struct bars_writer *writer, const struct bars *block, struct error *error)
{
    struct stored_series *series = &writer->series;
    if (block->count == 0)
        return ERROR_NONE;
    int64_t from = block->time[0];
    int64_t to = block->time[block->count - 1];
    bool changed = false;
    uint64_t added = writer->added;
    int code = ERROR_NONE;
    if (series->count > 0 && from > series->last) {
        /* Behind the end: the last chunk, where it is short, is filled up. */
        bool full = series->count % PACK_MOST == 0;
        writer->stored.count = 0;
        if (!full)
            code = load_overlapping(writer, series->last, to, error);
    } else if (series->count == 0) {
        writer->stored.count = 0;
    } else {
        code = load_overlapping(writer, from, to, error);
    }
    if (code == ERROR_NONE && writer->stored.count == 0) {
        writer->added += block->count;
        code = write_chunks(writer, block, error);
        note_change(writer, from, &changed);
    } else if (code == ERROR_NONE) {
        code = merge(writer, block, &changed, error);
        if (code == ERROR_NONE && changed)
            code = delete_stored(writer, error);
        if (code == ERROR_NONE && changed)
            code = write_chunks(writer, &writer->merged, error);
    }
    if (code == ERROR_NONE) {
        if (to > writer->newest)
            writer->newest = to;
        note_range(series, block);
        series->count += (int64_t)(writer->added - added);
    }
    return code;
}

int bars_writer_mark(struct bars_writer *writer, bool partial, bool observed_known,
                     int64_t observed, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, writer->book,
                                 "UPDATE series SET partial = ?2, observed = ?3 WHERE id = ?1",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, writer->series.id);
        statement_bind_integer(&statement, 2, partial);
        if (observed_known)
            statement_bind_integer(&statement, 3, observed);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    writer->series.partial = partial;
    return code;
}
