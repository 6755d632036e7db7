/* The simulator on bars that move one tick up or down: there the gambler's ruin
 * says how often a target comes before a stop and how long it takes (Feller,
 * An Introduction to Probability Theory, vol. 1, chapter XIV; formulas checked
 * against an exact linear solution), and the reflection principle how far the
 * price goes against a trade.
 *
 * Every bar opens at the close before and closes one tick away, so its true
 * range is one tick and ATR is exactly 1; `stop: {at: atr, times: a}` on the
 * next open is a stop a ticks below the fill, and no bar reaches both sides.
 * Trades follow one another (`overlap: one`), so by the strong Markov property
 * they are independent, and a figure may miss its expectation by three
 * standard errors. With some 100 figures one in 370 falls outside by chance;
 * the seeds are the rows' numbers, chosen before the first run. */
#include "base/random.h"
#include "trade/trade.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "sample.h"

enum { STANDARD_ERRORS = 3 };

static void walk_bars(struct bars *bars, size_t count, double up, uint64_t seed)
{
    struct random_stream stream;
    double price = 100000;
    bars_init(bars);
    random_start(&stream, seed, 0);
    for (size_t i = 0; i < count; i++) {
        double close = price + (random_unit(&stream) < up ? 1 : -1);
        add_bar(bars, price, fmax(price, close), fmin(price, close), close);
        price = close;
    }
}

/* All trades of every bar's next open, one after the other. */
static void walk_trades(struct trades *trades, size_t count, double up, uint64_t seed, int stop,
                        const char *exit)
{
    struct bars bars;
    struct setup setup;
    struct setup_view view;
    struct error error;
    char text[400];
    struct trade_terms terms = {.point_value = 1};
    snprintf(text, sizeof text,
             "setup: walk\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"
             "stop: {at: atr, times: %d}\nexit: {%s}\n",
             stop, exit);
    setup_from(&setup, text);
    assert_true(tick_from_number(&terms.tick, 1));
    walk_bars(&bars, count, up, seed);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), ERROR_NONE);
    assert_int_equal(trades_find(&view, &terms, 0, SIZE_MAX, false, trades, &error), ERROR_NONE);
    sheet_free(sheet);
    bars_free(&bars);
    setup_free(&setup);
}

/* Mean and standard error of what is added one by one (Welford 1962). */
struct tally {
    double count;
    double mean;
    double squares;
};

static void tally_add(struct tally *tally, double x)
{
    double off = x - tally->mean;
    tally->count++;
    tally->mean += off / tally->count;
    tally->squares += off * (x - tally->mean);
}

/* By the spread seen; for a share the spread expected is as near. */
static void assert_mean(const struct tally *tally, double expected, const char *what)
{
    double error = sqrt(tally->squares / (tally->count - 1) / tally->count);
    assert_true(tally->count > 200);
    assert_near_named(tally->mean, expected, STANDARD_ERRORS * error + 1e-12, what);
}

/* By the variance known. */
static void assert_mean_known(const struct tally *tally, double expected, double variance,
                              const char *what)
{
    assert_true(tally->count > 200);
    assert_near_named(tally->mean, expected,
                      STANDARD_ERRORS * sqrt(variance / tally->count) + 1e-12, what);
}

struct ruin_row {
    int stop;   /* ticks below */
    int target; /* ticks above */
    double up;  /* probability of a tick up */
    double target_first;
    double duration; /* bars, the entry bar included */
    double duration_variance;
    double profit; /* ticks */
};

/* Computed exactly; five rows also simulated elsewhere. */
static const struct ruin_row ruin_rows[] = {
    {1, 1, 0.5, 0.500000000000, 1, 0, 0},
    {1, 2, 0.5, 0.333333333333, 2, 2, 0},
    {1, 3, 0.5, 0.250000000000, 3, 8, 0},
    {2, 3, 0.5, 0.400000000000, 6, 22, 0},
    {5, 10, 0.5, 0.333333333333, 50, 2050, 0},
    {10, 10, 0.5, 0.500000000000, 100, 6600, 0},
    {10, 20, 0.5, 0.333333333333, 200, 33200, 0},
    {10, 30, 0.5, 0.250000000000, 300, 99800, 0},
    {1, 2, 0.51, 0.346753766165, 2.013064925, 2.003108469, 0.040261298},
    {5, 10, 0.51, 0.401768875331, 51.326656498, 2052.491320969, 1.026533130},
    {10, 10, 0.51, 0.598700477028, 98.700477028, 6394.276257526, 1.974009541},
    {10, 10, 0.49, 0.401299522972, 98.700477028, 6394.276257526, -1.974009541},
    {5, 5, 0.55, 0.731717401181, 23.171740118, 330.931811797, 2.317174012},
    {10, 20, 0.55, 0.867677281574, 160.303184472, 10792.958659461, 16.030318447},
};

