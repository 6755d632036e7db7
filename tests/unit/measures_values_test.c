/* Measures against published values, closed forms and fresh sums.
 *
 * Flags: "value from memory" is a number that a publication is remembered to
 * print; "computed" comes from exact rational arithmetic outside the project,
 * cross-checked in R and pandas. */
#include "base/random.h"
#include "measures/series.h"
#include "measures/sheet.h"
#include "structure/swings.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "sample.h"

/* The column of a measure by name, with up to three numbers. */
static const double *column_of(struct sheet *sheet, const char *measure, double a, double b,
                               double c)
{
    const double values[PARAMETER_LIMIT] = {a, b, c};
    assert_non_null(measure_find(measure));
    const double *column = sheet_measure(sheet, measure_find(measure), values);
    assert_non_null(column);
    return column;
}

/* Wilder 1978 (from memory), chapter on the RSI: closes from memory, RSI computed exactly
 * (Wilder's own sheet is kept to two decimals). Tolerance 1e-10: the exact
 * column has 13 decimals. */
static void test_rsi_of_wilder(void **state)
{
    static const double closes[38] = {54.80, 56.80, 57.85, 59.85, 60.57, 61.10, 62.17, 60.60,
                                      62.35, 62.15, 62.35, 61.45, 62.80, 61.37, 62.50, 62.57,
                                      60.80, 59.37, 60.35, 62.35, 62.17, 62.55, 64.55, 64.37,
                                      65.30, 64.42, 62.90, 61.60, 62.05, 60.05, 59.70, 60.90,
                                      60.25, 58.27, 58.70, 57.72, 58.10, 58.20};
    static const struct {
        size_t bar; /* from 1 */
        double rsi;
    } expected[] = {{15, 74.2138364779874}, {16, 74.3355161787365}, {17, 65.8712862188029},
                    {18, 59.933703637341},  {20, 66.9620469760416}, {21, 66.1886165144785},
                    {22, 67.0537717287016}, {23, 71.2267916756337}, {24, 70.3629856887585},
                    {25, 72.2364400034311}, {26, 67.8648638687298}, {28, 55.7982103147414},
                    {29, 57.1596363128192}, {30, 49.8157930444469}, {31, 48.6380969127561},
                    {32, 52.7615383528613}, {34, 43.9511076016592}, {35, 45.5799217029803},
                    {36, 42.5453403065485}, {37, 44.0994563789042}, {38, 44.524720536432}};
    double rsi[38];
    (void)state;
    series_rsi(closes, 0, 38, 14, &(struct rsi_state){0, 0}, rsi);
    for (size_t i = 0; i < 14; i++)
        assert_true(isnan(rsi[i]));
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        assert_near(rsi[expected[i].bar - 1], expected[i].rsi, 1e-10);
    assert_near(rsi[14], 100 * 11.80 / 15.90, 1e-10);
}

/* Park & Miller 1988 (Comm. ACM 31): from seed 1 the 10,000th number is
 * 1043618065 (value from memory, and computed). */
static int64_t park_miller(int64_t x)
{
    return 16807 * x % 2147483647;
}

/* The fixture is what its generator makes: seed 20240229, start at 10000
 * ticks; a bar opens at the close before plus x%21-10, then 13 steps of
 * x%31-15; a tick is 0.01. Prices are read back exactly, so tolerance 0. */
static void test_fixture_generator(void **state)
{
    struct bars bars;
    int64_t x = 1;
    int64_t price = 10000;
    (void)state;
    for (int i = 0; i < 10000; i++)
        x = park_miller(x);
    assert_int_equal(x, 1043618065);
    bars_of_fixture(&bars);
    x = 20240229;
    for (size_t bar = 0; bar < 60; bar++) {
        x = park_miller(x);
        price += x % 21 - 10;
        int64_t open = price;
        int64_t high = price;
        int64_t low = price;
        for (int step = 0; step < 13; step++) {
            x = park_miller(x);
            price += x % 31 - 15;
            high = price > high ? price : high;
            low = price < low ? price : low;
        }
        assert_near(bars.open[bar], (double)open / 100, 0);
        assert_near(bars.high[bar], (double)high / 100, 0);
        assert_near(bars.low[bar], (double)low / 100, 0);
        assert_near(bars.close[bar], (double)price / 100, 0);
    }
    bars_free(&bars);
}

