/* The whole demo market, for tests that only read it. Include it after cmocka.h
 * and its companions; make_all and free_all go to cmocka_run_group_tests. */
#ifndef RUSHLIGHT_TESTS_DEMO_SAMPLE_H
#define RUSHLIGHT_TESTS_DEMO_SAMPLE_H

#include "demo/market.h"

enum { MOST = 64 };

static struct demo_market market;
static struct demo_series all[MOST]; /* in the order of demo_roster */

static inline int make_all(void **state)
{
    (void)state;
    struct error error;
    if (demo_roster_count > MOST || demo_market_init(&market, DEMO_SEED, &error) != ERROR_NONE)
        return -1;
    for (size_t i = 0; i < demo_roster_count; i++)
        if (demo_series_make(&market, i, &all[i], &error) != ERROR_NONE)
            return -1;
    return 0;
}

static inline int free_all(void **state)
{
    (void)state;
    for (size_t i = 0; i < demo_roster_count; i++)
        demo_series_free(&all[i]);
    demo_market_free(&market);
    return 0;
}

#endif
