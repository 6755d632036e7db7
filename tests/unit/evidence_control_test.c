/* The control and the paths of an account. */
#include "evidence/blocks.h"
#include "evidence/control.h"
#include "evidence/kelly.h"
#include "evidence/ruin.h"
#include "evidence/size.h"
#include "evidence/summary.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static const struct estimate_plan plan = {.held_dates = 0,
                                          .resamples = 2000,
                                          .seed = 3,
                                          .threads = 2};

static void assert_near(double found, double expected, double tolerance)
{
    if (!(fabs(found - expected) <= tolerance))
        print_error("found %.15g, expected %.15g\n", found, expected);
    assert_true(fabs(found - expected) <= tolerance);
}

/* By hand: one band (equal risks), two instruments. Instrument 0: setup 2, -1;
 * others 0, 1 (mean 0.5). Instrument 1: setup 1; others -1, -1, 1 (mean -1/3).
 * Instrument 2: setup 3 without others. theta = mean(1.5, -1.5, 4/3) = 4/9;
 * weighted mean of the others (2 * 0.5 + 1 * -1/3) / 3 = 2/9. */
static void test_by_hand(void **state)
{
    (void)state;
    const struct control_trade setup[] = {{0, 1, 2, 1},
                                          {0, 5, -1, 1},
                                          {1, 9, 1, 1},
                                          {2, 3, 3, 1},
                                          {0, 9, NAN, 1}};
    const struct control_trade others[] = {{0, 2, 0, 1},  {0, 3, 1, 1}, {1, 4, -1, 1},
                                           {1, 6, -1, 1}, {1, 7, 1, 1}, {1, 8, 5, NAN}};
    struct control control;
    struct error error;
    double means[5];
    assert_int_equal(control_estimate(&control, setup, 5, others, 6, 3, 10, &plan, means, &error),
                     0);
    assert_int_equal(control.bands, 1);
    assert_near(control.difference.value, 4.0 / 9, 1e-14);
    assert_near(control.others_mean, 2.0 / 9, 1e-14);
    assert_int_equal(control.setup, 3);
    assert_int_equal(control.others, 5);
    assert_int_equal(control.without_others, 1);
    assert_near(means[0], 0.5, 1e-15);
    assert_true(isnan(means[3]) && isnan(means[4]));
    assert_int_equal(control.difference.method, ESTIMATE_NONE);
}

/* Where R depends on the risk taken and on nothing else, and the others take
 * other risks, bands take most of the false difference away. */
static void test_bands_level_the_risk(void **state)
{
    (void)state;
    enum { SETUP = 400, OTHERS = 4000, DATES = 1000 };
    static struct control_trade setup[SETUP];
    static struct control_trade others[OTHERS];
    struct random_stream stream;
    struct control control;
    struct error error;
    double setup_sum = 0;
    double other_sum = 0;
    random_start(&stream, 12, 0);
    for (size_t i = 0; i < SETUP; i++) {
        double risk = 1 + random_unit(&stream);
        setup[i] = (struct control_trade){0, random_below(&stream, DATES),
                                          risk + random_normal(&stream), risk};
        setup_sum += setup[i].r / SETUP;
    }
    for (size_t i = 0; i < OTHERS; i++) {
        double risk = 1 + random_unit(&stream) * random_unit(&stream);
        others[i] = (struct control_trade){0, random_below(&stream, DATES),
                                           risk + random_normal(&stream), risk};
        other_sum += others[i].r / OTHERS;
    }
    assert_int_equal(control_estimate(&control, setup, SETUP, others, OTHERS, 1, DATES, &plan, NULL,
                                      &error),
                     0);
    assert_int_equal(control.bands, CONTROL_BANDS);
    assert_true(setup_sum - other_sum > 0.15);
    assert_true(control.difference.low < 0 && control.difference.high > 0);
    assert_near(control.edges[1], 1.4, 0.1);
}

/* Results that are all +1: nothing can fall; and +-1 in equal numbers on
 * dates far apart: the longest losing run of 100 trades has mean 5.99
 * (Feller), the largest drawdown mean 11.57 (exact for the fair walk). */