struct fixture_row {
    const char *measure;
    double values[3];
    double expected[6]; /* at bars 15, 20, 28, 34, 50, 60 (from 1); NaN: undefined there */
};

/* Computed: exact rationals, cross-checked in R and pandas, to 13 digits. */
static const struct fixture_row fixture_rows[] = {
    {"exponential_average",
     {12},
     {102.3277275831, 102.2357077429, 101.9429583992, 102.157499152, 101.8895132454,
      101.4043225765}},
    {"macd",
     {12, 26},
     {NAN, NAN, -0.1681294978428, -0.01888310285952, -0.1316347516018, -0.2327152184738}},
    {"macd_signal",
     {12, 26, 9},
     {NAN, NAN, NAN, -0.09696407483721, -0.04666579059653, -0.209419306606}},
    {"macd_histogram",
     {12, 26, 9},
     {NAN, NAN, NAN, 0.0780809719777, -0.08496896100525, -0.02329591186779}},
    {"true_range", {0}, {0.53, 0.61, 0.4, 0.31, 0.25, 0.44}},
    /* Bar 1 included: the row ATR14_TR1=HL. */
    {"atr",
     {14},
     {0.5173979591837, 0.4909050367019, 0.4353398055294, 0.4232512257578, 0.4143411000322,
      0.4359301367976}},
    {"directional_up",
     {14},
     {41.98581560284, 31.03573587865, 25.1365325404, 26.03046359476, 18.908546118, 19.50268826728}},
    {"directional_down",
     {14},
     {10.78014184397, 16.83810180667, 17.36889669399, 13.99096783065, 30.35151338364,
      22.78418669054}},
    {"adx", {14}, {NAN, NAN, 34.85418919358, 34.81909954842, 22.44482497241, 15.36707780925}},
    {"rsi",
     {14},
     {70.2479338843, 57.9666334829, 56.14563273831, 58.32851846606, 42.23135997317,
      47.81760257786}},
    {"stochastic_raw",
     {14},
     {75.6862745098, 3.649635036496, 29.78723404255, 75.67567567568, 14.12429378531,
      46.77419354839}},
    {"stochastic_smooth",
     {14, 3},
     {NAN, 8.932594394881, 18.8232203835, 72.67267267267, 10.3450406036, 23.64458087461}},
    {"stochastic",
     {14, 3, 3},
     {NAN, 26.34787150197, 18.48027318098, 71.19677817352, 14.3749468072, 19.80482164912}},
    {"average", {20}, {NAN, 102.249, 102.1565, 102.11, 102.066, 101.667}},
    /* Population deviation (Bollinger 2001, from memory). */
    {"upper_band",
     {20, 2},
     {NAN, 103.3493072298, 102.8417233213, 102.6686412086, 102.8066321624, 102.692750457}},
    {"lower_band",
     {20, 2},
     {NAN, 101.1486927702, 101.4712766787, 101.5513587914, 101.3253678376, 100.641249543}},
    {"slope",
     {20},
     {NAN, 0.03054135338346, -0.04621804511278, -0.003639097744361, -0.02738345864662,
      -0.06816541353383}},
    {"slope_t",
     {20},
     {NAN, 1.433547537372, -5.251522078564, -0.3196331658964, -1.999960027158, -5.061661050626}},
};

/* Tolerance 1e-12 of the value (at least of 1): half a unit of the last of 13
 * printed digits is up to 5e-13 of it, and a difference of prices near 100
 * carries 1e-14 of their size. */
