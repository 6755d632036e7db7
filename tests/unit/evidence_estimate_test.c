/* Variance over dates, block length and the interval of a mean. */
#include "evidence/blocks.h"
#include "evidence/estimate.h"
#include "evidence/proportion.h"
#include "evidence/splits.h"
#include "evidence/summary.h"
#include "evidence/uniform.h"
#include "evidence/variance.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* Yearly flow of the Nile at Aswan 1871-1970 (Cobb 1978; R datasets). */
static const double nile[] = {1120, 1160, 963,  1210, 1160, 1160, 813,  1230, 1370, 1140,
                              995,  935,  1110, 994,  1020, 960,  1180, 799,  958,  1140,
                              1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774,  840,
                              874,  694,  940,  833,  701,  916,  692,  1020, 1050, 969,
                              831,  726,  456,  824,  702,  1120, 1100, 832,  764,  821,
                              768,  845,  864,  862,  698,  845,  744,  796,  1040, 759,
                              781,  865,  845,  944,  984,  897,  822,  1010, 771,  676,
                              649,  846,  812,  742,  801,  1040, 860,  874,  848,  890,
                              744,  749,  838,  1050, 918,  986,  797,  923,  975,  815,
                              1020, 906,  901,  1170, 912,  746,  919,  718,  714,  740};

/* Luteinising hormone (Diggle 1990; R datasets). */
static const double lh[] = {2.4, 2.4, 2.4, 2.2, 2.1, 1.5, 2.3, 2.3, 2.5, 2.0, 1.9, 1.7,
                            2.2, 1.8, 3.2, 3.2, 2.7, 2.2, 2.2, 1.9, 1.9, 1.8, 2.7, 3.0,
                            2.3, 2.0, 2.0, 2.9, 2.9, 2.7, 2.7, 2.3, 2.6, 2.4, 1.8, 1.7,
                            1.5, 1.4, 2.1, 3.3, 3.5, 3.5, 3.1, 2.6, 2.1, 3.4, 3.0, 2.9};

enum { NILE_COUNT = sizeof nile / sizeof nile[0], LH_COUNT = sizeof lh / sizeof lh[0] };

static void assert_near(double found, double expected, double tolerance)
{
    if (!(fabs(found - expected) <= tolerance))
        print_error("found %.15g, expected %.15g\n", found, expected);
    assert_true(fabs(found - expected) <= tolerance);
}

static const struct estimate_plan plan = {.held_dates = 0,
                                          .resamples = RESAMPLES,
                                          .seed = 3,
                                          .threads = 2};

static void influence_of_mean(double *u, const double *x, size_t count)
{
    double mean = mean_of(x, count);
    for (size_t i = 0; i < count; i++)
        u[i] = (x[i] - mean) / (double)count;
}

/* The stationary bootstrap's variance of the mean (Politis & Romano 1994):
 * exact by enumeration of all 5^5 paths for 1, 3, 2, 5, 4; the Nile by the
 * paper's formula. */
static void test_bootstrap_variance(void **state)
{
    (void)state;
    const double x[] = {1, 3, 2, 5, 4};
    double u[NILE_COUNT];
    influence_of_mean(u, x, 5);
    assert_near(bootstrap_variance(u, 5, 1), 2.0 / 5, 1e-14);
    assert_near(bootstrap_variance(u, 5, 2), 143.0 / 500, 1e-14);
    assert_near(bootstrap_variance(u, 5, 5), 11186.0 / 78125, 1e-14);
    influence_of_mean(u, nile, NILE_COUNT);
    assert_near(bootstrap_variance(u, NILE_COUNT, 1), 283.515675000, 1e-8);
    assert_near(bootstrap_variance(u, NILE_COUNT, 5), 895.268228587, 1e-8);
    assert_near(bootstrap_variance(u, NILE_COUNT, 10), 1243.386121372, 1e-8);
    assert_near(bootstrap_variance(u, NILE_COUNT, 20), 1376.920600197, 1e-8);
    assert_near(corrected_variance(u, NILE_COUNT, 10), 2 * 1376.920600197 - 1243.386121372, 1e-8);
}

