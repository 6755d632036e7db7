/* What the reader of price files is told, and what it tells of a file: the
 * types of prices/csv.h. */
#ifndef RUSHLIGHT_PRICES_CSV_SINK_H
#define RUSHLIGHT_PRICES_CSV_SINK_H

#include "base/error.h"
#include "market/bars.h"
#include "market/session.h"
#include "prices/csv_number.h"
#include "prices/csv_time.h"
#include "prices/csv_wishes.h"

#include <stddef.h>
#include <stdint.h>

/* How much of a line that was set aside is kept. */
enum { CSV_FAULT_TEXT = 200, CSV_BLOCK = 4096 };

/* Prices beyond this size are set aside: with them a range could overflow. */
#define CSV_LARGEST_PRICE 1e100

struct csv_fault {
    uint64_t line;                 /* from 1, the header included */
    char text[CSV_FAULT_TEXT + 4]; /* the line, cut at a character, with "…" where it was */
    const char *reason;            /* such as "high 9.2 is below close 9.4" */
};

struct csv_options {
    struct interval interval; /* of the bars; NONE: seen from the first lines. Where those show
                               * shorter bars that could make such ones, they are read as they are */
    enum csv_dates dates;     /* ANY: worked out from the whole file */
    const char *zone;         /* of times that do not say theirs, refused where the header names
                               * another; NULL: the header's, else the session's */
    const struct csv_wishes *columns; /* which column is what; NULL: as the header's words say */
    struct file_hasher *hasher;       /* is given the bytes of a file as they are read; or NULL */
    struct session *session;          /* decides what a daily bar is; NULL: days of UTC */
    /* Observations that go on from an earlier file: the partial bar they left
     * and the time of the last one in it, which is not counted again. */
    bool continues;
    struct bar partial;
    int64_t observed;
};

/* What the file turned out to be. */
struct csv_facts {
    struct interval interval; /* of the bars; NONE where it cannot be seen */
    bool dated;               /* times of the bars are dates */
    bool newest_first;
    bool observations;
    struct csv_style style;
    enum csv_dates dates;
    uint64_t size; /* bytes; 0 where not known */
};

/* Where the lines go. A callback that returns an error code (with `error`
 * filled) ends the reading with it; `begin` and `progress` may be NULL. */
struct csv_sink {
    void *context;
    /* Once, before anything else. */
    int (*begin)(void *context, const struct csv_facts *facts, struct error *error);
    /* The next bars, at most CSV_BLOCK, in order of time; of a file that is
     * newest first each block lies before the one handed out before it. */
    int (*bars)(void *context, const struct bars *block, struct error *error);
    /* A line of a time that does not fit may come behind later ones: the lines
     * around it tell. */
    int (*set_aside)(void *context, const struct csv_fault *fault, struct error *error);
    /* After each block: bytes read so far, of `size`. */
    int (*progress)(void *context, uint64_t done, uint64_t size, struct error *error);
};

struct csv_summary {
    struct csv_facts facts;
    uint64_t lines; /* that were not blank, the header left out */
    uint64_t bars;
    uint64_t set_aside;
    bool last_is_partial; /* observations: the newest bar may still receive prices */
    int64_t observed;     /* observations: time of the newest */
};

#endif
