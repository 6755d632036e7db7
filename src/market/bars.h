/* Bars: columns of times and prices of one instrument and interval.
 *
 * The rules of a bar (docs/method.md 1) hold for every `struct bars` that the
 * engine is given: times strictly increasing; all four prices finite,
 * low <= min(open, close), high >= max(open, close); prices of any sign. */
#ifndef RUSHLIGHT_MARKET_BARS_H
#define RUSHLIGHT_MARKET_BARS_H

#include "base/error.h"
#include "market/interval.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct bar {
    int64_t time; /* start of the bar: UTC second; for dated bars the date at 00:00 UTC */
    double open;
    double high;
    double low;
    double close;
    double volume; /* NaN where unknown */
};

/* How adjusted bars stand to the prices that were traded: those of bars before
 * this time are (traded + shift) / split * share (market/scale.h). */
struct price_scale {
    int64_t before;
    double shift; /* of rolls, in traded prices */
    double share; /* that dividends left, > 0 */
    double split; /* units for each one traded, > 0: what volume was multiplied by */
};

struct bars {
    size_t count;
    size_t capacity;
    int64_t *time;
    double *open;
    double *high;
    double *low;
    double *close;
    double *volume;
    struct interval interval; /* NONE where not known */
    /* The last bar's bucket may still receive prices: it is shown, but no
     * signal, condition or swing comes from it. */
    bool last_is_partial;
    /* One for each stretch of adjusted bars, in order of time; none, or after
     * the last: as traded. Owned. Slices, mirrors and longer bars carry them. */
    struct price_scale *scales;
    size_t scale_count;
};

/* Empty bars; needs no memory. */
void bars_init(struct bars *bars);
void bars_free(struct bars *bars);

/* Room for `capacity` bars in all; ERROR_MACHINE without memory, the bars
 * unchanged. */
int bars_reserve(struct bars *bars, size_t capacity, struct error *error);
/* Appends without checking the rules of a bar. Returns ERROR_MACHINE without
 * memory, the bars unchanged. */
int bars_append(struct bars *bars, const struct bar *bar, struct error *error);
/* Appends bars first .. last-1 of `more`. */
int bars_append_range(struct bars *bars, const struct bars *more, size_t first, size_t last,
                      struct error *error);
/* Turns the order of the bars round. */
void bars_reverse(struct bars *bars);
struct bar bars_at(const struct bars *bars, size_t index);

/* The number of bars that signals and conditions may use: all but a partial
 * last one. */
size_t bars_complete(const struct bars *bars);

/* NULL if a bar obeys the rules of a bar by itself, else what is wrong, such
 * as "high 9.2 is below close 9.4", written to `reason`. */
enum { BAR_REASON_SIZE = 160 };
const char *bar_fault(const struct bar *bar, char reason[BAR_REASON_SIZE]);

/* Index of the first bar at or after `time`; count if there is none. */
size_t bars_find(const struct bars *bars, int64_t time);

/* `copy` (initialised here, the caller's to free) gets bars first..last-1. */
int bars_slice(struct bars *copy, const struct bars *bars, size_t first, size_t last,
               struct error *error);
/* Bars first..last-1 as a view: it shares their columns and has no scales; not
 * to be freed, appended to or read after them. */
struct bars bars_window(const struct bars *bars, size_t first, size_t last);
/* `copy` gets the bars of the mirrored market: prices negated, high and low
 * swapped, volume unchanged. */
int bars_mirror(struct bars *copy, const struct bars *bars, struct error *error);

/* Gives the bars, which have none, a copy of these scales, their prices left
 * alone. Only ERROR_MACHINE. */
int bars_set_scales(struct bars *bars, const struct price_scale *scales, size_t count,
                    struct error *error);

#endif
