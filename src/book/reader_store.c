#include "book/reader_store.h"

#include "book/chunk_store.h"

/* The next chunk, of which nothing is handed out yet, takes the place of the last;
 * its first bar must be later than that one's last. */
static int next_chunk(struct bars_reader *reader, struct error *error)
{
    struct bars *chunk = &reader->chunk;
    bool row = false;
    int code = statement_step(&reader->chunks, &row, error);
    if (code == ERROR_NONE && row) {
        /* The last bar stays for a moment, for the chunk to be checked against. */
        struct bar last = chunk->count > 0 ? bars_at(chunk, chunk->count - 1) : (struct bar){0};
        reader->taken = chunk->count > 0;
        chunk->count = 0;
        if (reader->taken > 0)
            code = bars_append(chunk, &last, error);
        if (code == ERROR_NONE)
            code = bars_chunk_take(&reader->chunks, chunk, error);
        if (code == ERROR_NONE && reader->to < INT64_MAX)
            chunk->count = bars_find(chunk, reader->to + 1);
    }
    reader->more = code == ERROR_NONE && row && reader->taken < chunk->count;
    return code;
}

int bars_reader_again(struct bars_reader *reader, struct error *error)
{
    statement_reset(&reader->chunks);
    statement_bind_integer(&reader->chunks, 1, reader->series.id);
    statement_bind_integer(&reader->chunks, 2, reader->to);
    reader->chunk.count = 0;
    reader->taken = 0;
    return next_chunk(reader, error);
}

int bars_reader_open(struct bars_reader *reader, struct book *book,
                     const struct stored_series *series, int64_t to, struct error *error)
{
    *reader = (struct bars_reader){.series = *series, .to = to};
    bars_init(&reader->chunk);
    int code = statement_prepare(&reader->chunks, book,
                                 "SELECT id, count, data FROM chunk WHERE series = ?1 AND first "
                                 "<= ?2 ORDER BY first",
                                 error);
    return code == ERROR_NONE ? bars_reader_again(reader, error) : code;
}

int bars_reader_read(struct bars_reader *reader, size_t most, struct bars *bars,
                     struct error *error)
{
    int code = ERROR_NONE;
    bars->interval = reader->series.interval;
    while (code == ERROR_NONE && most > 0 && reader->more) {
        size_t left = reader->chunk.count - reader->taken;
        size_t count = left < most ? left : most;
        code = bars_append_range(bars, &reader->chunk, reader->taken, reader->taken + count, error);
        reader->taken += count;
        most -= count;
        if (code == ERROR_NONE && reader->taken == reader->chunk.count)
            code = next_chunk(reader, error);
    }
    bars->last_is_partial = reader->series.partial && bars->count > 0 &&
                            bars->time[bars->count - 1] == reader->series.last;
    return code;
}

void bars_reader_close(struct bars_reader *reader)
{
    statement_finish(&reader->chunks);
    bars_free(&reader->chunk);
}
