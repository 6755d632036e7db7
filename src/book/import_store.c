#include "book/import_store.h"

int source_store_size_known(struct book *book, uint64_t size, bool *known, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book, "SELECT 1 FROM source WHERE size = ?1 LIMIT 1",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, (int64_t)size);
        code = statement_step(&statement, known, error);
    }
    statement_finish(&statement);
    return code;
}

int source_store_known(struct book *book, const struct source *source, int64_t instrument,
                       bool *known, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book,
                                 "SELECT 1 FROM source JOIN series s ON s.id = source.series WHERE "
                                 "hash = ?1 AND size = ?2 AND options = ?3 AND s.instrument = ?4 "
                                 "LIMIT 1",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, source->hash);
        statement_bind_integer(&statement, 2, (int64_t)source->size);
        statement_bind_text(&statement, 3, source->options);
        statement_bind_integer(&statement, 4, instrument);
        code = statement_step(&statement, known, error);
    }
    statement_finish(&statement);
    return code;
}

static int insert_source(struct source_writer *writer, const struct source *source,
                         struct error *error)
{
    struct statement s;
    int code = statement_prepare(&s, writer->book,
                                 "INSERT INTO source(series, file, hash, size, options, imported, "
                                 "lines, added, known, replaced, kept_out) "
                                 "VALUES(?1, ?2, ?3, ?4, ?5, ?6, 0, 0, 0, 0, 0)",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&s, 1, writer->series);
        statement_bind_text(&s, 2, source->file);
        statement_bind_text(&s, 3, source->hash);
        statement_bind_integer(&s, 4, (int64_t)source->size);
        statement_bind_text(&s, 5, source->options);
        statement_bind_integer(&s, 6, source->imported);
        code = statement_run(&s, error);
    }
    statement_finish(&s);
    writer->source = book_last_row(writer->book);
    return code;
}

int source_writer_begin(struct source_writer *writer, struct book *book,
                        const struct source *source, int64_t series, struct error *error)
{
    *writer = (struct source_writer){.book = book, .series = series};
    int code = insert_source(writer, source, error);
    if (code == ERROR_NONE)
        code = statement_prepare(&writer->aside, book,
                                 "INSERT INTO set_aside(source, line, text, reason) "
                                 "VALUES(?1, ?2, ?3, ?4)",
                                 error);
    if (code == ERROR_NONE)
        code = statement_prepare(
            &writer->revision, book,
            "INSERT INTO revision(series, source, replaced, time, open, high, low, "
            "close, volume) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            error);
    return code;
}

void source_writer_finish(struct source_writer *writer)
{
    statement_finish(&writer->aside);
    statement_finish(&writer->revision);
}

int source_writer_set_aside(struct source_writer *writer, uint64_t line, const char *text,
                            const char *reason, struct error *error)
{
    statement_bind_integer(&writer->aside, 1, writer->source);
    statement_bind_integer(&writer->aside, 2, (int64_t)line);
    statement_bind_text(&writer->aside, 3, text);
    statement_bind_text(&writer->aside, 4, reason);
    return statement_run(&writer->aside, error);
}

int source_writer_revision(struct source_writer *writer, const struct bar *bar, bool replaced,
                           struct error *error)
{
    struct statement *s = &writer->revision;
    statement_bind_integer(s, 1, writer->series);
    statement_bind_integer(s, 2, writer->source);
    statement_bind_integer(s, 3, replaced);
    statement_bind_integer(s, 4, bar->time);
    statement_bind_number(s, 5, bar->open);
    statement_bind_number(s, 6, bar->high);
    statement_bind_number(s, 7, bar->low);
    statement_bind_number(s, 8, bar->close);
    statement_bind_number(s, 9, bar->volume);
    return statement_run(s, error);
}

int source_writer_count(struct source_writer *writer, const struct source *source,
                        const struct source_counts *counts, struct error *error)
{
    struct statement s;
    int code =
        statement_prepare(&s, writer->book,
                          "UPDATE source SET lines = ?2, added = ?3, known = ?4, replaced = ?5, "
                          "kept_out = ?6, hash = ?7, size = ?8 WHERE id = ?1",
                          error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&s, 1, writer->source);
        statement_bind_integer(&s, 2, (int64_t)counts->lines);
        statement_bind_integer(&s, 3, (int64_t)counts->added);
        statement_bind_integer(&s, 4, (int64_t)counts->known);
        statement_bind_integer(&s, 5, (int64_t)counts->replaced);
        statement_bind_integer(&s, 6, (int64_t)counts->kept_out);
        statement_bind_text(&s, 7, source->hash);
        statement_bind_integer(&s, 8, (int64_t)source->size);
        code = statement_run(&s, error);
    }
    statement_finish(&s);
    return code;
}

int set_aside_store_each(struct book *book, int64_t instrument,
                         int (*take)(void *context, const struct aside_row *row,
                                     struct error *error),
                         void *context, struct error *error)
{
    struct statement s;
    bool row = false;
    int code =
        statement_prepare(&s, book,
                          "SELECT f.file, f.hash, a.line, a.text, a.reason FROM set_aside a "
                          "JOIN source f ON f.id = a.source JOIN series s ON s.id = f.series "
                          "WHERE s.instrument = ?1 ORDER BY f.id, a.line",
                          error);
    if (code == ERROR_NONE)
        statement_bind_integer(&s, 1, instrument);
    while (code == ERROR_NONE && (code = statement_step(&s, &row, error)) == ERROR_NONE && row) {
        const struct aside_row aside = {statement_text(&s, 0), statement_text(&s, 1),
                                        statement_integer(&s, 2), statement_text(&s, 3),
                                        statement_text(&s, 4)};
        code = take(context, &aside, error);
    }
    statement_finish(&s);
    return code;
}

int revision_store_each(struct book *book, int64_t instrument,
                        int (*take)(void *context, const struct revision_row *row,
                                    struct error *error),
                        void *context, struct error *error)
{
    struct statement s;
    bool row = false;
    int code =
        statement_prepare(&s, book,
                          "SELECT f.file, s.interval, r.replaced, r.time, r.open, r.high, r.low, "
                          "r.close, r.volume FROM revision r JOIN source f ON f.id = r.source "
                          "JOIN series s ON s.id = r.series WHERE s.instrument = ?1 "
                          "ORDER BY s.id, r.time, r.id",
                          error);
    if (code == ERROR_NONE)
        statement_bind_integer(&s, 1, instrument);
    while (code == ERROR_NONE && (code = statement_step(&s, &row, error)) == ERROR_NONE && row) {
        const struct revision_row revision =
            {.file = statement_text(&s, 0),
             .interval = statement_text(&s, 1),
             .replaced = statement_integer(&s, 2) != 0,
             .bar = {statement_integer(&s, 3), statement_number(&s, 4), statement_number(&s, 5),
                     statement_number(&s, 6), statement_number(&s, 7), statement_number(&s, 8)}};
        code = take(context, &revision, error);
    }
    statement_finish(&s);
    return code;
}
