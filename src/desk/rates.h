/* Rates of exchange, each with the date it is of, and the way from one currency
 * to another over several of them. */
#ifndef RUSHLIGHT_DESK_RATES_H
#define RUSHLIGHT_DESK_RATES_H

#include "base/error.h"
#include "base/fraction.h"
#include "market/instrument.h"

/* Pairs that a book may name, and those that a person may give beside them. */
enum { RATE_NAMED_LIMIT = 32, RATE_LIMIT = 2 * RATE_NAMED_LIMIT };

/* One unit of `base` costs `price` units of `quote`: EUR/USD 1.08. */
struct rate {
    char base[CURRENCY_SIZE];
    char quote[CURRENCY_SIZE];
    struct fraction price; /* > 0 */
    bool dated;            /* it is of a bar's close, not given by hand */
    int64_t at;            /* the start of that bar */
};

struct rates {
    struct rate list[RATE_LIMIT];
    size_t count;
};

/* A pair of currencies such as EUR/USD: seven bytes; false for anything else, and
 * for twice the same. */
bool rate_pair_read(const char *bytes, size_t length, struct rate *rate);

/* Whether they are of the same two currencies, either way round. */
bool rate_same_pair(const struct rate *a, const struct rate *b);

/* Adds one; ERROR_INPUT beyond RATE_LIMIT, and for a price that is not above 0 or
 * cannot be held. A pair that is there already, either way round, keeps its rate:
 * those that count first are added first. */
int rates_add(struct rates *rates, const struct rate *rate, struct error *error);

/* How `amount of to = rate * amount of from` was come by. */
struct rate_way {
    struct fraction rate;
    const struct rate *legs[RATE_LIMIT]; /* in order, from `from` to `to` */
    bool turned[RATE_LIMIT];             /* the leg divides */
    size_t count;                        /* 0: the same currency */
};

/* Over as few rates as there can be; of several such ways the one whose rates were
 * added first. ERROR_INPUT where none leads there, or the product cannot be held. */
int rates_between(const struct rates *rates, const char *from, const char *to, struct rate_way *way,
                  struct error *error);

#endif
