/* Markets in which nothing can be known: bars made from fair steps of one
 * tick, for the null test. */
#ifndef RUSHLIGHT_TESTS_NULL_MARKET_H
#define RUSHLIGHT_TESTS_NULL_MARKET_H

#include "market/bars.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct null_kind {
    size_t instruments;
    size_t dates;
    bool clustered; /* the number of steps a day moves slowly and widely */
};

/* All instruments of one seed. Each date has 200 steps of +-1 tick (tick 1) a
 * bar, or 200 times exp(v) with a slow autoregressive v common to all. Steps
 * of several instruments have a correlation of 0.6. A bar opens at the close
 * before. */
struct null_market {
    size_t count;
    struct bars *daily;
    /* The steps that made the bars, as bars of at most 3 ticks from high to
     * low: no stop and target, and no entry and stop, lie in one of them. */
    struct bars *steps;
};

/* True unless memory ran out. `with_steps`: also make the steps. */
bool null_market_init(struct null_market *market, const struct null_kind *kind, uint64_t seed,
                      bool with_steps);
void null_market_free(struct null_market *market);

#endif
