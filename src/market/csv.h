/* Bars from a file of prices as data sellers write them.
 *
 * The file is read in bounded memory, whatever its size. A line that breaks a
 * rule of a bar is set aside with its number, its text and the reason; it is
 * never repaired and never lost. Blank lines are no lines. */
#ifndef RUSHLIGHT_MARKET_CSV_H
#define RUSHLIGHT_MARKET_CSV_H

#include "base/error.h"
#include "market/bars.h"

#include <stddef.h>
#include <stdint.h>

/* How much of a line that was set aside is kept. */
enum { CSV_FAULT_TEXT = 200, CSV_BLOCK = 4096 };

/* Prices beyond this size are set aside: with them a range could overflow. */
#define CSV_LARGEST_PRICE 1e100

struct csv_fault {
    uint64_t line;    /* from 1, the header included */
    char text[CSV_FAULT_TEXT + 4]; /* the line, cut at a character, with "…" where it was */
    const char *reason; /* such as "high 9.2 is below close 9.4" */
};

struct csv_options {
    struct interval interval; /* of the bars; NONE: seen from the first lines */
};

/* Where the lines go. A callback that returns an error code (with `error`
 * filled) ends the reading with it. */
struct csv_sink {
    void *context;
    /* The next bars, at most CSV_BLOCK, in order of time. */
    int (*bars)(void *context, const struct bars *block, struct error *error);
    int (*set_aside)(void *context, const struct csv_fault *fault, struct error *error);
};

struct csv_summary {
    uint64_t lines;     /* that were not blank, the header left out */
    uint64_t bars;
    uint64_t set_aside;
    struct interval interval; /* of the bars; NONE where it cannot be seen */
};

/* Reads a file or memory into the sink. ERROR_INPUT names the file (`name` for
 * memory) and what is wrong with it as a whole: empty, a header and nothing
 * else, no text, UTF-16, columns without the usual names, a folder. */
int csv_read_file(const char *path, const struct csv_options *options, const struct csv_sink *sink,
                  struct csv_summary *summary, struct error *error);
int csv_read_memory(const char *bytes, size_t length, const char *name,
                    const struct csv_options *options, const struct csv_sink *sink,
                    struct csv_summary *summary, struct error *error);

#endif