static void test_fixture_values(void **state)
{
    static const size_t at[6] = {15, 20, 28, 34, 50, 60};
    struct bars bars;
    (void)state;
    bars_of_fixture(&bars);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_non_null(sheet);
    for (size_t row = 0; row < sizeof fixture_rows / sizeof *fixture_rows; row++) {
        const struct fixture_row *r = &fixture_rows[row];
        const double *found = column_of(sheet, r->measure, r->values[0], r->values[1],
                                        r->values[2]);
        assert_non_null(found);
        for (size_t i = 0; i < 6; i++) {
            if (isnan(r->expected[i]))
                assert_true(isnan(found[at[i] - 1]));
            else
                assert_near_named(found[at[i] - 1], r->expected[i],
                                  1e-12 * fmax(1, fabs(r->expected[i])), r->measure);
        }
    }
    sheet_free(sheet);
    bars_free(&bars);
}

/* Computed (pandas): the strict swings of the fixture. Ours need only be not
 * above those that follow, which adds the low of bar 22: bar 23 has the same
 * (101.63). */
static void test_fixture_swings(void **state)
{
    static const struct {
        size_t strength;
        size_t high[16];
        size_t low[16]; /* bars from 1; 0 ends a list */
    } rows[] = {{1,
                 {7, 15, 17, 24, 29, 33, 36, 40, 44, 48, 52, 56, 58},
                 {10, 13, 18, 20, 22, 27, 31, 34, 41, 47, 50, 53, 57, 59}},
                {3, {7, 15, 24, 29, 33, 44, 52}, {13, 22, 27, 41, 53, 57}}};
    struct bars bars;
    (void)state;
    bars_of_fixture(&bars);
    struct sheet *sheet = sheet_new(&bars, NULL);
    for (size_t row = 0; row < 2; row++) {
        const struct swings *swings = swings_of(sheet, rows[row].strength);
        assert_non_null(swings);
        for (size_t i = 0; i < swings->high_count; i++)
            assert_int_equal(swings->high[i] + 1, rows[row].high[i]);
        assert_int_equal(rows[row].high[swings->high_count], 0);
        for (size_t i = 0; i < swings->low_count; i++)
            assert_int_equal(swings->low[i] + 1, rows[row].low[i]);
        assert_int_equal(rows[row].low[swings->low_count], 0);
    }
    sheet_free(sheet);
    bars_free(&bars);
}

/* On the ramp x = t an exponential mean started as the mean of the first n
 * sits at t-(n-1)/2 from its first value on (the start is that point, and the
 * step weight*((n-1)/2 + 1) is 1: worked out here); so the MACD(12,26) is 7 and
 * its histogram 0 (computed limit, reached at once). Tolerance 1e-12 of
 * numbers up to 200. */
static void test_exponential_mean_on_a_ramp(void **state)
{
    double ramp[200];
    double mean[200];
    struct bars bars;
    (void)state;
    for (size_t i = 0; i < 200; i++)
        ramp[i] = (double)i;
    for (size_t n = 1; n <= 40; n++) {
        series_exponential_mean(ramp, 0, 200, n, mean);
        for (size_t i = n - 1; i < 200; i++)
            assert_near(mean[i], (double)i - ((double)n - 1) / 2, 1e-12);
    }
    bars_of_closes(&bars, ramp, 200);
    struct sheet *sheet = sheet_new(&bars, NULL);
    const double *macd = column_of(sheet, "macd", 12, 26, 0);
    const double *histogram = column_of(sheet, "macd_histogram", 12, 26, 9);
    for (size_t i = 25; i < 200; i++)
        assert_near(macd[i], 7, 1e-11);
    for (size_t i = 33; i < 200; i++)
        assert_near(histogram[i], 0, 1e-11);
    sheet_free(sheet);
    bars_free(&bars);
}

/* k bars after a step from 0 to 1 the mean is 1-(1-weight)^k (Brown 1959;
 * computed for n = 12), whatever the start, once it is on the flat part. */
