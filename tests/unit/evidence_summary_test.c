/* Plain figures against tables and published values; each with its source. */
#include "evidence/proportion.h"
#include "evidence/size.h"
#include "evidence/summary.h"
#include "evidence/trials.h"
#include "evidence/uniform.h"

#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static void assert_near(double found, double expected, double tolerance)
{
    if (!(fabs(found - expected) <= tolerance))
        print_error("found %.15g, expected %.15g\n", found, expected);
    assert_true(fabs(found - expected) <= tolerance);
}

/* NIST Statistical Reference Datasets, univariate: NumAcc1, NumAcc3, NumAcc4
 * (certified means and standard deviations). */
static void test_mean_and_deviation(void **state)
{
    (void)state;
    const double first[] = {10000001, 10000003, 10000002};
    assert_near(mean_of(first, 3), 10000002, 0);
    assert_near(deviation_of(first, 3), 1, 1e-15);
    double third[1001];
    double fourth[1001];
    third[0] = 1000000.2;
    fourth[0] = 10000000.2;
    for (int i = 1; i < 1001; i++) {
        third[i] = i % 2 == 1 ? 1000000.1 : 1000000.3;
        fourth[i] = i % 2 == 1 ? 10000000.1 : 10000000.3;
    }
    assert_near(mean_of(third, 1001), 1000000.2, 1e-9);
    assert_near(deviation_of(third, 1001), 0.1, 1e-9);
    assert_near(mean_of(fourth, 1001), 10000000.2, 1e-8);
    assert_near(deviation_of(fourth, 1001), 0.1, 1e-8);
    assert_true(isnan(mean_of(first, 0)) && isnan(deviation_of(first, 1)));
}

/* The mouse data of Efron & Tibshirani 1993 (medians 94 and 46), and GSL's
 * quantiles, which are of the same type. */
static void test_quantiles(void **state)
{
    (void)state;
    double treated[] = {94, 197, 16, 38, 99, 141, 23};
    double control[] = {52, 104, 146, 10, 51, 30, 40, 27, 46};
    sort_numbers(treated, 7);
    sort_numbers(control, 9);
    assert_near(quantile_sorted(treated, 7, 0.5), 94, 0);
    assert_near(quantile_sorted(control, 9, 0.5), 46, 0);
    for (int i = 0; i <= 100; i++)
        assert_near(quantile_sorted(control, 9, i / 100.0),
                    gsl_stats_quantile_from_sorted_data(control, 1, 9, i / 100.0), 1e-12);
    assert_true(isnan(quantile_sorted(control, 0, 0.5)));
}

/* Results worked out by hand: two of +2, one of 0 and three of -1. */
static void test_wins_and_losses(void **state)
{
    (void)state;
    const double r[] = {2, -1, -1, 0, 2, -1};
    assert_int_equal(wins_of(r, 6), 2);
    assert_near(mean_win(r, 6), 2, 0);
    assert_near(mean_loss(r, 6), -0.75, 0);
    assert_near(profit_factor(r, 6), 4.0 / 3, 1e-15);
    assert_near(largest_drawdown(r, 6), 2, 0);
    assert_int_equal(longest_losing_streak(r, 6), 3);
    const double won[] = {1, 1};
    assert_true(isinf(profit_factor(won, 2)) && isnan(mean_loss(won, 2)));
    assert_true(isnan(profit_factor(r, 0)) && largest_drawdown(r, 0) == 0);
}

/* Feller's recurrence, written out in extended precision. */
static double chance_written_out(double loss, size_t count, size_t length)
{
    static long double without[10001];
    long double run = powl(loss, (long double)length);
    assert_true(count <= 10000);
    for (size_t m = 0; m < length; m++)
        without[m] = 1;
    without[length] = 1 - run;
    for (size_t m = length + 1; m <= count; m++)
        without[m] = without[m - 1] - (1 - (long double)loss) * run * without[m - length - 1];
    return (double)(1 - without[count]);
}

/* More than 5,000 trades take other ways to the same numbers; so do few wins
 * among them, and those that only lose. */
