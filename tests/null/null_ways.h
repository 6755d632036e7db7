/* Ways to a p that are common and wrong, to be shown beside the one that is
 * used (docs/null-test.md). */
#ifndef RUSHLIGHT_TESTS_NULL_WAYS_H
#define RUSHLIGHT_TESTS_NULL_WAYS_H

#include "evidence/study.h"

enum wrong_way {
    WAY_DRAWS,  /* as many trades drawn at random from the other bars of the place */
    WAY_SHIFTS, /* the candles moved along the bars of the place, all by one share */
    WAY_SINGLE, /* two means of independent trades */
    WAY_COUNT
};

extern const char *const wrong_way_names[WAY_COUNT];

/* p, one-sided, that the setup's trades do no better than those of the other
 * bars of its place; NaN where an arm has fewer than two closed trades. False
 * without memory. */
bool wrong_ways(double p[WAY_COUNT], const struct setup *setup, const struct study_series *series,
                size_t count, const struct date_grid *grid, uint64_t seed);

#endif