static void test_exponential_mean_after_a_step(void **state)
{
    static const struct {
        size_t k;
        double expected;
    } rows[] = {{1, .153846153846}, {5, .566242832480}, {12, .865292432394}, {24, .981853871230}};
    double step[60];
    double mean[60];
    (void)state;
    for (size_t i = 0; i < 60; i++)
        step[i] = i >= 20 ? 1 : 0;
    series_exponential_mean(step, 0, 60, 12, mean);
    assert_near(mean[19], 0, 0);
    for (size_t i = 0; i < 4; i++)
        assert_near(mean[19 + rows[i].k], rows[i].expected, 5e-13);
}

/* Closes that go up 1 and down 1 in turn (computed): 50 from seven gains and
 * seven losses, then 750/14, in the limit 1400/27 and 1300/27. 14 bars shrink
 * the distance to the limit by e, so 600 leave nothing. */
static void test_rsi_of_alternating_closes(void **state)
{
    double closes[600];
    double rsi[600];
    (void)state;
    for (size_t i = 0; i < 600; i++)
        closes[i] = i % 2 == 1 ? 101 : 100;
    series_rsi(closes, 0, 600, 14, &(struct rsi_state){0, 0}, rsi);
    assert_near(rsi[14], 50, 1e-12);
    assert_near(rsi[15], 750.0 / 14, 1e-12);
    assert_near(rsi[599], 1400.0 / 27, 1e-11);
    assert_near(rsi[598], 1300.0 / 27, 1e-11);
}

/* The ends of the scale: all gains 100, all losses 0, no change 50, no span 50. */
static void test_ends_of_the_scale(void **state)
{
    double up[40];
    double down[40];
    double flat[40];
    double rsi[40];
    struct bars bars;
    (void)state;
    for (size_t i = 0; i < 40; i++) {
        up[i] = (double)i;
        down[i] = -(double)i;
        flat[i] = 7.25;
    }
    series_rsi(up, 0, 40, 14, &(struct rsi_state){0, 0}, rsi);
    assert_near(rsi[39], 100, 0);
    series_rsi(down, 0, 40, 14, &(struct rsi_state){0, 0}, rsi);
    assert_near(rsi[39], 0, 0);
    series_rsi(flat, 0, 40, 14, &(struct rsi_state){0, 0}, rsi);
    assert_near(rsi[39], 50, 0);
    bars_of_closes(&bars, flat, 40);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_near(column_of(sheet, "stochastic", 14, 3, 3)[39], 50, 1e-13);
    assert_near(column_of(sheet, "adx", 14, 0, 0)[39], 0, 0);
    assert_near(column_of(sheet, "upper_band", 20, 2, 0)[39], 7.25, 0);
    sheet_free(sheet);
    bars_free(&bars);
}

/* n = 20 on a unit ramp (computed): deviation sqrt(399/12), place of the close
 * between the bands .911877235524, their distance 23.065125189342; the slope
 * is 1 and its t-statistic infinite. */
static void test_bands_on_a_ramp(void **state)
{
    double ramp[60];
    double t[60];
    struct bars bars;
    (void)state;
    for (size_t i = 0; i < 60; i++)
        ramp[i] = (double)i;
    bars_of_closes(&bars, ramp, 60);
    struct sheet *sheet = sheet_new(&bars, NULL);
    double upper = column_of(sheet, "upper_band", 20, 2, 0)[59];
    double lower = column_of(sheet, "lower_band", 20, 2, 0)[59];
    assert_near(column_of(sheet, "deviation", 20, 0, 0)[59], 5.766281297335, 5e-13);
    assert_near((59 - lower) / (upper - lower), .911877235524, 5e-13);
    assert_near(upper - lower, 23.065125189342, 1e-12);
    assert_near(sheet_slope(sheet, 20)[59], 1, 1e-14);
    series_slope_t(ramp, 0, 60, 20, t);
    assert_true(isinf(t[59]) && t[59] > 0);
    sheet_free(sheet);
    bars_free(&bars);
}