static void test_losing_runs_of_many(void **state)
{
    (void)state;
    static const struct {
        double loss;
        size_t length;
    } rows[] = {{0.02, 2}, {0.1, 4},   {0.5, 1},  {0.5, 12},
                {0.5, 20}, {0.62, 16}, {0.9, 80}, {0.97, 200}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        for (size_t count = 5001; count <= 10000; count += 4999)
            assert_near(losing_run_chance(rows[i].loss, count, rows[i].length),
                        chance_written_out(rows[i].loss, count, rows[i].length), 1e-12);
    const double few = 1 - 20.0 / 5001;
    double sum = 0;
    double chance = 1;
    for (size_t length = 1; length <= 5001 && chance > 1e-13; length++) {
        chance = chance_written_out(few, 5001, length);
        sum += chance;
    }
    assert_near(expected_longest_run(few, 5001), sum, 1e-5 * sum);
    assert_near(expected_longest_run(1, 5000), 5000, 0);
    assert_near(expected_longest_run(1, 10000000), 10000000, 1e-3);
    assert_near(expected_longest_run(0, 10000000), 0, 0);
    assert_near(losing_run_chance(1, 10000000, 10000000), 1, 0);
}

/* Newcombe 1998, Stat. Med. 17, 857; the digits equal R's prop.test. */
static void test_wilson(void **state)
{
    (void)state;
    static const struct {
        double won;
        double count;
        double low;
        double high;
    } rows[] = {
        {81, 263, 0.2552885199, 0.3662095770},
        {15, 148, 0.0623863995, 0.1604872417},
        {0, 20, 0, 0.1611251581},
        {1, 29, 0.0061132143, 0.1717552188},
        {5, 10, 0.2365930905, 0.7634069095},
        {0, 10, 0, 0.2775327999},
        {10, 10, 0.7224672001, 1},
        {30, 50, 0.4618143775, 0.7239161027},
        {55, 100, 0.4524460300, 0.6438546202},
        {520, 1000, 0.4890177247, 0.5508292050},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct limits limits = wilson_limits(rows[i].won / rows[i].count, rows[i].count,
                                             NORMAL_975);
        assert_near(limits.low, rows[i].low, 1e-10);
        assert_near(limits.high, rows[i].high, 1e-10);
    }
    assert_true(isnan(wilson_limits(0.5, 0, NORMAL_975).low));
}

/* By hand: sd 1.5, mean 0.3, design_effect 2: (2.802 * 5)^2 * 2 = 392.5602. */
static void test_trades_needed(void **state)
{
    (void)state;
    assert_near(trades_needed(0.3, 1.5, 2), 392.5602, 1e-9);
    assert_true(isnan(trades_needed(0, 1.5, 2)));
}

/* Benjamini & Hochberg 1995, the 15 p-values of their section 3.2 (their paper
 * rejects 4 at 5%); adjusted values equal R's p.adjust. */
static void test_false_discovery(void **state)
{
    (void)state;
    const double p[] = {.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344,
                        .0459, .3240, .4262, .5719, .6528, .7590, 1.000};
    const double expected[] = {.0015,      .003,       .0095,      .035625,    .0603,
                               .063857143, .063857143, .0645,      .0765,      .486,
                               .581181818, .714875,    .753230769, .813214286, 1};
    double adjusted[15];
    struct error error;
    size_t rejected = 0;
    assert_int_equal(adjust_trials(adjusted, p, 15, &error), 0);
    for (int i = 0; i < 15; i++) {
        assert_near(adjusted[i], expected[i], 1e-9);
        rejected += adjusted[i] <= 0.05;
    }
    assert_int_equal(rejected, 4);
}

/* All 6^6 paths with exact weights: 575/2916 for single dates, 11233/186624
 * for blocks of mean length 2, 4957/46656 and 66631/1492992 for the first trial
 * alone (values computed by enumeration). */
static void test_reality_check(void **state)
{
    (void)state;
    const double d1[] = {3, -1, 2, 4, -2, 1};
    const double d2[] = {1, 1, -2, 0, 2, -1};
    const double d3[] = {1, -2, 2, -3, 1, -1};
    const double d4[] = {-4, -3, -5, -2, -6, -4};
    const double *const trials[] = {d1, d2, d3, d4};
    static const struct {
        size_t count;
        double length;
        double exact;
    } rows[] = {{4, 1, 575.0 / 2916},
                {4, 2, 11233.0 / 186624},
                {1, 1, 4957.0 / 46656},
                {1, 2, 66631.0 / 1492992}};
    struct error error;
    for (int i = 0; i < 4; i++) {
        double p = 0;
        double again = 0;
        assert_int_equal(reality_check(&p, trials, rows[i].count, 6, rows[i].length, 200000, 7, 2,
                                       &error),
                         0);
        assert_near(p, rows[i].exact, 4 * sqrt(rows[i].exact / 200000));
        reality_check(&again, trials, rows[i].count, 6, rows[i].length, 200000, 7, 1, &error);
        assert_true(again == p);
    }
}

/* Marsaglia, Tsang & Wang 2003: P(D_10 < .274) = .628479615457; the others,
 * and the critical values (Miller 1956), equal scipy.stats.kstwo. */
static void test_uniform_distance(void **state)
{
    (void)state;
    static const struct {
        double distance;
        size_t count;
        double below;
    } rows[] = {{.274, 10, .628479615457}, {.1, 100, .747307242994}, {.75, 2, 7.0 / 8},
                {.84188612, 2, .95},       {.40924608, 10, .95},     {.48893166, 10, .99},
                {.29407531, 20, .95},      {.13402792, 100, .95},    {.16080868, 100, .99},
                {.97500000, 1, .95}};
    struct error error;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double chance = 0;
        assert_int_equal(uniform_distance_below(&chance, rows[i].distance, rows[i].count, &error),
                         0);
        assert_near(chance, rows[i].below, 2e-7);
    }
    const double sorted[] = {0.1, 0.4, 0.7};
    assert_near(uniform_distance(sorted, 3), 0.3, 1e-15);
}

