/* Files whose earlier bars have been adjusted again since the book has them:
 * what connects the two, and bars taken back to what was traded. */
#ifndef RUSHLIGHT_MARKET_READJUST_H
#define RUSHLIGHT_MARKET_READJUST_H

#include "market/bars.h"

/* Decimal places that are told apart. */
enum { PRICE_PLACES = 9 };

/* The places that a price, or those of a bar, need, at least `places`, at most
 * PRICE_PLACES. */
int price_places(double price, int places);
int prices_places(const struct bar *bar, int places);
/* A price of so many places, where that is within `room` of it; else the price. */
double price_to_places(double price, int places, double room);

/* From the first bar to the last before `before`, other = stored * value (ratio)
 * or stored + value, in all four prices. */
struct readjustment {
    bool ratio;
    double value;
    int64_t before;
    double grain; /* how far a price may be off when the adjustment is taken back */
    int places;   /* of the stored prices */
};

struct value_range {
    double low;
    double high;
};

/* What may connect bars seen so far. The last decimal of the other prices, to
 * half of which they are exact, is known only at the end: a range for each. */
struct readjust_search {
    size_t count;
    int stored_places;
    int places;
    bool no_ratio; /* a stored price is 0 */
    struct value_range ratios[PRICE_PLACES + 1];
    struct value_range differences[PRICE_PLACES + 1];
};

void readjust_begin(struct readjust_search *search);
/* The next two bars of one time that differ. */
void readjust_note(struct readjust_search *search, const struct bar *stored,
                   const struct bar *other);
/* True, with all of `found` but `before` filled, where at least five pairs differ
 * by one ratio or one difference within half of the last decimal of the others:
 * the simplest fraction, or the shortest decimal, that does. */
bool readjust_found(const struct readjust_search *search, struct readjustment *found);

/* Takes the adjustment back from the bars before it; a price within the grain of
 * one with the stored prices' decimals is that one. */
void bars_undo_readjustment(struct bars *bars, const struct readjustment *adjusted);

#endif