/* Samuelson 1968: the last of n values lies at most sqrt(n-1) population
 * deviations from the mean; nineteen equal values and another reach
 * sqrt(19) = 4.358898943541 (computed). */
static void test_samuelson_bound(void **state)
{
    double x[2000];
    double mean[2000];
    double deviation[2000];
    struct random_stream stream;
    (void)state;
    for (size_t i = 0; i < 20; i++)
        x[i] = i == 19 ? 13 : 5;
    series_mean(x, 0, 20, 20, mean);
    series_deviation(x, 0, 20, 20, deviation);
    assert_near((x[19] - mean[19]) / deviation[19], 4.358898943541, 1e-12);
    random_start(&stream, 1968, 0);
    for (size_t i = 0; i < 2000; i++)
        x[i] = pow(random_unit(&stream), -2); /* heavy tails come near the bound */
    series_mean(x, 0, 2000, 20, mean);
    series_deviation(x, 0, 2000, 20, deviation);
    double largest = 0;
    for (size_t i = 19; i < 2000; i++)
        largest = fmax(largest, fabs(x[i] - mean[i]) / deviation[i]);
    assert_true(largest <= sqrt(19) * (1 + 1e-12));
    assert_true(largest > 4.3);
}

/* A fresh sum over the newest `depth` values with weights weight*(1-weight)^k:
 * what a recurrence must agree with long after its start is forgotten. */
static double fresh_recurrence(const double *newest, size_t depth, long double weight)
{
    long double sum = 0;
    long double factor = weight;
    for (size_t k = 0; k < depth; k++) {
        sum += factor * newest[-(ptrdiff_t)k];
        factor *= 1 - weight;
    }
    return (double)sum;
}

static double fresh_mean_of(const double *first, size_t n)
{
    long double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += first[i];
    return (double)(sum / (long double)n);
}

/* Ten million steps of a walk that wanders far from its start: a fresh sum of
 * the last window agrees to 1e-9 of it, as the method page demands. */
static void test_no_drift(void **state)
{
    enum { COUNT = 10000000, N = 20 };
    double *x = malloc(COUNT * sizeof *x);
    double *out = malloc(COUNT * sizeof *out);
    struct random_stream stream;
    (void)state;
    assert_non_null(x);
    assert_non_null(out);
    random_start(&stream, 20, 1);
    x[0] = 1e6;
    for (size_t i = 1; i < COUNT; i++)
        x[i] = x[i - 1] + (random_unit(&stream) - 0.5);
    const double *newest = x + COUNT - 1;

    series_mean(x, 0, COUNT, N, out);
    double mean = fresh_mean_of(newest + 1 - N, N);
    assert_near(out[COUNT - 1], mean, 1e-9 * fabs(mean));

    series_deviation(x, 0, COUNT, N, out);
    long double squares = 0;
    for (size_t i = 0; i < N; i++)
        squares += (newest[-(ptrdiff_t)i] - (long double)mean) *
                   (newest[-(ptrdiff_t)i] - (long double)mean);
    double deviation = (double)sqrtl(squares / N);
    assert_near(out[COUNT - 1], deviation, 1e-9 * deviation);

    series_exponential_mean(x, 0, COUNT, N, out);
    mean = fresh_recurrence(newest, 2000, 2.0L / (N + 1));
    assert_near(out[COUNT - 1], mean, 1e-9 * fabs(mean));

    series_wilder_mean(x, 0, COUNT, N, out);
    mean = fresh_recurrence(newest, 2000, 1.0L / N);
    assert_near(out[COUNT - 1], mean, 1e-9 * fabs(mean));

    series_rsi(x, 0, COUNT, N, &(struct rsi_state){0, 0}, out);
    long double up = 0;
    long double down = 0;
    long double factor = 1;
    for (size_t k = 0; k < 2000; k++) {
        double change = newest[-(ptrdiff_t)k] - newest[-(ptrdiff_t)k - 1];
        up += change > 0 ? factor * change : 0;
        down += change < 0 ? -factor * change : 0;
        factor *= 1 - 1.0L / N;
    }
    assert_near(out[COUNT - 1], (double)(100 * up / (up + down)), 1e-7);
    free(out);
    free(x);
}