enum { WALK_BARS = 300000 };

static void test_ruin(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof ruin_rows / sizeof *ruin_rows; i++) {
        const struct ruin_row *row = &ruin_rows[i];
        struct trades trades;
        struct tally first = {0};
        struct tally duration = {0};
        struct tally profit = {0};
        char exit[80];
        /* A share of a risk that is not finite in binary still meets the
         * target's tick: 1e-6 of a tick counts as whole. */
        snprintf(exit, sizeof exit, "targets: [{r: %.17g}]", (double)row->target / row->stop);
        walk_trades(&trades, WALK_BARS, row->up, i + 1, row->stop, exit);
        for (size_t k = 0; k < trades.count; k++) {
            const struct trade *t = &trades.list[k];
            if (!trade_closed(t->reason))
                continue;
            double ticks = t->exit - t->entry;
            assert_true(ticks == row->target || ticks == -row->stop);
            assert_int_equal(t->reason, ticks > 0 ? TRADE_TARGET : TRADE_STOP);
            assert_false(t->same_bar);
            tally_add(&first, t->reason == TRADE_TARGET);
            tally_add(&duration, (double)t->bars + 1);
            tally_add(&profit, t->r * row->stop);
        }
        double p = row->target_first;
        double span = row->stop + row->target;
        assert_mean_known(&first, p, p * (1 - p), "target first");
        assert_mean_known(&duration, row->duration, row->duration_variance, "duration");
        assert_mean_known(&profit, row->profit, span * span * p * (1 - p), "profit");
        trades_free(&trades);
    }
}

/* Computed exactly: at most N bars, then out at the close. The mean profit of
 * a fair walk is 0 whatever the rule (optional stopping). */
static const struct {
    int stop;
    int target;
    int horizon;
    double target_first;
    double stop_first;
    double neither;
} horizon_rows[] = {
    {2, 3, 10, 0.322265625000, 0.537109375000, 0.140625000000},
    {3, 3, 10, 0.341796875000, 0.341796875000, 0.316406250000},
    {5, 10, 20, 0.026602745056, 0.263175964355, 0.710221290588},
    {5, 10, 50, 0.156178294428, 0.479582007564, 0.364239698007},
    {10, 20, 100, 0.045988736223, 0.319726948386, 0.634284315390},
};

static void test_finite_horizon(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof horizon_rows / sizeof *horizon_rows; i++) {
        struct trades trades;
        struct tally share[3] = {{0}};
        struct tally profit = {0};
        char exit[80];
        /* The entry bar is the first of the N. */
        snprintf(exit, sizeof exit, "targets: [{r: %.17g}], time_stop: %d",
                 (double)horizon_rows[i].target / horizon_rows[i].stop,
                 horizon_rows[i].horizon - 1);
        walk_trades(&trades, WALK_BARS, 0.5, 100 + i, horizon_rows[i].stop, exit);
        for (size_t k = 0; k < trades.count; k++) {
            const struct trade *t = &trades.list[k];
            if (!trade_closed(t->reason))
                continue;
            assert_true(t->reason != TRADE_TIME || (int)t->bars + 1 == horizon_rows[i].horizon);
            tally_add(&share[0], t->reason == TRADE_TARGET);
            tally_add(&share[1], t->reason == TRADE_STOP);
            tally_add(&share[2], t->reason == TRADE_TIME);
            tally_add(&profit, t->r * horizon_rows[i].stop);
        }
        assert_mean(&share[0], horizon_rows[i].target_first, "target first");
        assert_mean(&share[1], horizon_rows[i].stop_first, "stop first");
        assert_mean(&share[2], horizon_rows[i].neither, "neither");
        assert_mean(&profit, 0, "profit");
        trades_free(&trades);
    }
}

/* Reflection principle: P(the walk has been a or more below its start within n
 * steps) = P(S <= -a) + P(S < -a) (computed, equal to the exact recursion). */
