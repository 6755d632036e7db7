/* Entries: each is one row of a table with its mirror (docs/method.md 7). The
 * long side is written out; the simulation runs short setups on the mirrored
 * sheet. */
#ifndef RUSHLIGHT_SETUP_ENTRIES_H
#define RUSHLIGHT_SETUP_ENTRIES_H

#include "base/number.h"
#include "base/parameter.h"
#include "measures/sheet.h"
#include "structure/swings.h"

#include <stdbool.h>
#include <stddef.h>

enum entry_kind {
    ENTRY_MARKET,     /* at the next open */
    ENTRY_STOP_ORDER, /* a resting order at the level */
    ENTRY_LIMIT,      /* a resting order at a better price than the close's */
    ENTRY_CLOSE,      /* waits for a close */
    ENTRY_RETEST      /* waits for a close beyond the level and a return to it */
};

/* The retest's parameters, in the order of its row. */
enum {
    RETEST_LEVEL,
    RETEST_BARS,
    RETEST_SWING_STRENGTH,
    RETEST_TOLERANCE,
    RETEST_BREAK_WITHIN,
    RETEST_RETEST_WITHIN
};

enum retest_of { RETEST_RETRACEMENT, RETEST_TREND_LINE, RETEST_SWING };

/* What an entry's functions look at; bars are of the setup's own side. */
struct entry_view {
    struct sheet *sheet;
    size_t first;  /* the candle's bars */
    size_t candle; /* t */
    size_t signal; /* s */
    double candle_high;
    double candle_low;
    double buffer;           /* price */
    const struct tick *tick; /* of the traded prices at the signal */
    const double *values;    /* of the row's parameters */
    enum retest_of retest_of;
    struct trend_line line; /* filled by prepare, where one is used */
    struct fall fall;
    double level; /* likewise: a level that stands still */
};

struct entry {
    const char *name;        /* NULL ends the table */
    const char *mirror_name; /* NULL: its own mirror */
    enum entry_kind kind;
    struct parameter parameters[PARAMETER_LIMIT];
    const char *help;
    const char *waits; /* the help up to the number of bars that ends it; NULL: none does */
    const char *source;
    /* Works out what stands at the signal; false: there is nothing to wait for
     * (no trend line, no swing) and the signal lapses. NULL: nothing to do. */
    bool (*prepare)(struct entry_view *view);
    /* The level to be exceeded at bar j, unrounded unless it is an order's
     * price; NULL: none. */
    double (*level)(const struct entry_view *view, size_t j);
    /* Further condition on the firing bar; NULL: a close above the level. */
    bool (*fires)(const struct entry_view *view, size_t j);
};

extern const struct entry entries[];
/* The row of this name or mirror name; NULL if there is none. */
const struct entry *entry_find(const char *name, bool *mirrored);
/* Whether it waits for a close beyond the trend line, or beyond the newest swing. */
bool entry_breaks(const struct entry *entry, enum retest_of what);
/* Whether it waits for nothing but a close beyond one price, the same at every bar. */
bool entry_stands(const struct entry *entry, enum retest_of what);
/* Whether an order rests at a price that is known at the signal. */
bool entry_rests(const struct entry *entry);
/* Whether a buffer belongs to the entry's level; the other rows ignore it. */
bool entry_takes_buffer(const struct entry *entry);

#endif
