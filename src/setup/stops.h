/* Stops: each is one row of a table with its mirror (docs/method.md 7). */
#ifndef RUSHLIGHT_SETUP_STOPS_H
#define RUSHLIGHT_SETUP_STOPS_H

#include "base/parameter.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>

/* When a stop's price is known. */
enum stop_stage {
    STOP_AT_SIGNAL,
    STOP_AT_FIRING, /* the same, but an entry that waits for a close comes up to it from
                     * beyond: it counts from the bar that fires */
    STOP_AT_RETEST, /* at the bar of the return */
    STOP_AT_ORDER,  /* at the signal for a resting order, else at the fill */
};

/* What a stop's function looks at; bars are of the setup's own side. */
struct stop_view {
    struct sheet *sheet;
    size_t candle; /* t */
    size_t signal;
    double candle_low;
    size_t break_bar;  /* retest: the bar that closed beyond the level */
    size_t retest_bar; /* retest: the bar of the return */
    double reference;  /* order price, or the fill */
    size_t atr_bar;    /* whose ATR counts for that reference */
    const double *values;
};

struct stop {
    const char *name;        /* NULL ends the table */
    const char *mirror_name; /* NULL: its own mirror */
    enum stop_stage stage;
    struct parameter parameters[PARAMETER_LIMIT];
    const char *help;
    const char *said; /* the help without what else could be written; NULL: it is the same */
    const char *source;
    /* The price before buffer and rounding; NaN: there is none, the signal
     * lapses. */
    double (*price)(const struct stop_view *view);
};

extern const struct stop stops[];
/* Whether a buffer counts on this stop alone; in lower_of it always does. */
bool stop_takes_buffer(const struct stop *stop);
/* Whether its price is a level of the fall before the candle, or that of a swing. */
bool stop_is_of_fall(const struct stop *stop);
bool stop_is_at_swing(const struct stop *stop);

/* The row of this name or mirror name; NULL if there is none. */
const struct stop *stop_find(const char *name, bool *mirrored);

#endif