/* The same variance by drawing: the blocks are what the formula is of. */
static void test_blocks_have_that_variance(void **state)
{
    (void)state;
    enum { DRAWS = 40000 };
    double running[NILE_COUNT + 1];
    double *means = malloc(DRAWS * sizeof *means);
    struct block_law law;
    block_law_init(&law, 10);
    running_sums(running, nile, NILE_COUNT);
    for (size_t r = 0; r < DRAWS; r++) {
        struct block_draw draw;
        struct block block;
        size_t dates = 0;
        means[r] = 0;
        blocks_start(&draw, 11, r, NILE_COUNT, &law);
        while (blocks_next(&draw, &block)) {
            means[r] += block_sum(running, NILE_COUNT, block) / NILE_COUNT;
            dates += block.length;
        }
        assert_int_equal(dates, NILE_COUNT);
    }
    /* The standard error of a standard deviation from 40,000 draws is 0.35%. */
    assert_near(deviation_of(means, DRAWS), 35.261680637, 4 * 0.0035 * 35.26);
    free(means);
}

/* Politis & White 2004 with the correction of 2009: values of two separate
 * programs, written for this check, that agree; AR(1) theory for the order of
 * magnitude. */
static void test_block_length(void **state)
{
    (void)state;
    assert_near(automatic_block_length(nile, NILE_COUNT), 12.3334942583, 1e-8);
    assert_near(automatic_block_length(lh, LH_COUNT), 2.39538915488, 1e-8);
    double equal[20] = {0};
    assert_near(automatic_block_length(equal, 20), 1, 0);
    /* Of an AR(1) with 0.7 and n = 800: theory 18.2, mean over 400 series 15.9. */
    double sum = 0;
    for (uint64_t series = 0; series < 100; series++) {
        struct random_stream stream;
        double x[800];
        random_start(&stream, 5, series);
        x[0] = random_normal(&stream) / sqrt(1 - 0.49);
        for (int i = 1; i < 800; i++)
            x[i] = 0.7 * x[i - 1] + random_normal(&stream);
        sum += automatic_block_length(x, 800) / 100;
    }
    assert_true(sum > 13.5 && sum < 18.5);
}

/* A study by hand: dates 0 to 5, trades on three of them. The mean is 1; u is
 * the date's sum less the date's number, over 5. */
static void test_influence(void **state)
{
    (void)state;
    const size_t date[] = {0, 0, 2, 5, 5};
    const double r[] = {2, 3, -1, -1, 2};
    const struct arm arm = {5, date, r, NULL};
    struct date_sums sums;
    struct error error;
    double u[6];
    assert_int_equal(date_sums_init(&sums, 6, &arm, &error), 0);
    date_influence(u, &sums, NULL);
    const double expected[] = {3.0 / 5, 0, -2.0 / 5, 0, 0, -1.0 / 5};
    for (int d = 0; d < 6; d++)
        assert_near(u[d], expected[d], 1e-15);
    assert_int_equal(dates_used(&sums), 3);
    date_sums_free(&sums);
}

static void fill_iid(size_t *date, double *r, size_t count, uint64_t seed, double mean)
{
    struct random_stream stream;
    random_start(&stream, seed, 0);
    for (size_t i = 0; i < count; i++) {
        date[i] = i * 3;
        r[i] = mean + (random_unit(&stream) < 1.0 / 3 ? 2 : -1);
    }
}

/* The replicates written out date by date, as the definition has it, against
 * the running sums of the estimate. */