static void test_paths(void **state)
{
    (void)state;
    enum { TRADES = 1000 };
    static size_t date[TRADES];
    static double r[TRADES];
    struct ruin ruin;
    struct error error;
    const struct arm arm = {TRADES, date, r, NULL};
    struct ruin_plan next = {.trades = 100,
                             .risk = 0.01,
                             .total_limit = 0.05,
                             .trailing_limit = 0.99,
                             .block_length = 1,
                             .draw = plan};
    for (size_t i = 0; i < TRADES; i++) {
        date[i] = i;
        r[i] = 1;
    }
    assert_int_equal(ruin_estimate(&ruin, TRADES, &arm, &next, &error), 0);
    assert_near(ruin.growth[0], pow(1.01, 100), 1e-9);
    assert_true(ruin.drawdown_r[4] == 0 && ruin.streak[4] == 0 && ruin.loses == 0);
    assert_true(isnan(ruin.hits_daily) && ruin.hits_total == 0 && isinf(ruin.kelly));
    /* On the way there is but one path. */
    assert_int_equal(ruin.steps, RUIN_STEPS);
    assert_true(ruin.step[RUIN_STEPS - 1] == 100 && ruin.whole_low[9] == ruin.whole_high[9]);
    for (size_t i = 0; i < RUIN_STEPS; i++)
        assert_near(ruin.path_r[2 * RUIN_STEPS + i], ruin.step[i], 1e-9);
    ruin_free(&ruin);
    for (size_t i = 0; i < TRADES; i += 2)
        r[i] = -1;
    next.draw.resamples = 10000;
    assert_int_equal(ruin_estimate(&ruin, TRADES, &arm, &next, &error), 0);
    /* P(MDD >= 20) = .0812 and P(MDD >= 25) = .0214: 95% lies between; the
     * median at 11, since P(MDD >= 12) = .4253 and P(MDD >= 10) = .5879. */
    assert_true(ruin.drawdown_r[4] >= 20 && ruin.drawdown_r[4] < 25);
    assert_true(ruin.drawdown_r[2] >= 10 && ruin.drawdown_r[2] <= 12);
    /* P(run >= 6) = .5461, P(run >= 7) = .3175; P(run >= 10) = .0441. */
    assert_near(ruin.streak[2], 6, 0);
    assert_near(ruin.streak[4], 9, 0);
    assert_near(ruin.band_r[2], 0, 2);
    assert_true(ruin.hits_total > 0.2 && ruin.kelly == 0);
    /* At the end 95% of all points lie between -19.6 and 19.6; whole paths need
     * more room, and no more than if each step were apart. */
    assert_true(ruin.whole_low[RUIN_STEPS - 1] < -20 && ruin.whole_high[RUIN_STEPS - 1] > 20);
    assert_true(ruin.whole_high[RUIN_STEPS - 1] < 38);
    assert_true(ruin.drawdowns[0] > 0 && ruin.drawdowns[9999] > ruin.drawdown_r[4]);
    struct ruin again;
    next.draw.threads = 7;
    ruin_estimate(&again, TRADES, &arm, &next, &error);
    assert_memory_equal(ruin.drawdown_share, again.drawdown_share, sizeof ruin.drawdown_share);
    assert_memory_equal(ruin.whole_low, again.whole_low, sizeof ruin.whole_low);
    ruin_free(&again);
    ruin_free(&ruin);
    const struct arm none = {0, date, r, NULL};
    ruin_estimate(&ruin, TRADES, &none, &next, &error);
    assert_true(isnan(ruin.growth[2]) && isnan(ruin.kelly));
}

/* The limits of Kelly's fraction as kelly.h has them: the trades of each
 * replicate put together and asked one by one. */