/* Prices on a grid of 1/64 are exact with and without 1e9 added, so measures
 * of differences may change by rounding alone: 1e-10 of values near 1, and the
 * MACD by the grain of doubles at 1e9 (1.2e-7) a few times. */
static void test_large_offset(void **state)
{
    enum { COUNT = 300 };
    static const struct {
        const char *measure;
        double values[3];
        double tolerance;
        bool moves; /* with the offset */
    } rows[] = {{"deviation", {20}, 1e-10, false},
                {"slope", {20}, 1e-10, false},
                {"slope_t", {20}, 1e-9, false},
                {"rsi", {14}, 1e-10, false},
                {"atr", {14}, 1e-10, false},
                {"adx", {14}, 1e-9, false},
                {"stochastic", {14, 3, 3}, 1e-9, false},
                {"macd", {12, 26}, 1e-6, false},
                {"macd_histogram", {12, 26, 9}, 1e-6, false},
                {"average", {20}, 2e-7, true},
                {"lower_band", {20, 2}, 3e-7, true},
                {"lowest", {20}, 0, true}};
    struct bars near_zero;
    struct bars far;
    struct random_stream stream;
    double close = 100;
    (void)state;
    bars_init(&near_zero);
    bars_init(&far);
    random_start(&stream, 9, 0);
    for (size_t i = 0; i < COUNT; i++) {
        double p[3];
        for (size_t k = 0; k < 3; k++)
            p[k] = (double)random_below(&stream, 129) / 64;
        double open = close;
        close += p[0] - 1;
        double high = fmax(open, close) + p[1];
        double low = fmin(open, close) - p[2];
        add_bar(&near_zero, open, high, low, close);
        add_bar(&far, open + 1e9, high + 1e9, low + 1e9, close + 1e9);
    }
    struct sheet *one = sheet_new(&near_zero, NULL);
    struct sheet *other = sheet_new(&far, NULL);
    for (size_t row = 0; row < sizeof rows / sizeof *rows; row++) {
        const double *v = rows[row].values;
        const double *a = column_of(one, rows[row].measure, v[0], v[1], v[2]);
        const double *b = column_of(other, rows[row].measure, v[0], v[1], v[2]);
        for (size_t i = 40; i < COUNT; i++)
            assert_near_named(b[i] - (rows[row].moves ? 1e9 : 0), a[i],
                              rows[row].tolerance * fmax(1, fabs(a[i])), rows[row].measure);
    }
    sheet_free(one);
    sheet_free(other);
    bars_free(&near_zero);
    bars_free(&far);
}

/* The first bar (from 0) with a value, for the defaults; every row of the
 * table has to be here. */
static const struct {
    const char *measure;
    size_t first;
} warm_ups[] = {
    {"range", 0},
    {"body", 0},
    {"upper_shadow", 0},
    {"lower_shadow", 0},
    {"average", 19},
    {"exponential_average", 19},
    {"wilder_average", 13},
    {"true_range", 0},
    {"atr", 13},
    {"rsi", 14},
    {"rsi_average", 14 + 8},
    {"macd", 25},
    {"macd_signal", 25 + 8},
    {"macd_histogram", 25 + 8},
    {"stochastic_raw", 13},
    {"stochastic_smooth", 13 + 2},
    {"stochastic", 13 + 2 + 2},
    {"deviation", 19},
    {"upper_band", 19},
    {"lower_band", 19},
    {"directional_up", 14},
    {"directional_down", 14},
    {"adx", 14 + 13},
    {"slope", 19},
    {"slope_t", 19},
    {"highest", 19},
    {"lowest", 19},
    {"average_volume", 19},
};