/* Kelly 1956: f* = (p b - q a) / (a b) for gains of b and losses of a. */
static void test_kelly(void **state)
{
    (void)state;
    static const struct {
        size_t wins;
        size_t losses;
        double gain;
        double fraction;
        double growth;
        double growth_at_half;
    } rows[] = {
        {3, 2, 1, 0.2, 0.020135513551, 0.015041901619},
        {11, 9, 1, 0.1, 0.005008366846, 0.003752607819},
        {51, 49, 1, 0.02, 0.000200013335, 0.000150004167},
        {2, 3, 2, 0.1, 0.009712313323, 0.007348095289},
        {7, 13, 3, 2.0 / 15, 0.024749734451, 0.018967178411},
        {1, 1, 2, 0.25, 0.058891517828, 0.044806079345},
        {1, 2, 2, 0, 0, 0},
        {9, 1, 0.5, 0.7, 0.149696852773, 0.102063041227},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double r[100];
        size_t count = 0;
        for (size_t k = 0; k < rows[i].wins; k++)
            r[count++] = rows[i].gain;
        for (size_t k = 0; k < rows[i].losses; k++)
            r[count++] = -1;
        double fraction = kelly_fraction(r, count);
        assert_near(fraction, rows[i].fraction, 1e-12);
        assert_near(growth_rate(r, count, fraction), rows[i].growth, 1e-12);
        assert_near(growth_rate(r, count, fraction / 2), rows[i].growth_at_half, 1e-12);
    }
    const double won[] = {1};
    assert_true(isinf(kelly_fraction(won, 1)) && isnan(kelly_fraction(won, 0)));
    const double ruin[] = {1, 1, 1, 1, 1, 1, 1, 1, 1, -0.9999};
    assert_true(isinf(growth_rate(ruin, 10, 1.0001 / 0.9999)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mean_and_deviation),
        cmocka_unit_test(test_quantiles),
        cmocka_unit_test(test_wins_and_losses),
        cmocka_unit_test(test_losing_runs_of_many),
        cmocka_unit_test(test_wilson),
        cmocka_unit_test(test_trades_needed),
        cmocka_unit_test(test_false_discovery),
        cmocka_unit_test(test_reality_check),
        cmocka_unit_test(test_uniform_distance),
        cmocka_unit_test(test_kelly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
