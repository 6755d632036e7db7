/* Files that were imported into the book: their record, the lines set aside and
 * the bars that contradicted others. */
#ifndef RUSHLIGHT_BOOK_IMPORT_STORE_H
#define RUSHLIGHT_BOOK_IMPORT_STORE_H

#include "market/bars.h"
#include "prices/file_hash.h"
#include "store/book.h"

enum { SOURCE_OPTIONS_SIZE = 768 };

struct source {
    const char *file;
    char hash[FILE_HASH_SIZE]; /* XXH128 of the bytes, hexadecimal */
    uint64_t size;
    char options[SOURCE_OPTIONS_SIZE]; /* how it was read */
    int64_t imported;                  /* when */
};

/* Whether any file of this many bytes has been imported into the book. */
int source_store_size_known(struct book *book, uint64_t size, bool *known, struct error *error);
/* Whether these bytes have been imported into the instrument, read alike. */
int source_store_known(struct book *book, const struct source *source, int64_t instrument,
                       bool *known, struct error *error);

/* Writes one file's record and what belongs to it, inside a transaction of the
 * caller's. Finish it also after an error; one of zeroes may be finished. */
struct source_writer {
    struct book *book;
    int64_t series;
    int64_t source;
    struct statement aside;
    struct statement revision;
};
int source_writer_begin(struct source_writer *writer, struct book *book,
                        const struct source *source, int64_t series, struct error *error);
int source_writer_set_aside(struct source_writer *writer, uint64_t line, const char *text,
                            const char *reason, struct error *error);
/* A bar that was replaced, or else was kept out. */
int source_writer_revision(struct source_writer *writer, const struct bar *bar, bool replaced,
                           struct error *error);
struct source_counts {
    uint64_t lines;
    uint64_t added;
    uint64_t known;
    uint64_t replaced;
    uint64_t kept_out;
};
/* At the end, when the whole file has been seen: its hash and size, and the counts. */
int source_writer_count(struct source_writer *writer, const struct source *source,
                        const struct source_counts *counts, struct error *error);
void source_writer_finish(struct source_writer *writer);

/* The lines set aside of all files of an instrument, by file and line; the
 * texts are the statement's. A callback's error code ends it. */
struct aside_row {
    const char *file;
    const char *hash;
    int64_t line;
    const char *text;
    const char *reason;
};
int set_aside_store_each(struct book *book, int64_t instrument,
                         int (*take)(void *context, const struct aside_row *row,
                                     struct error *error),
                         void *context, struct error *error);

/* The bars that were replaced or kept out, by time. */
struct revision_row {
    const char *file;     /* that replaced it, or that it came from */
    const char *interval; /* of the bars */
    struct bar bar;
    bool replaced;
};
int revision_store_each(struct book *book, int64_t instrument,
                        int (*take)(void *context, const struct revision_row *row,
                                    struct error *error),
                        void *context, struct error *error);

#endif
