/* The parts of one bar (docs/method.md 2). */
#ifndef RUSHLIGHT_CANDLES_ANATOMY_H
#define RUSHLIGHT_CANDLES_ANATOMY_H

#include "market/bars.h"

#include <stddef.h>

/* All in price units; body + upper + lower = range. */
struct anatomy {
    double open;
    double high;
    double low;
    double close;
    double range;
    double body;
    double upper; /* shadow above the body */
    double lower; /* shadow below it */
};

struct anatomy anatomy_of(const struct bars *bars, size_t index);

/* The tolerance of comparisons over bars first..last: 1e-10 of the largest
 * |high| or |low| among them. */
double price_tolerance(const struct bars *bars, size_t first, size_t last);

#endif
