/* Ten million trades over 5,000 dates through the figures of a study, against
 * integer sums, wider floating point and closed forms. */
#define _POSIX_C_SOURCE 200809L /* clock_gettime */
#include "base/random.h"
#include "evidence/control.h"
#include "evidence/estimate.h"
#include "evidence/proportion.h"
#include "evidence/ruin.h"
#include "evidence/size.h"
#include "evidence/summary.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <time.h>

#include <cmocka.h>

enum { TRADES = 10000000, DATES = 5000, UNIT = 1024, MOST = 4 * UNIT };

static const struct estimate_plan plan = {.held_dates = 4,
                                          .resamples = RESAMPLES,
                                          .seed = 5,
                                          .threads = 2};

/* Each trade's result is a whole number of 1/1024 R, so every sum of them is
 * exact in 64 bits. */
static size_t *date;
static int32_t *units;
static double *r;

static void assert_close(double found, double expected, double relative)
{
    bool close = fabs(found - expected) <= relative * fabs(expected);
    if (!close)
        print_error("found %.17g, expected %.17g\n", found, expected);
    assert_true(close);
}

static double now(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

/* Says how long a part took; the limit is for a machine shared with others. */
static void assert_quick(const char *what, double began)
{
    double took = now() - began;
    print_message("%s: %.2f s\n", what, took);
    assert_true(took < 30);
}

/* Two losses of 1 R to one win of 2 R and a little more, spread by what all
 * trades of a date share and what each has of its own. */
static int make_trades(void **state)
{
    (void)state;
    date = malloc(TRADES * sizeof *date);
    units = malloc(TRADES * sizeof *units);
    r = malloc(TRADES * sizeof *r);
    if (date == NULL || units == NULL || r == NULL)
        return -1;
    struct random_stream stream;
    random_start(&stream, 20260712, 0);
    int shared = 0;
    for (size_t i = 0; i < TRADES; i++) {
        size_t d = i / (TRADES / DATES);
        if (i % (TRADES / DATES) == 0)
            shared = (int)random_below(&stream, 201) - 100;
        int own = (int)random_below(&stream, 601) - 300;
        bool wins = random_below(&stream, 3) == 0;
        date[i] = d;
        units[i] = shared + own + (wins ? 2 * UNIT + 4 : -UNIT);
        r[i] = (double)units[i] / UNIT;
    }
    return 0;
}

static int free_trades(void **state)
{
    (void)state;
    free(date);
    free(units);
    free(r);
    return 0;
}

/* V(L) as the method page has it, term by term in extended precision, from the
 * exact sums of each date. */
static long double variance_written_out(const int64_t *sum, const int64_t *count, double length)
{
    static long double u[DATES];
    int64_t total = 0;
    int64_t trades = 0;
    for (size_t d = 0; d < DATES; d++) {
        total += sum[d];
        trades += count[d];
    }
    for (size_t d = 0; d < DATES; d++)
        u[d] = ((long double)sum[d] -
                (long double)total / (long double)trades * (long double)count[d]) /
               (long double)trades / UNIT;
    long double variance = 0;
    for (size_t j = 0; j < DATES; j++) {
        long double g = 0;
        for (size_t d = 0; d < DATES; d++)
            g += u[d] * u[(d + j) % DATES];
        long double factor = (1 - (long double)j / DATES) * powl(1 - 1 / (long double)length, j);
        variance += (j == 0 ? 1 : 2) * factor * g;
    }
    return variance;
}

static long double corrected_written_out(const int64_t *sum, const int64_t *count, double length)
{
    long double once = variance_written_out(sum, count, length);
    return fmaxl(once, 2 * variance_written_out(sum, count, 2 * length) - once);
}

/* Mean, V and design_effect; with 5,000 dates t* is nearly normal, and so the interval
 * is nearly 1.96 standard errors and p the normal law's. */
static void test_mean(void **state)
{
    (void)state;
    static int64_t sum[DATES];
    static int64_t count[DATES];
    int64_t total = 0;
    for (size_t i = 0; i < TRADES; i++) {
        sum[date[i]] += units[i];
        count[date[i]]++;
        total += units[i];
    }
    long double mean = (long double)total / TRADES / UNIT;
    long double squares = 0;
    for (size_t i = 0; i < TRADES; i++)
        squares += ((long double)units[i] / UNIT - mean) * ((long double)units[i] / UNIT - mean);
    long double deviation = sqrtl(squares / (TRADES - 1));
    const struct arm arm = {TRADES, date, r, NULL};
    struct estimate estimate;
    struct error error;
    double began = now();
    assert_int_equal(estimate_mean(&estimate, DATES, &arm, &plan, &error), 0);
    assert_quick("mean of ten million", began);
    assert_int_equal(estimate.method, ESTIMATE_BOOTSTRAP);
    assert_int_equal(estimate.count, TRADES);
    assert_int_equal(estimate.dates, DATES);
    assert_int_equal(estimate.left_out, 0);
    assert_close(estimate.value, (double)mean, 1e-12);
    assert_close(deviation_of(r, TRADES), (double)deviation, 1e-12);
    assert_close(mean_of(r, TRADES), (double)mean, 1e-12);
    long double variance = corrected_written_out(sum, count, estimate.block_length);
    assert_close(estimate.variance, (double)variance, 1e-9);
    assert_close(estimate.design_effect, (double)(variance / (deviation * deviation / TRADES)),
                 1e-9);
    double error_of_mean = sqrt(estimate.variance);
    assert_close(estimate.high - estimate.value, NORMAL_975 * error_of_mean, 0.1);
    assert_close(estimate.value - estimate.low, NORMAL_975 * error_of_mean, 0.1);
    double p = gsl_cdf_ugaussian_Q(estimate.value / error_of_mean);
    print_message("mean %.6f, design_effect %.2f, L %.1f, p %.4f (normal law %.4f)\n",
                  estimate.value, estimate.design_effect, estimate.block_length, estimate.p, p);
    assert_true(fabs(estimate.p - p) < 0.02);
}

/* A large common offset costs no digits: as NIST's NumAcc4, which has 1,001
 * values 10000000.2 and +-0.1 of it in turn, with 10,000,001 of them; the
 * standard deviation is exactly 0.1. */
static void test_offset(void **state)
{
    (void)state;
    double *values = malloc((TRADES + 1) * sizeof *values);
    assert_non_null(values);
    values[0] = 10000000.2;
    for (size_t i = 1; i <= TRADES; i++)
        values[i] = i % 2 == 1 ? 10000000.1 : 10000000.3;
    assert_true(fabs(mean_of(values, TRADES + 1) - 10000000.2) < 1e-8);
    assert_true(fabs(deviation_of(values, TRADES + 1) - 0.1) < 1e-8);
    free(values);
}

/* The value at place `rank` of the results in order, by counting. */
static double ranked(const size_t *held, size_t rank)
{
    size_t below = 0;
    for (int k = 0; k < 2 * MOST; k++) {
        below += held[k];
        if (below > rank)
            return (double)(k - MOST) / UNIT;
    }
    return NAN;
}

static double counted_quantile(const size_t *held, double q)
{
    double place = q * (TRADES - 1);
    size_t rank = (size_t)floor(place);
    double low = ranked(held, rank);
    return low + (place - (double)rank) * (ranked(held, rank + 1) - low);
}

static void test_summary(void **state)
{
    (void)state;
    static size_t held[2 * MOST];
    int64_t won = 0;
    int64_t lost = 0;
    size_t wins = 0;
    int64_t level = 0;
    int64_t peak = 0;
    int64_t deepest = 0;
    size_t streak = 0;
    size_t longest = 0;
    for (size_t i = 0; i < TRADES; i++) {
        held[units[i] + MOST]++;
        wins += units[i] > 0;
        *(units[i] > 0 ? &won : &lost) += units[i];
        level += units[i];
        peak = level > peak ? level : peak;
        deepest = peak - level > deepest ? peak - level : deepest;
        streak = units[i] > 0 ? 0 : streak + 1;
        longest = streak > longest ? streak : longest;
    }
    double began = now();
    assert_int_equal(wins_of(r, TRADES), wins);
    assert_close(mean_win(r, TRADES), (double)won / (double)wins / UNIT, 1e-11);
    assert_close(mean_loss(r, TRADES), (double)lost / (double)(TRADES - wins) / UNIT, 1e-11);
    assert_close(profit_factor(r, TRADES), (double)won / -(double)lost, 1e-11);
    /* Whole numbers of 1/1024: no rounding at all. */
    assert_true(largest_drawdown(r, TRADES) == (double)deepest / UNIT);
    assert_int_equal(longest_losing_streak(r, TRADES), longest);
    double *sorted = malloc(TRADES * sizeof *sorted);
    assert_non_null(sorted);
    for (size_t i = 0; i < TRADES; i++)
        sorted[i] = r[i];
    sort_numbers(sorted, TRADES);
    static const double levels[] = {0, 0.05, 0.25, 0.5, 0.75, 0.95, 0.999999};
    for (size_t q = 0; q < sizeof levels / sizeof levels[0]; q++)
        assert_true(fabs(quantile_sorted(sorted, TRADES, levels[q]) -
                         counted_quantile(held, levels[q])) < 1e-12);
    free(sorted);
    double share = (double)wins / TRADES;
    double streaks = expected_longest_run(1 - share, TRADES);
    /* All losers, and one winner in a million: not n^2 steps. */
    assert_close(expected_longest_run(1, TRADES), TRADES, 1e-9);
    assert_true(expected_longest_run(0.999999, TRADES) < TRADES / 2);
    assert_quick("summary of ten million", began);
    /* log(n q) / log(1/p) + 0.5772 / log(1/p) - 1/2 and a ripple below 0.001, for
     * losses of chance p (Gordon, Schilling & Waterman 1986, Probab. Theory Relat.
     * Fields 72, 279; from memory). */
    double rate = -log(1 - share);
    assert_true(fabs(streaks - ((log(TRADES * share) + 0.5772156649) / rate - 0.5)) < 0.001);
    /* Wilson's interval is the normal one up to terms of 1/n (Wilson 1927). */
    struct limits limits = wilson_limits(share, TRADES, NORMAL_975);
    double half = NORMAL_975 * sqrt(share * (1 - share) / TRADES);
    assert_close(limits.high - limits.low, 2 * half, 1e-6);
}

/* Four instruments, five risks that are the same multiples of ATR throughout,
 * so that the bands part them exactly; half of the trades are the setup's. */
static void test_control(void **state)
{
    (void)state;
    enum { INSTRUMENTS = 4, CELLS = INSTRUMENTS * CONTROL_BANDS, HALF = TRADES / 2 };
    static int64_t sum[2][CELLS];
    static int64_t count[2][CELLS];
    struct control_trade *arms[2] = {malloc(HALF * sizeof **arms), malloc(HALF * sizeof **arms)};
    struct random_stream stream;
    random_start(&stream, 17, 0);
    assert_non_null(arms[0]);
    assert_non_null(arms[1]);
    for (size_t i = 0; i < TRADES; i++) {
        size_t arm = i % 2;
        size_t instrument = random_below(&stream, INSTRUMENTS);
        /* The others take the greater risks more often. */
        size_t band = arm == 0 ? i / 2 % CONTROL_BANDS : random_below(&stream, CONTROL_BANDS);
        band = arm == 1 && band < 2 ? band + 2 : band;
        size_t cell = instrument * CONTROL_BANDS + band;
        arms[arm][i / 2] = (struct control_trade){instrument, date[i], r[i], 1 + (double)band};
        sum[arm][cell] += units[i];
        count[arm][cell]++;
    }
    /* Cells of the two least risks have no others. */
    long double difference = 0;
    int64_t compared = 0;
    int64_t alone = 0;
    for (size_t c = 0; c < CELLS; c++) {
        if (count[1][c] == 0) {
            alone += count[0][c];
            continue;
        }
        compared += count[0][c];
        difference += (long double)sum[0][c] -
                      (long double)count[0][c] * (long double)sum[1][c] / (long double)count[1][c];
    }
    struct control control;
    struct error error;
    double began = now();
    assert_int_equal(control_estimate(&control, arms[0], HALF, arms[1], HALF, INSTRUMENTS, DATES,
                                      &plan, NULL, &error),
                     0);
    assert_quick("control of ten million", began);
    assert_int_equal(control.bands, CONTROL_BANDS);
    assert_int_equal(control.setup, compared);
    assert_int_equal(control.without_others, alone);
    assert_int_equal(control.others, HALF);
    double theta = (double)(difference / (long double)compared / UNIT);
    assert_true(fabs(control.difference.value - theta) < 1e-12);
    assert_true(control.difference.p > 0 && control.difference.p < 1);
    assert_true(control.difference.low < theta && theta < control.difference.high);
    free(arms[0]);
    free(arms[1]);
}

/* Kelly 1956: (p b - q a) / (a b) for gains of b = 2.25 and losses of a = 1; its
 * 95% limits are those of p times (b + a) / (a b), which with dates drawn whole
 * and independent trades is the binomial's. */
static void test_next_trades(void **state)
{
    (void)state;
    double *two = malloc(TRADES * sizeof *two);
    struct random_stream stream;
    size_t wins = 0;
    random_start(&stream, 23, 0);
    assert_non_null(two);
    for (size_t i = 0; i < TRADES; i++) {
        bool won = random_below(&stream, 3) == 0;
        wins += won;
        two[i] = won ? 2.25 : -1;
    }
    double p = (double)wins / TRADES;
    const struct arm arm = {TRADES, date, two, NULL};
    const struct ruin_plan next = {.trades = 100,
                                   .risk = 0.01,
                                   .total_limit = 0.2,
                                   .block_length = 1,
                                   .draw = plan};
    struct ruin ruin;
    struct error error;
    double began = now();
    assert_int_equal(ruin_estimate(&ruin, DATES, &arm, &next, &error), 0);
    assert_quick("the next trades of ten million", began);
    assert_close(ruin.kelly, (2.25 * p - (1 - p)) / 2.25, 1e-9);
    assert_close(kelly_fraction(two, TRADES), ruin.kelly, 1e-12);
    double half = NORMAL_975 * sqrt(p * (1 - p) / TRADES) * 3.25 / 2.25;
    print_message("Kelly %.5f, %.5f to %.5f (+- %.5f)\n", ruin.kelly, ruin.kelly_low,
                  ruin.kelly_high, half);
    /* A thousand draws: a limit is known to 5% or so of its distance. */
    assert_close(ruin.kelly - ruin.kelly_low, half, 0.2);
    assert_close(ruin.kelly_high - ruin.kelly, half, 0.2);
    for (size_t i = 0; i < RUIN_LEVELS; i++) {
        assert_true(isfinite(ruin.drawdown_r[i]) && ruin.drawdown_r[i] > 0);
        assert_true(ruin.drawdown_share[i] > 0 && ruin.drawdown_share[i] < 1);
        assert_true(ruin.growth[i] > 0 && ruin.streak[i] >= 1);
    }
    assert_true(ruin.loses > 0 && ruin.loses < 1 && ruin.hits_total < 1);
    ruin_free(&ruin);
    free(two);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mean),        cmocka_unit_test(test_offset),
        cmocka_unit_test(test_summary),     cmocka_unit_test(test_control),
        cmocka_unit_test(test_next_trades),
    };
    return cmocka_run_group_tests(tests, make_trades, free_trades);
}