static size_t first_value_of(const char *measure)
{
    for (size_t i = 0; i < sizeof warm_ups / sizeof *warm_ups; i++)
        if (strcmp(warm_ups[i].measure, measure) == 0)
            return warm_ups[i].first;
    print_error("%s is not in the table of warm-ups\n", measure);
    fail();
    return 0;
}

static void test_warm_ups(void **state)
{
    struct bars bars;
    (void)state;
    bars_of_fixture(&bars);
    for (size_t count = 0; count <= 60; count++) {
        struct bars part;
        struct error error;
        assert_int_equal(bars_slice(&part, &bars, 0, count, &error), ERROR_NONE);
        struct sheet *sheet = sheet_new(&part, NULL);
        for (const struct measure *row = measures; row->name != NULL; row++) {
            double values[PARAMETER_LIMIT];
            parameter_defaults(row->parameters, values);
            const double *found = sheet_measure(sheet, row, values);
            size_t first = first_value_of(row->name);
            for (size_t i = 0; i < count; i++)
                assert_int_equal(isnan(found[i]) != 0, i < first);
        }
        assert_false(sheet_failed(sheet));
        sheet_free(sheet);
        bars_free(&part);
    }
    bars_free(&bars);
}

/* Values that begin late start their warm-up where they begin. */
static void test_late_beginning(void **state)
{
    double x[30];
    double out[30];
    double *scratch = calloc(series_extreme_room(5), sizeof *scratch);
    (void)state;
    assert_non_null(scratch);
    for (size_t i = 0; i < 30; i++)
        x[i] = i < 7 ? NAN : (double)(i * i % 11);
    for (int which = 0; which < 7; which++) {
        switch (which) {
        case 0: series_mean(x, 0, 30, 5, out); break;
        case 1: series_exponential_mean(x, 0, 30, 5, out); break;
        case 2: series_wilder_mean(x, 0, 30, 5, out); break;
        case 3: series_deviation(x, 0, 30, 5, out); break;
        case 4: series_highest(x, 0, 30, 5, scratch, out); break;
        case 5: series_lowest(x, 0, 30, 5, scratch, out); break;
        default: series_slope(x, 0, 30, 5, out); break;
        }
        for (size_t i = 0; i < 30; i++)
            assert_int_equal(isnan(out[i]) != 0, i < 11);
    }
    free(scratch);
}

/* A volume that is missing on one bar takes its mean away as long as it is in
 * the window, and no longer. */
static void test_missing_volume(void **state)
{
    struct bars bars;
    (void)state;
    bars_of_fixture(&bars);
    bars.volume[30] = NAN;
    struct sheet *sheet = sheet_new(&bars, NULL);
    const double *mean = column_of(sheet, "average_volume", 5, 0, 0);
    for (size_t i = 4; i < 60; i++)
        assert_int_equal(isnan(mean[i]) != 0, i >= 30 && i <= 34);
    sheet_free(sheet);
    bars_free(&bars);
}

/* Numbers of the row within its limits, short enough to be defined early. */
static void random_values(const struct measure *row, struct random_stream *stream,
                          double values[PARAMETER_LIMIT])
{
    parameter_defaults(row->parameters, values);
    for (size_t i = 0; i < parameter_count(row->parameters); i++)
        if (row->parameters[i].kind == PARAMETER_WHOLE)
            values[i] = row->parameters[i].least + (double)random_below(stream, 25);
}

/* No measure looks ahead: cut after any bar, what was there is the same, bit
 * for bit. */