static void test_replicates_written_out(void **state)
{
    (void)state;
    enum { TRADES = 80, DATES = 3 * TRADES, DRAWS = 999 };
    size_t date[TRADES];
    double r[TRADES];
    double t[DRAWS];
    struct error error;
    struct estimate estimate;
    struct estimate_plan few = plan;
    fill_iid(date, r, TRADES, 21, 0.1);
    few.resamples = DRAWS;
    few.held_dates = 2;
    const struct arm arm = {TRADES, date, r, NULL};
    assert_int_equal(estimate_mean(&estimate, DATES, &arm, &few, &error), 0);
    size_t beyond = 0;
    struct block_law law;
    block_law_init(&law, estimate.block_length);
    for (size_t draw_number = 0; draw_number < DRAWS; draw_number++) {
        struct block_draw draw;
        struct block block;
        double sum = 0, count = 0, variance = 0, block_sums[DATES], block_counts[DATES];
        size_t blocks = 0;
        blocks_start(&draw, few.seed, draw_number, DATES, &law);
        for (; blocks_next(&draw, &block); blocks++) {
            block_sums[blocks] = block_counts[blocks] = 0;
            for (size_t k = 0; k < block.length; k++) {
                size_t d = (block.start + k) % DATES;
                block_sums[blocks] += d % 3 == 0 ? r[d / 3] : 0;
                block_counts[blocks] += d % 3 == 0;
            }
            sum += block_sums[blocks];
            count += block_counts[blocks];
        }
        for (size_t b = 0; b < blocks; b++)
            variance += pow((block_sums[b] - sum / count * block_counts[b]) / count, 2);
        t[draw_number] = (sum / count - estimate.value) / sqrt(variance);
        beyond += t[draw_number] >= estimate.value / sqrt(estimate.variance);
    }
    sort_numbers(t, DRAWS);
    assert_int_equal(estimate.method, ESTIMATE_BOOTSTRAP);
    assert_near(estimate.p, (1 + (double)beyond) / (1 + DRAWS), 1e-12);
    assert_near(estimate.low,
                estimate.value - quantile_sorted(t, DRAWS, 0.975) * sqrt(estimate.variance), 1e-9);
    assert_near(estimate.high,
                estimate.value - quantile_sorted(t, DRAWS, 0.025) * sqrt(estimate.variance), 1e-9);
}

static void test_threads_and_seeds(void **state)
{
    (void)state;
    enum { TRADES = 120 };
    size_t date[TRADES];
    double r[TRADES];
    struct error error;
    struct estimate first;
    fill_iid(date, r, TRADES, 4, 0);
    const struct arm arm = {TRADES, date, r, NULL};
    struct estimate_plan threads = plan;
    estimate_mean(&first, 3 * TRADES, &arm, &plan, &error);
    for (int n = 1; n <= 7; n += 3) {
        struct estimate again;
        threads.threads = n;
        estimate_mean(&again, 3 * TRADES, &arm, &threads, &error);
        assert_memory_equal(&first.low, &again.low, sizeof first.low);
        assert_memory_equal(&first.p, &again.p, sizeof first.p);
    }
    struct estimate other;
    threads.seed = 99;
    estimate_mean(&other, 3 * TRADES, &arm, &threads, &error);
    assert_true(other.low != first.low && fabs(other.low - first.low) < 0.05);
}

/* 30 trades on 30 dates: nu by its definition from blocks of L dates, the
 * interval from GSL's quantile of Student's t. */
static void test_student(void **state)
{
    (void)state;
    enum { TRADES = 30 };
    size_t date[TRADES];
    double r[TRADES];
    double u[TRADES];
    struct error error;
    struct estimate estimate;
    fill_iid(date, r, TRADES, 8, 0);
    for (size_t i = 0; i < TRADES; i++)
        date[i] = i;
    const struct arm arm = {TRADES, date, r, NULL};
    estimate_mean(&estimate, TRADES, &arm, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_STUDENT);
    influence_of_mean(u, r, TRADES);
    assert_near(estimate.variance, corrected_variance(u, TRADES, estimate.block_length), 1e-15);
    int step = (int)ceil(estimate.block_length);
    double squares = 0;
    for (int first = 0; first < TRADES; first += step)
        squares += pow(first + step <= TRADES ? step : TRADES - first, 2);
    double nu = TRADES * TRADES / squares - 1;
    assert_near(estimate.freedom, nu, 1e-12);
    assert_near(estimate.high - estimate.value,
                gsl_cdf_tdist_Pinv(0.975, nu) * sqrt(estimate.variance * (nu + 1) / nu), 1e-12);
    assert_near(estimate.high - estimate.value, estimate.value - estimate.low, 1e-12);
}

/* Ten trades, four wins of 2 R and six losses of 1 R: Wilson's limits of 4/10
 * are 0.1682 and 0.6873 (Newcombe 1998's method), times 3 R less 1 R. */
static void test_few_trades(void **state)
{
    (void)state;
    const size_t date[] = {1, 4, 5, 7, 9, 12, 14, 15, 18, 19};
    const double r[] = {2, -1, -1, 2, -1, -1, 2, -1, 2, -1};
    const struct arm arm = {10, date, r, NULL};
    struct error error;
    struct estimate estimate;
    estimate_mean(&estimate, 25, &arm, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_WINS);
    assert_near(estimate.low, 3 * 0.168180 - 1, 1e-5);
    assert_near(estimate.high, 3 * 0.687326 - 1, 1e-5);
    assert_true(isnan(estimate.p) && !estimate_has_p(&estimate));
}