static void limits_written_out(double limits[2], const double *r, size_t a_date, size_t date_count,
                               double length)
{
    static double fractions[KELLY_DRAWS];
    double *drawn = malloc(a_date * date_count * sizeof *drawn);
    struct block_law law;
    block_law_init(&law, length);
    assert_non_null(drawn);
    for (size_t k = 0; k < KELLY_DRAWS; k++) {
        struct block_draw draw;
        struct block block;
        size_t count = 0;
        blocks_start(&draw, plan.seed, k, date_count, &law);
        while (blocks_next(&draw, &block))
            for (size_t b = 0; b < block.length; b++)
                for (size_t i = 0; i < a_date; i++)
                    drawn[count++] = r[(block.start + b) % date_count * a_date + i];
        fractions[k] = kelly_fraction(drawn, count);
    }
    sort_numbers(fractions, KELLY_DRAWS);
    limits[0] = quantile_sorted(fractions, KELLY_DRAWS, 0.025);
    limits[1] = quantile_sorted(fractions, KELLY_DRAWS, 0.975);
    free(drawn);
}

/* Few trades, which are asked one by one, and many, which are not; with a mean
 * well above 0, about it and below it. */
static void test_limits_of_kelly(void **state)
{
    (void)state;
    enum { A_DATE = 10, DATES = 800 };
    static size_t date[A_DATE * DATES];
    static double r[A_DATE * DATES];
    static size_t first[DATES + 1];
    static const double shift[] = {0.2, 0.01, -0.2};
    struct error error;
    for (size_t k = 0; k < 6; k++) {
        size_t dates = k < 3 ? 30 : DATES;
        struct random_stream stream;
        struct kelly kelly;
        double limits[2];
        random_start(&stream, 31, k);
        for (size_t i = 0; i < A_DATE * dates; i++) {
            date[i] = i / A_DATE;
            r[i] = shift[k % 3] + (random_unit(&stream) < 1.0 / 3 ? 2 : -1) +
                   0.2 * random_normal(&stream);
        }
        for (size_t d = 0; d <= dates; d++)
            first[d] = d * A_DATE;
        const struct arm arm = {A_DATE * dates, date, r, NULL};
        assert_int_equal(kelly_limits(&kelly, &arm, first, dates, 3, &plan, &error), 0);
        limits_written_out(limits, r, A_DATE, dates, 3);
        assert_near(kelly.low, limits[0], 1e-9);
        assert_near(kelly.high, limits[1], 1e-9);
        assert_true(kelly.low <= kelly.fraction && kelly.fraction <= kelly.high);
        assert_true((mean_of(r, arm.count) > 0) == (kelly.fraction > 0));
    }
    for (size_t i = 0; i < A_DATE * DATES; i++)
        r[i] = 1;
    const struct arm arm = {A_DATE * DATES, date, r, NULL};
    struct kelly kelly;
    assert_int_equal(kelly_limits(&kelly, &arm, first, DATES, 3, &plan, &error), 0);
    assert_true(isinf(kelly.fraction) && isinf(kelly.low) && isinf(kelly.high));
    for (size_t i = 0; i < A_DATE * DATES; i++)
        r[i] = -1;
    assert_int_equal(kelly_limits(&kelly, &arm, first, DATES, 3, &plan, &error), 0);
    assert_true(kelly.fraction == 0 && kelly.low == 0 && kelly.high == 0);
}

/* Two losses of 1 R on one date at 2% each pass a daily limit of 3%. */
static void test_daily_limit(void **state)
{
    (void)state;
    const size_t date[] = {0, 0};
    const double r[] = {-1, -1};
    const struct arm arm = {2, date, r, NULL};
    struct ruin ruin;
    struct error error;
    struct ruin_plan next = {.trades = 2,
                             .risk = 0.02,
                             .daily_limit = 0.03,
                             .block_length = 1,
                             .draw = plan};
    assert_int_equal(ruin_estimate(&ruin, 1, &arm, &next, &error), 0);
    assert_near(ruin.hits_daily, 1, 0);
    assert_int_equal(ruin.steps, 2);
    ruin_free(&ruin);
    next.daily_limit = 0.05;
    ruin_estimate(&ruin, 1, &arm, &next, &error);
    assert_near(ruin.hits_daily, 0, 0);
    assert_near(ruin.growth[2], 0.98 * 0.98, 1e-15);
    ruin_free(&ruin);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),         cmocka_unit_test(test_bands_level_the_risk),
        cmocka_unit_test(test_paths),           cmocka_unit_test(test_daily_limit),
        cmocka_unit_test(test_limits_of_kelly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