static const struct {
    int horizon;
    double mean;
    struct {
        int depth;
        double chance;
    } rows[5];
} depth_rows[] = {
    {5, 1.375, {{1, 0.6875}, {2, 0.375}, {3, 0.21875}, {5, 0.03125}, {0, 0}}},
    {10, 2.083984375, {{1, 0.75390625}, {2, 0.548828125}, {3, 0.34375}, {5, 0.109375}, {0, 0}}},
    {20,
     3.1120395660,
     {{1, 0.8238029480},
      {2, 0.6636238098},
      {3, 0.5034446716},
      {5, 0.2631759644},
      {10, 0.0266036987}}},
    {100,
     7.4987183574,
     {{1, 0.9204107626},
      {3, 0.7643534344},
      {5, 0.6172994136},
      {10, 0.3197273207},
      {20, 0.0460440669}}},
    {250,
     12.1282593934,
     {{1, 0.9495877869},
      {3, 0.8495635544},
      {5, 0.7519020991},
      {10, 0.5279966430},
      {20, 0.2067199822}}},
};

/* The stop lies further away than the walk can get. */
static void test_excursions_over_a_horizon(void **state)
{
    enum { FAR = 250 };
    (void)state;
    for (size_t i = 0; i < sizeof depth_rows / sizeof *depth_rows; i++) {
        struct trades trades;
        struct tally depth[5] = {{0}};
        struct tally height[5] = {{0}};
        struct tally mean = {0};
        char exit[80];
        snprintf(exit, sizeof exit, "time_stop: %d", depth_rows[i].horizon - 1);
        walk_trades(&trades, WALK_BARS, 0.5, 200 + i, FAR, exit);
        for (size_t k = 0; k < trades.count; k++) {
            const struct trade *t = &trades.list[k];
            if (!trade_closed(t->reason))
                continue;
            tally_add(&mean, -t->mae_r * FAR);
            for (size_t row = 0; row < 5; row++) {
                double ticks = depth_rows[i].rows[row].depth - 1e-6;
                tally_add(&depth[row], -t->mae_r * FAR >= ticks);
                tally_add(&height[row], t->mfe_r * FAR >= ticks);
            }
        }
        assert_mean(&mean, depth_rows[i].mean, "mean MAE");
        for (size_t row = 0; row < 5 && depth_rows[i].rows[row].depth > 0; row++) {
            assert_mean(&depth[row], depth_rows[i].rows[row].chance, "MAE");
            assert_mean(&height[row], depth_rows[i].rows[row].chance, "MFE");
        }
        trades_free(&trades);
    }
}

/* A fair walk that was stopped had been m above with probability
 * a(b-m)/((a+m)b); one that reached the target had been m below with
 * b(a-m)/((b+m)a) (strong Markov property; the first formula also simulated
 * elsewhere). */
static const struct {
    int stop;
    int target;
    int reached;
    bool at_target;
    double chance;
} reached_rows[] = {
    {10, 20, 5, false, 1.0 / 2}, {10, 20, 10, false, 1.0 / 4}, {10, 20, 15, false, 1.0 / 10},
    {5, 10, 5, false, 1.0 / 4},  {10, 20, 2, true, 8.0 / 11},  {10, 20, 5, true, 2.0 / 5},
    {10, 20, 8, true, 1.0 / 7},
};

static void test_excursions_before_an_exit(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof reached_rows / sizeof *reached_rows; i++) {
        struct trades trades;
        struct tally reached = {0};
        int stop = reached_rows[i].stop;
        char exit[80];
        snprintf(exit, sizeof exit, "targets: [{r: %.17g}]", (double)reached_rows[i].target / stop);
        walk_trades(&trades, WALK_BARS, 0.5, 300 + i, stop, exit);
        for (size_t k = 0; k < trades.count; k++) {
            const struct trade *t = &trades.list[k];
            double way = stop * (reached_rows[i].at_target ? -t->mae_r : t->mfe_r);
            if (t->reason == (reached_rows[i].at_target ? TRADE_TARGET : TRADE_STOP))
                tally_add(&reached, way >= reached_rows[i].reached - 1e-6);
        }
        assert_mean(&reached, reached_rows[i].chance, "excursion");
        trades_free(&trades);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ruin),
        cmocka_unit_test(test_finite_horizon),
        cmocka_unit_test(test_excursions_over_a_horizon),
        cmocka_unit_test(test_excursions_before_an_exit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