static void test_degenerate(void **state)
{
    (void)state;
    const size_t date[60] = {3};
    double r[60];
    struct error error;
    struct estimate estimate;
    const struct arm none = {0, date, r, NULL};
    for (int i = 0; i < 60; i++)
        r[i] = 1;
    estimate_mean(&estimate, 100, &none, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_NONE);
    assert_true(isnan(estimate.value));
    const struct arm one = {1, date, r, NULL};
    estimate_mean(&estimate, 100, &one, &plan, &error);
    assert_near(estimate.value, 1, 0);
    assert_int_equal(estimate.method, ESTIMATE_WINS);
    const struct arm equal = {60, date, r, NULL};
    estimate_mean(&estimate, 100, &equal, &plan, &error);
    assert_near(estimate.value, 1, 0);
    assert_true(!estimate_has_p(&estimate) && isfinite(estimate.low));
    for (int i = 0; i < 60; i++)
        r[i] = -1;
    estimate_mean(&estimate, 100, &equal, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_NONE);
}

/* On independent dates with a true mean of 0 the one-sided p is uniform
 * (Kolmogorov-Smirnov at 1%) and the interval covers 0 in 91% to 99%. */
static void test_calibration(void **state)
{
    (void)state;
    enum { STUDIES = 200, TRADES = 150 };
    static double p[STUDIES];
    size_t covered = 0;
    size_t small = 0;
    struct error error;
    struct estimate_plan quick = plan;
    quick.resamples = 999;
    for (uint64_t s = 0; s < STUDIES; s++) {
        size_t date[TRADES];
        double r[TRADES];
        struct estimate estimate;
        fill_iid(date, r, TRADES, 1000 + s, 0);
        const struct arm arm = {TRADES, date, r, NULL};
        quick.seed = s;
        estimate_mean(&estimate, 3 * TRADES, &arm, &quick, &error);
        p[s] = estimate.p;
        covered += estimate.low <= 0 && estimate.high >= 0;
        small += estimate.p < 0.05;
    }
    double below = 0;
    sort_numbers(p, STUDIES);
    uniform_distance_below(&below, uniform_distance(p, STUDIES), STUDIES, &error);
    print_message("covered %zu of %d, p below 0.05 in %zu, KS %.3f\n", covered, STUDIES, small,
                  1 - below);
    assert_true(below < 0.99);
    assert_true(100 * covered >= 91 * STUDIES && 100 * covered <= 99 * STUDIES);
    assert_true(100 * small <= 9 * STUDIES);
}

/* A true mean of 0.3 R in as many trades as trades_needed asks for is found in
 * at least 75% of studies (80% is what the formula promises of a normal law).
 * Four trades a date with a correlation of 0.3: design_effect = 1 + 3 * 0.3 (Kish 1965).
 */
static void test_power(void **state)
{
    (void)state;
    enum { STUDIES = 200, A_DATE = 4 };
    const double deviation = 1.5;
    const double common = 0.3;
    size_t needed = (size_t)ceil(trades_needed(0.3, deviation, 1 + (A_DATE - 1) * common));
    size_t dates = needed / A_DATE + 1;
    size_t *date = malloc(dates * A_DATE * sizeof *date);
    double *r = malloc(dates * A_DATE * sizeof *r);
    size_t found = 0;
    struct error error;
    struct estimate_plan quick = plan;
    quick.resamples = 999;
    for (uint64_t s = 0; s < STUDIES; s++) {
        struct random_stream stream;
        struct estimate estimate;
        random_start(&stream, 4000 + s, 0);
        for (size_t d = 0; d < dates; d++) {
            double shared = sqrt(common) * random_normal(&stream);
            for (size_t k = 0; k < A_DATE; k++) {
                date[d * A_DATE + k] = 2 * d;
                r[d * A_DATE + k] = 0.3 + deviation *
                                              (shared + sqrt(1 - common) * random_normal(&stream));
            }
        }
        const struct arm arm = {dates * A_DATE, date, r, NULL};
        estimate_mean(&estimate, 2 * dates, &arm, &quick, &error);
        found += estimate.low > 0;
    }
    print_message("a true mean of 0.3 R found in %zu of %d studies of %zu trades\n", found, STUDIES,
                  dates * A_DATE);
    assert_true(100 * found >= 75 * STUDIES);
    free(date);
    free(r);
}

