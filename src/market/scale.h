/* Adjusted bars and the prices that were traded (docs/prices.md).
 *
 * Ticks, costs and orders belong to traded prices, everything that compares to
 * those of the bars. For bars as traded the two are the same, bit for bit. */
#ifndef RUSHLIGHT_MARKET_SCALE_H
#define RUSHLIGHT_MARKET_SCALE_H

#include "base/number.h"
#include "market/bars.h"

/* The scale of a bar that starts at this time; NULL: as traded. */
const struct price_scale *bars_scale(const struct bars *bars, int64_t time);

/* A price as traded in the prices of the bars, and back. Where a split or roll
 * gives a decimal of up to nine places it is the double nearest to it, so that a
 * price traded before it and one after it can be equal. A scale of NULL leaves the price alone. */
double scale_to_view(const struct price_scale *scale, double traded);
double scale_to_traded(const struct price_scale *scale, double price);

/* The same at bar `index`. */
double bars_traded(const struct bars *bars, size_t index, double price);
double bars_viewed(const struct bars *bars, size_t index, double traded);
/* A length, such as a spread, in traded prices. */
double bars_viewed_length(const struct bars *bars, size_t index, double length);

/* Rounds a price of the bars to the ticks that were traded at bar `index`, as
 * base/number.h does. With a tick of 0, as where none is known, the price stays as
 * it is. */
double bars_round_up(const struct bars *bars, size_t index, const struct tick *tick, double price);
double bars_round_down(const struct bars *bars, size_t index, const struct tick *tick,
                       double price);

/* Gives the bars, which have none, a copy of these scales, and turns their
 * prices and volume as traded into those of the scales. Only ERROR_MACHINE. */
int bars_apply_scales(struct bars *bars, const struct price_scale *scales, size_t count,
                      struct error *error);

#endif