static void test_prefix(void **state)
{
    struct bars bars;
    struct random_stream stream;
    (void)state;
    bars_of_fixture(&bars);
    random_start(&stream, 3, 0);
    for (int trial = 0; trial < 200; trial++) {
        struct bars part;
        struct error error;
        size_t cut = 1 + (size_t)random_below(&stream, 59);
        assert_int_equal(bars_slice(&part, &bars, 0, cut, &error), ERROR_NONE);
        struct sheet *whole = sheet_new(&bars, NULL);
        struct sheet *prefix = sheet_new(&part, NULL);
        for (const struct measure *row = measures; row->name != NULL; row++) {
            double values[PARAMETER_LIMIT];
            random_values(row, &stream, values);
            assert_memory_equal(sheet_measure(whole, row, values),
                                sheet_measure(prefix, row, values), cut * sizeof(double));
        }
        sheet_free(whole);
        sheet_free(prefix);
        bars_free(&part);
    }
    bars_free(&bars);
}

/* Several instruments at once get the bits that each gets alone, whatever the
 * lengths that share a vector. */
static void test_lanes(void **state)
{
    static const size_t lengths[] = {60, 3, 41, 0, 60, 27, 14, 55, 33};
    enum { COUNT = sizeof lengths / sizeof *lengths };
    struct bars bars;
    struct bars part[COUNT];
    struct sheet *together[COUNT];
    (void)state;
    bars_of_fixture(&bars);
    for (size_t i = 0; i < COUNT; i++) {
        struct error error;
        size_t first = (60 - lengths[i]) / 2;
        assert_int_equal(bars_slice(&part[i], &bars, first, first + lengths[i], &error),
                         ERROR_NONE);
        together[i] = sheet_new(&part[i], NULL);
    }
    for (const struct measure *row = measures; row->name != NULL; row++) {
        double values[PARAMETER_LIMIT];
        parameter_defaults(row->parameters, values);
        sheets_measure(together, COUNT, row, values);
        for (size_t i = 0; i < COUNT; i++) {
            struct sheet *alone = sheet_new(&part[i], NULL);
            const double *expected = sheet_measure(alone, row, values);
            if (lengths[i] > 0)
                assert_memory_equal(sheet_measure(together[i], row, values), expected,
                                    lengths[i] * sizeof(double));
            sheet_free(alone);
        }
    }
    for (size_t i = 0; i < COUNT; i++) {
        assert_false(sheet_failed(together[i]));
        sheet_free(together[i]);
        bars_free(&part[i]);
    }
    bars_free(&bars);
}

/* Wilder 1978 (from memory): a bar that reaches as far above the one before as
 * below it has no directional movement; one that does not reach beyond has none either. */
static void test_directional_ties(void **state)
{
    struct bars bars;
    (void)state;
    bars_init(&bars);
    for (int i = 0; i < 20; i++) {
        double reach = i < 10 ? i : 20 - i; /* wider by 1 on both sides, then narrower */
        add_bar(&bars, 100, 101 + reach, 99 - reach, 100);
    }
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_near(column_of(sheet, "directional_up", 5, 0, 0)[9], 0, 0);
    assert_near(column_of(sheet, "directional_down", 5, 0, 0)[9], 0, 0);
    assert_near(column_of(sheet, "directional_up", 5, 0, 0)[19], 0, 0);
    assert_near(column_of(sheet, "directional_down", 5, 0, 0)[19], 0, 0);
    sheet_free(sheet);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rsi_of_wilder),
        cmocka_unit_test(test_fixture_generator),
        cmocka_unit_test(test_fixture_values),
        cmocka_unit_test(test_fixture_swings),
        cmocka_unit_test(test_exponential_mean_on_a_ramp),
        cmocka_unit_test(test_exponential_mean_after_a_step),
        cmocka_unit_test(test_rsi_of_alternating_closes),
        cmocka_unit_test(test_ends_of_the_scale),
        cmocka_unit_test(test_bands_on_a_ramp),
        cmocka_unit_test(test_samuelson_bound),
        cmocka_unit_test(test_no_drift),
        cmocka_unit_test(test_large_offset),
        cmocka_unit_test(test_warm_ups),
        cmocka_unit_test(test_late_beginning),
        cmocka_unit_test(test_missing_volume),
        cmocka_unit_test(test_prefix),
        cmocka_unit_test(test_lanes),
        cmocka_unit_test(test_directional_ties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
