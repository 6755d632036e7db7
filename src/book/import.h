/* Files of prices into the book: one file, one transaction. */
#ifndef RUSHLIGHT_BOOK_IMPORT_H
#define RUSHLIGHT_BOOK_IMPORT_H

#include "book/bars_store.h"
#include "book/columns_store.h"
#include "market/adjust.h"
#include "market/instrument.h"
#include "prices/csv.h"

struct import_options {
    const char *instrument;   /* NULL: the file's stem */
    struct interval interval; /* NONE: seen from the file */
    const char *zone;         /* of the file's times, and of a new instrument's session; NULL: the
                               * instrument's, UTC for a new one */
    double tick;              /* of the instrument; 0: not said */
    const struct csv_wishes *columns; /* which column is what; NULL: as the book keeps them for
                                       * files of such a name, else as the header's words say */
    const char *columns_text;         /* the same as it was said; NULL with it */
    enum csv_dates dates;
    enum adjustment adjustment; /* the file's prices are adjusted so, as of its last bar */
    bool replace;               /* a bar that contradicts a stored one takes its place */
    bool whole;                 /* the last bar is whole, though its time is not over */
    int64_t now;                /* the time of the import */
};

struct import_result {
    struct instrument instrument;
    struct interval interval;
    uint64_t lines;
    uint64_t set_aside;
    uint64_t added;
    uint64_t known;
    uint64_t replaced;
    uint64_t kept_out;
    char pattern[COLUMNS_PATTERN_SIZE]; /* for which the book keeps the columns; empty: none */
    size_t taken_back;                  /* actions for which the file was adjusted */
    bool already;    /* this very file has been imported like this before: nothing was done */
    bool readjusted; /* the file's earlier bars differ from the stored ones by one ratio or
                          * one difference: */
    bool by_ratio;
    double factor;  /* file = stored * factor, or stored + factor */
    int64_t before; /* for bars before this time */
    bool partial;   /* the time of the last bar, read as a bar, is not over: */
    int64_t last;   /* that bar */
    int64_t ends;   /* when its time is over */
};

/* Who wants to hear of it meanwhile; each may be NULL. */
struct import_watch {
    void *context;
    void (*set_aside)(void *context, const char *path, const struct csv_fault *fault);
    void (*contradiction)(void *context, const char *path, enum bar_outcome outcome,
                          const struct bar *old, const struct bar *new, bool dated);
    void (*progress)(void *context, const char *path, uint64_t done, uint64_t size);
};

/* Imports one file into the book, all or nothing: bars, lines set aside,
 * revisions and the record of the file. The same file a second time changes
 * nothing, bars that are there already change nothing, a bar that contradicts
 * a stored one is kept out (and noted) unless `replace`. A file whose bars
 * differ from the stored ones before some time by one ratio or one difference
 * has been adjusted again since: that is taken back. A last bar whose time is
 * not over `now` is partial, and a later file takes its place. With an `adjustment` the
 * actions of the book are taken back from the file's prices; ERROR_INPUT where
 * the book has none, or the file holds observations. */
int import_file(struct book *book, const char *path, const struct import_options *options,
                const struct import_watch *watch, struct import_result *result,
                struct error *error);

#endif
