/* The price step that shows in the prices themselves, where nobody says a tick. */
#ifndef RUSHLIGHT_MARKET_PRICE_STEP_H
#define RUSHLIGHT_MARKET_PRICE_STEP_H

#include "base/number.h"
#include "market/bars.h"

/* The widest price step on which all prices lie (the greatest common divisor
 * of their differences, in decimals)) taken
 * as they stand. Where all prices are equal, one unit of their last place; 1e-10 where
 * they have more than 10 places. */
double bars_smallest_step(const struct bars *bars);

/* A step that can be believed. */
struct likely_step {
    struct tick tick;
    size_t beside; /* bars with a price that does not lie on it */
};

/* The step to assume: the widest that is bars_smallest_step times twos and fives
 * and on which all bars lie but for one in fifty of those that move at all; so a
 * few lines with digits of their own do not make it finer. Prices that went
 * through single precision (IEEE 754: 2^-24 of their size) lie on the decimal
 * that they were before. False, with *likely left alone, where there is none to
 * believe: no bars, or prices of more than 1e8 steps, such as adjusted or
 * averaged ones. */
bool bars_likely_step(const struct bars *bars, struct likely_step *likely);

#endif