/* The difference of two arms on common dates: where both have the same trades
 * it is 0 whatever the dates did; a shift shows as itself. */
static void test_difference(void **state)
{
    (void)state;
    enum { TRADES = 100 };
    size_t date[TRADES];
    double r[TRADES];
    double higher[TRADES];
    double weight[TRADES];
    struct error error;
    struct estimate estimate;
    fill_iid(date, r, TRADES, 77, 0);
    struct random_stream stream;
    random_start(&stream, 78, 0);
    for (size_t i = 0; i < TRADES; i++) {
        higher[i] = r[i] + 0.5 + 0.2 * random_normal(&stream);
        weight[i] = 0.25;
    }
    const struct arm a = {TRADES, date, higher, NULL};
    const struct arm b = {TRADES, date, r, weight};
    estimate_difference(&estimate, 3 * TRADES, &a, &b, &plan, &error);
    assert_near(estimate.value, mean_of(higher, TRADES) - mean_of(r, TRADES), 1e-12);
    assert_near(sqrt(estimate.variance), 0.2 / sqrt(TRADES), 0.01);
    assert_true(estimate.p < 0.001 && estimate.low > 0.4 && estimate.high < 0.6);
    const struct arm empty = {0, date, r, NULL};
    estimate_difference(&estimate, 3 * TRADES, &a, &empty, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_NONE);
    /* It is the dates of the first arm that count (method.md 10.21): 19 are too few,
     * 20 are not, ten of them won and ten lost. */
    for (size_t i = 0; i < 20; i++)
        higher[i] = i % 2 == 0 ? 2 : -2;
    const struct arm few = {19, date, higher, NULL};
    estimate_difference(&estimate, 3 * TRADES, &few, &b, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_NONE);
    assert_true(isnan(estimate.low) && isnan(estimate.p));
    const struct arm enough = {20, date, higher, NULL};
    estimate_difference(&estimate, 3 * TRADES, &enough, &b, &plan, &error);
    assert_int_equal(estimate.method, ESTIMATE_STUDENT);
}

static void test_split_parts(void **state)
{
    (void)state;
    enum { CELLS = 3, TRADES = 60 };
    static size_t date[CELLS][TRADES];
    static double r[CELLS][TRADES];
    struct split_cell cells[CELLS];
    struct error error;
    struct estimate_plan quick = plan;
    double p = 0;
    quick.resamples = 1999;
    for (uint64_t c = 0; c < CELLS; c++) {
        fill_iid(date[c], r[c], TRADES, 500 + c, 0);
        cells[c] = (struct split_cell){.arm = {TRADES, date[c], r[c], NULL}};
    }
    assert_int_equal(test_splits(cells, CELLS, 3 * TRADES, &quick, &p, &error), 0);
    assert_true(p > 0.05);
    assert_near(cells[1].mean, mean_of(r[1], TRADES), 1e-12);
    for (size_t i = 0; i < TRADES; i++)
        r[2][i] += 2;
    test_splits(cells, CELLS, 3 * TRADES, &quick, &p, &error);
    assert_true(p < 0.005);
    cells[1].arm.count = cells[2].arm.count = 10;
    test_splits(cells, CELLS, 3 * TRADES, &quick, &p, &error);
    assert_true(isnan(p) && cells[2].dates == 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bootstrap_variance),
        cmocka_unit_test(test_blocks_have_that_variance),
        cmocka_unit_test(test_block_length),
        cmocka_unit_test(test_influence),
        cmocka_unit_test(test_replicates_written_out),
        cmocka_unit_test(test_threads_and_seeds),
        cmocka_unit_test(test_student),
        cmocka_unit_test(test_few_trades),
        cmocka_unit_test(test_degenerate),
        cmocka_unit_test(test_calibration),
        cmocka_unit_test(test_power),
        cmocka_unit_test(test_difference),
        cmocka_unit_test(test_split_parts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
