/* Bars from a file of prices as data sellers write them.
 *
 * Comma, semicolon, tab or bar between the columns, the columns in any order
 * under their usual names; decimal point or comma, with thousands marks; dates
 * and times in many forms (prices/csv_time.h), oldest or newest first; bars, or
 * observations of time and price that are made into bars. What the first lines
 * do not tell is worked out from the whole file.
 *
 * The file is read in bounded memory, whatever its size. A line that breaks a
 * rule of a bar is set aside with its number, its text and the reason; it is
 * never repaired and never lost. Blank lines are no lines. */
#ifndef RUSHLIGHT_PRICES_CSV_H
#define RUSHLIGHT_PRICES_CSV_H

#include "base/error.h"
#include "market/bars.h"
#include "market/session.h"
#include "prices/csv_number.h"
#include "prices/csv_time.h"

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
    const char *zone;         /* of times that do not say theirs; NULL: the session's */
    struct session *session;  /* decides what a daily bar is; NULL: days of UTC */
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

/* Reads a file or memory into the sink. ERROR_INPUT names the file (`name` for
 * memory) and what is wrong with it as a whole: empty, a header and nothing
 * else, no text, UTF-16, columns without the usual names, dates that could be
 * day/month or month/day, a folder. */
int csv_read_file(const char *path, const struct csv_options *options, const struct csv_sink *sink,
                  struct csv_summary *summary, struct error *error);
int csv_read_memory(const char *bytes, size_t length, const char *name,
                    const struct csv_options *options, const struct csv_sink *sink,
                    struct csv_summary *summary, struct error *error);

#endif
