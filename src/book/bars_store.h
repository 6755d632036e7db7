/* Bars in the book: several intervals of an instrument side by side. */
#ifndef RUSHLIGHT_BOOK_BARS_STORE_H
#define RUSHLIGHT_BOOK_BARS_STORE_H

#include "market/bars.h"
#include "store/book.h"

/* The bars of one instrument and interval as the book knows them. */
struct stored_series {
    int64_t id; /* 0: there is none */
    struct interval interval;
    int64_t first; /* times of the first and last bar; meaningless where count is 0 */
    int64_t last;
    int64_t count;
    bool partial;        /* the last bar may still receive prices */
    bool observed_known; /* it was made from observations: */
    int64_t observed;    /* time of the last one in it */
};

/* The series of an instrument, shortest interval first. The array is the
 * caller's to free. */
int bars_store_list(struct book *book, int64_t instrument, struct stored_series **series,
                    size_t *count, struct error *error);
/* The series of this interval; with `create` made where there is none (inside
 * the transaction that is open), else of id 0. */
int bars_store_find(struct book *book, int64_t instrument, struct interval interval, bool create,
                    struct stored_series *series, struct error *error);

/* Appends the stored bars from `from` to `to`, both included, to `bars`, and
 * sets its interval and last_is_partial. */
int bars_store_load(struct book *book, const struct stored_series *series, int64_t from, int64_t to,
                    struct bars *bars, struct error *error);

/* The time of the newest bar of all series that is not after `to`; `to` itself where a
 * chunk reaches beyond it, for bars are not read for this. INT64_MIN: there is none. */
int bars_store_newest(struct book *book, int64_t to, int64_t *newest, struct error *error);

/* Makes of what the book knows of a series what it would, had it no bars after
 * `to`: count, last and partial. */
int bars_store_up_to(struct book *book, struct stored_series *series, int64_t to,
                     struct error *error);

enum bar_outcome {
    BAR_REPLACED, /* `old` was stored and is no longer */
    BAR_KEPT_OUT  /* `old` is stored and stays; `new` was kept out */
};

/* Bars before a time that have been rounded and taken back: prices that differ by
 * no more are the same, and volume does not tell. */
struct bar_tolerance {
    int64_t before;
    double room;
};

/* Merges blocks of bars into one series, inside a transaction of the caller's.
 * A bar that is there already, equal, changes nothing; a volume that was not
 * known is filled in; a partial last bar is replaced; any other difference is
 * a contradiction: with `replace` the new bar takes the old one's place. */
struct bars_writer {
    struct book *book;
    struct stored_series series;
    bool replace;
    void *context; /* for `contradiction`, which may be NULL */
    int (*contradiction)(void *context, enum bar_outcome outcome, const struct bar *old,
                         const struct bar *new, struct error *error);
    const struct bar_tolerance *tolerances; /* in order of time; may be NULL */
    size_t tolerance_count;
    int64_t partial_time;      /* of the bar that was partial before; INT64_MIN: none */
    int64_t newest;            /* of the newest bar merged; INT64_MIN: none */
    int64_t first_known;       /* time of the first bar that was there, equal; INT64_MAX: none */
    int64_t last_contradicted; /* of the last that differed; INT64_MIN: none */
    int64_t first_changed;     /* of the first that was written anew; INT64_MAX: none */
    uint64_t added;
    uint64_t known;
    uint64_t replaced;
    uint64_t kept_out;
    struct statement insert;
    struct statement overlapping;
    struct statement delete;
    struct bars stored; /* scratch: the chunks that a block touches */
    struct bars merged;
};

/* Fill book, series, replace and the callback first. Finish also after an
 * error. */
int bars_writer_begin(struct bars_writer *writer, struct error *error);
/* Bars in order of time that obey the rules of a bar. */
int bars_writer_merge(struct bars_writer *writer, const struct bars *block, struct error *error);
/* Notes whether the last bar is partial, and the last observation in it
 * (observed_known). */
int bars_writer_mark(struct bars_writer *writer, bool partial, bool observed_known,
                     int64_t observed, struct error *error);
void bars_writer_finish(struct bars_writer *writer);

#endif
