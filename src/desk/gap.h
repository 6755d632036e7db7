/* How far an instrument has opened against a position that was held overnight, or
 * over any break between two of its bars. */
#ifndef RUSHLIGHT_DESK_GAP_H
#define RUSHLIGHT_DESK_GAP_H

#include "base/error.h"
#include "market/bars.h"

enum { GAP_LEAST_BARS = 100 };

struct gap {
    bool known;    /* there were bars enough, and the last has an ATR */
    double length; /* the 99th percentile in prices of the last bar, >= 0 */
    double atrs;   /* the same in ATR */
    size_t count;  /* gaps looked at */
};

/* Each gap is the open less the close before, against the side held (0 where it was
 * with it), in ATR(14) of the bar before; the percentile is the least of them that
 * is not below 99 in 100 of them (nearest rank), times the ATR of the last whole
 * bar. Not known of less than GAP_LEAST_BARS gaps. Only ERROR_MACHINE. */
int gap_measure(const struct bars *bars, bool is_short, struct gap *gap, struct error *error);

#endif
