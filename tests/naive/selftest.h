/* What the parts of the self-test share: checks, and markets of a few bars or by chance. */
#ifndef NAIVE_SELFTEST_H
#define NAIVE_SELFTEST_H

#include "naive.h"

#define MOST_BARS 700
#define DAY ((int64_t)86400)

struct store {
    int64_t time[MOST_BARS];
    double open[MOST_BARS], high[MOST_BARS], low[MOST_BARS], close[MOST_BARS], volume[MOST_BARS];
    struct naive_market market;
};

void check(bool holds, const char *what);
void check_near(double value, double expected, double within, const char *what);
void store_begin(struct store *store, const char *interval);
void store_bar(struct store *store, int64_t time, double o, double h, double l, double c);
int64_t day_number(size_t i);
void store_rows(struct store *store, const double rows[][4], size_t count);
int64_t park_miller(int64_t *state);
void store_walk(struct store *store, int64_t seed, size_t count, const char *interval,
                int64_t step);
void store_negated(const struct store *from, struct store *to);
void store_days_of(const struct store *halves, struct store *days);

void test_rsi(void);
void test_fixture(void);
void test_shapes(void);
void test_more_shapes(void);
void test_conditions(void);
void test_place(void);
void test_buy_stop(void);
void test_same_bar(void);
void test_best_lives_on(void);
void test_finer(void);
void test_exits(void);
void test_short(void);
void test_waiting_for_a_close(void);
void test_retest(void);
void test_trail_and_overlap(void);
void test_all_shapes_and_conditions(void);
void test_mirror(void);
void test_combinations(void);

#endif
