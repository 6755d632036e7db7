/*
 * Self-test of the naive implementation: hand-worked cases, published and exact values (each with
 * its source), and runs over random markets for the sanitizers.
 */
#include "selftest.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int checks = 0;
static int failures = 0;

void check(bool holds, const char *what)
{
    checks += 1;
    if (!holds) {
        failures += 1;
        printf("FAILED: %s\n", what);
    }
}

void check_near(double value, double expected, double within, const char *what)
{
    check(fabs(value - expected) <= within, what);
    if (!(fabs(value - expected) <= within)) {
        printf("        %.12g, expected %.12g\n", value, expected);
    }
}

/* --- markets ---------------------------------------------------------------------------------*/

void store_begin(struct store *store, const char *interval)
{
    memset(store, 0, sizeof *store);
    store->market.bars = (struct naive_bars){.time = store->time,
                                             .open = store->open,
                                             .high = store->high,
                                             .low = store->low,
                                             .close = store->close,
                                             .volume = store->volume,
                                             .interval = interval};
    store->market.tick = 0.01;
}

void store_bar(struct store *store, int64_t time, double o, double h, double l, double c)
{
    size_t i = store->market.bars.count++;
    store->time[i] = time;
    store->open[i] = o;
    store->high[i] = h;
    store->low[i] = l;
    store->close[i] = c;
    store->volume[i] = 1000.0 + 10.0 * (double)(i % 7);
}

/* Days from Monday 2020-01-06 on, every calendar day. */
int64_t day_number(size_t i)
{
    return (18267 + (int64_t)i) * DAY;
}

void store_rows(struct store *store, const double rows[][4], size_t count)
{
    store_begin(store, "1d");
    for (size_t i = 0; i < count; i++) {
        store_bar(store, day_number(i), rows[i][0], rows[i][1], rows[i][2], rows[i][3]);
    }
}

/* Park-Miller (Comm. ACM 31, 1988). */
int64_t park_miller(int64_t *state)
{
    *state = 16807 * *state % 2147483647;
    return *state;
}

/* Open: previous close and (x%21-10); then 13 steps of (x%31-15), in ticks of 0.01. */
void store_walk(struct store *store, int64_t seed, size_t count, const char *interval, int64_t step)
{
    int64_t state = seed;
    int64_t close = 10000;
    store_begin(store, interval);
    for (size_t i = 0; i < count; i++) {
        int64_t open = close + park_miller(&state) % 21 - 10;
        int64_t high = open;
        int64_t low = open;
        close = open;
        for (int j = 0; j < 13; j++) {
            close += park_miller(&state) % 31 - 15;
            high = close > high ? close : high;
            low = close < low ? close : low;
        }
        store_bar(store, 18267 * DAY + (int64_t)i * step, (double)open / 100.0,
                  (double)high / 100.0, (double)low / 100.0, (double)close / 100.0);
    }
}

void store_negated(const struct store *from, struct store *to)
{
    store_begin(to, from->market.bars.interval);
    for (size_t i = 0; i < from->market.bars.count; i++) {
        store_bar(to, from->time[i], -from->open[i], -from->low[i], -from->high[i],
                  -from->close[i]);
    }
}

/* Days of two half days each, so that the finer bars and the days are one market. */
void store_days_of(const struct store *halves, struct store *days)
{
    store_begin(days, "1d");
    for (size_t i = 0; i + 1 < halves->market.bars.count; i += 2) {
        store_bar(days, halves->time[i], halves->open[i],
                  fmax(halves->high[i], halves->high[i + 1]),
                  fmin(halves->low[i], halves->low[i + 1]), halves->close[i + 1]);
    }
    days->market.finer = &halves->market.bars;
}

int main(void)
{
    test_rsi();
    test_fixture();
    test_shapes();
    test_more_shapes();
    test_conditions();
    test_place();
    test_buy_stop();
    test_same_bar();
    test_best_lives_on();
    test_finer();
    test_exits();
    test_short();
    test_waiting_for_a_close();
    test_retest();
    test_trail_and_overlap();
    test_all_shapes_and_conditions();
    test_mirror();
    test_combinations();
    printf("%d checks, %d failed\n", checks, failures);
    return failures == 0 ? 0 : 1;
}
