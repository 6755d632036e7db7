/* Swings, zones, trend lines, retracements and divergence: against closed forms
 * where chance is at work, else against drawings small enough to check by eye. */
#include "base/random.h"
#include "setup/signals.h"
#include "structure/swings.h"
#include "structure/zones.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

/* Bars that are one price each: their highs and lows are the series. */
static void bars_of_values(struct bars *bars, const double *x, size_t count)
{
    bars_init(bars);
    for (size_t i = 0; i < count; i++)
        add_bar(bars, x[i], x[i], x[i], x[i]);
}

/* --- by chance ------------------------------------------------------------ */

/* The share of swing highs among the values of one long series, against a rate.
 * Neighbours are not independent, so the error comes from 200 blocks, each far
 * longer than the reach of a swing. */
static void assert_rate(struct sheet *sheet, size_t strength, double rate)
{
    enum { BLOCKS = 200 };
    const struct swings *swings = swings_of(sheet, strength);
    size_t length = sheet_count(sheet) / BLOCKS;
    double counts[BLOCKS] = {0};
    double mean = 0;
    double squares = 0;
    for (size_t i = 0; i < swings->high_count; i++)
        if (swings->high[i] / length < BLOCKS)
            counts[swings->high[i] / length]++;
    for (size_t b = 0; b < BLOCKS; b++)
        mean += counts[b] / (double)length / BLOCKS;
    for (size_t b = 0; b < BLOCKS; b++)
        squares += pow(counts[b] / (double)length - mean, 2);
    double error = sqrt(squares / (BLOCKS - 1) / BLOCKS);
    /* The first and last `strength` bars of the series cannot be swings. */
    double ends = 2 * (double)strength / (double)sheet_count(sheet);
    assert_near(mean, rate, 4 * error + ends);
}

/* Independent continuous values: 1/(2k+1), the largest of 2k+1 is as likely to
 * be any. A symmetric continuous walk: [C(2k,k)/4^k]^2, no step of k above the
 * start on either side (Sparre Andersen 1953). Both also simulated elsewhere. */
static void test_swing_rates(void **state)
{
    enum { COUNT = 200000 };
    static const struct {
        size_t strength;
        double independent;
        double walk;
    } rows[] = {{1, 1.0 / 3, 0.25},
                {2, 1.0 / 5, 0.140625},
                {3, 1.0 / 7, 0.09765625},
                {5, 1.0 / 11, 0.0605621337890625}};
    double *x = malloc(COUNT * sizeof *x);
    (void)state;
    assert_non_null(x);
    for (int walk = 0; walk < 2; walk++) {
        struct random_stream stream;
        struct bars bars;
        random_start(&stream, 24, (uint64_t)walk);
        for (size_t i = 0; i < COUNT; i++)
            x[i] = random_normal(&stream) + (walk && i > 0 ? x[i - 1] : 0);
        bars_of_values(&bars, x, COUNT);
        struct sheet *sheet = sheet_new(&bars, NULL);
        for (size_t row = 0; row < 4; row++)
            assert_rate(sheet, rows[row].strength, walk ? rows[row].walk : rows[row].independent);
        sheet_free(sheet);
        bars_free(&bars);
    }
    free(x);
}

static size_t turning_points(const double *x, size_t count)
{
    struct bars bars;
    bars_of_values(&bars, x, count);
    struct sheet *sheet = sheet_new(&bars, NULL);
    const struct swings *swings = swings_of(sheet, 1);
    size_t points = swings->high_count + swings->low_count;
    sheet_free(sheet);
    bars_free(&bars);
    return points;
}

/* Steps to the next permutation in order of the alphabet; false after the last. */
static bool next_permutation(double *x, size_t count)
{
    size_t i = count - 1;
    while (i > 0 && x[i - 1] >= x[i])
        i--;
    if (i == 0)
        return false;
    size_t j = count - 1;
    while (x[j] <= x[i - 1])
        j--;
    double swap = x[i - 1];
    x[i - 1] = x[j];
    x[j] = swap;
    for (size_t a = i, b = count - 1; a < b; a++, b--) {
        swap = x[a];
        x[a] = x[b];
        x[b] = swap;
    }
    return true;
}

/* Turning points of n independent values: mean 2(n-2)/3, variance (16n-29)/90
 * (Bienaymé 1874; Kendall). n = 6 over all 720 orders is exact: the sum is
 * 720 x 8/3 and the sum of squares 720 x (67/90 + 64/9). */
static void test_turning_points_enumerated(void **state)
{
    double x[6] = {1, 2, 3, 4, 5, 6};
    size_t orders = 0;
    size_t sum = 0;
    size_t squares = 0;
    (void)state;
    do {
        size_t points = turning_points(x, 6);
        orders++;
        sum += points;
        squares += points * points;
    } while (next_permutation(x, 6));
    assert_int_equal(orders, 720);
    assert_int_equal(sum, 1920);
    assert_int_equal(squares, 5656);
}

/* n = 20: mean 12, variance 3.2333; four standard errors, that of the variance
 * with the kurtosis of a normal figure. */
static void test_turning_points_drawn(void **state)
{
    enum { SERIES = 20000 };
    struct random_stream stream;
    double mean = 0;
    double squares = 0;
    (void)state;
    random_start(&stream, 20, 20);
    for (int i = 0; i < SERIES; i++) {
        double x[20];
        for (size_t k = 0; k < 20; k++)
            x[k] = random_unit(&stream);
        double points = (double)turning_points(x, 20);
        mean += points / SERIES;
        squares += (points - 12) * (points - 12) / SERIES;
    }
    assert_near(mean, 12, 4 * sqrt(3.2333 / SERIES));
    assert_near(squares, 291.0 / 90, 4 * 3.2333 * sqrt(2.0 / SERIES));
}

/* --- swings, drawn -------------------------------------------------------- */

/* Greater than each before, not less than each after: of equal neighbours the
 * first is the swing. Known only k bars later. */
static void test_swings_with_ties(void **state)
{
    static const double x[] = {1, 3, 3, 2, 5, 4, 5, 5, 1, 0};
    struct bars bars;
    (void)state;
    bars_of_values(&bars, x, 10);
    struct sheet *sheet = sheet_new(&bars, NULL);
    const struct swings *swings = swings_of(sheet, 1);
    static const size_t highs[] = {1, 4, 6};
    static const size_t lows[] = {3, 5};
    assert_int_equal(swings->high_count, 3);
    assert_memory_equal(swings->high, highs, sizeof highs);
    assert_int_equal(swings->low_count, 2);
    assert_memory_equal(swings->low, lows, sizeof lows);
    assert_int_equal(newest_swing_high(sheet, 1, 1), SIZE_MAX);
    assert_int_equal(newest_swing_high(sheet, 1, 2), 1);
    assert_int_equal(newest_swing_high(sheet, 1, 4), 1);
    assert_int_equal(newest_swing_high(sheet, 1, 5), 4);
    assert_int_equal(newest_swing_low(sheet, 1, 3), SIZE_MAX);
    assert_int_equal(newest_swing_low(sheet, 1, 4), 3);
    /* Strength 2: bar 4 (5 above 3, 2; not below 4, 5), known at 6. */
    assert_int_equal(newest_swing_high(sheet, 2, 5), SIZE_MAX);
    assert_int_equal(newest_swing_high(sheet, 2, 6), 4);
    assert_int_equal(newest_swing_high(sheet, 2, 9), 4);
    sheet_free(sheet);
    bars_free(&bars);
}

/* --- zones, drawn --------------------------------------------------------- */

struct zone_row {
    const char *what;
    double spikes[6]; /* highs above, or lows below, the quiet price of 100; 0 ends them */
    size_t touches;
    bool mirrored; /* read on the mirrored sheet */
    size_t count;
    struct zone zones[4];
};

/* The width is 1 throughout. */
static const struct zone_row zone_rows[] = {
    {"nearer than the width", {101, 101.9}, 1, false, 1, {{101, 101.9, 2}}},
    {"exactly the width apart", {101, 102}, 1, false, 2, {{101, 101, 1}, {102, 102, 1}}},
    {"the order of time does not matter",
     {103, 101.9, 101},
     1,
     false,
     2,
     {{101, 101.9, 2}, {103, 103, 1}}},
    {"equal prices are two members", {101, 101}, 2, false, 1, {{101, 101, 2}}},
    {"two touches asked for", {101, 101.5, 104}, 2, false, 1, {{101, 101.5, 2}}},
    /* All gaps 0.8: from below, until the span would pass 2. */
    {"ties join from below",
     {101, 101.8, 102.6, 103.4},
     1,
     false,
     2,
     {{101, 102.6, 3}, {103.4, 103.4, 1}}},
    {"upside down they join from above",
     {101, 101.8, 102.6, 103.4},
     1,
     true,
     2,
     {{-103.4, -101.8, 3}, {-101, -101, 1}}},
    /* Gaps 0.9, 0.5, 0.8: 0.5 first, then 0.8; with 101 the span would be 2.2. */
    {"the closest pair first",
     {101, 101.9, 102.4, 103.2},
     1,
     false,
     2,
     {{101, 101, 1}, {101.9, 103.2, 3}}},
    /* Gaps 0.7, 0.6, 0.7: the last join makes a span of exactly 2. */
    {"a span of exactly twice the width", {101, 101.7, 102.3, 103}, 1, false, 1, {{101, 103, 4}}},
    {"a high and a low make one zone", {100.3, 99.5}, 2, false, 1, {{99.5, 100.3, 2}}},
    {"a high and a low too far apart", {100.6, 99.5}, 2, false, 0, {{0, 0, 0}}},
};

/* Quiet bars at 100 with a bar between them that spikes to each price. */
static void spike_bars(struct bars *bars, const double *spikes)
{
    bars_init(bars);
    for (int i = 0; i < 14; i++)
        add_bar(bars, 100, 100, 100, 100);
    for (size_t i = 0; i < 6 && spikes[i] != 0; i++) {
        add_bar(bars, 100, fmax(spikes[i], 100), fmin(spikes[i], 100), 100);
        add_bar(bars, 100, 100, 100, 100);
    }
}

static void test_zones(void **state)
{
    (void)state;
    for (size_t row = 0; row < sizeof zone_rows / sizeof *zone_rows; row++) {
        const struct zone_row *r = &zone_rows[row];
        static struct zone zones[ZONE_LIMIT];
        struct bars bars;
        spike_bars(&bars, r->spikes);
        struct sheet *plain = sheet_new(&bars, NULL);
        struct sheet *sheet = r->mirrored ? sheet_mirror(plain) : plain;
        size_t at = bars.count - 1;
        double width = 1 / sheet_atr(sheet, 14)[at];
        size_t count = zones_at(sheet, 100, 1, width, r->touches, at, zones);
        if (count != r->count)
            fail_msg("%s: %zu zones", r->what, count);
        for (size_t i = 0; i < count; i++) {
            assert_near_named(zones[i].low, r->zones[i].low, 0, r->what);
            assert_near_named(zones[i].high, r->zones[i].high, 0, r->what);
            assert_int_equal(zones[i].members, r->zones[i].members);
        }
        sheet_free(plain);
        bars_free(&bars);
    }
}

/* A swing counts from the bar that makes it known until it is `bars` bars old;
 * without ATR there are no zones. */
static void test_zones_in_time(void **state)
{
    static struct zone zones[ZONE_LIMIT];
    static const double spikes[6] = {101, 105};
    struct bars bars;
    (void)state;
    spike_bars(&bars, spikes); /* spikes at bars 14 and 16 */
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_int_equal(zones_at(sheet, 100, 1, 0.1, 1, 12, zones), SIZE_MAX);
    assert_int_equal(zones_at(sheet, 100, 1, 0.1, 1, 14, zones), 0);
    assert_int_equal(zones_at(sheet, 100, 1, 0.1, 1, 15, zones), 1);
    assert_int_equal(zones_at(sheet, 100, 1, 0.1, 1, 16, zones), 1);
    assert_int_equal(zones_at(sheet, 100, 1, 0.1, 1, 17, zones), 2);
    assert_int_equal(zones_at(sheet, 4, 1, 0.1, 1, 17, zones), 2);
    assert_int_equal(zones_at(sheet, 3, 1, 0.1, 1, 17, zones), 1);
    assert_near(zones[0].low, 105, 0);
    sheet_free(sheet);
    bars_free(&bars);
}

/* --- conditions, drawn ---------------------------------------------------- */

/* How a condition of place reads at the last bar, that bar being the candle. */
static enum truth place_at_end(struct bars *bars, const char *condition)
{
    struct setup setup;
    struct setup_view view;
    struct error error;
    char text[600];
    snprintf(text, sizeof text,
             "setup: place\nside: long\ncandle: {shape: any}\nplace: [{%s}]\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n",
             condition);
    setup_from(&setup, text);
    struct sheet *sheet = sheet_new(bars, NULL);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), ERROR_NONE);
    size_t at = bars->count - 1;
    struct candle candle = candle_of_bar(&view, at);
    enum truth truth = criterion_holds(&view, &setup.place.list[0], &candle, at);
    sheet_free(sheet);
    setup_free(&setup);
    return truth;
}

/* Support from 97 to 97.5, width 1: the low of the candle within 1 of it, the
 * close not below 97. */
static void test_at_support(void **state)
{
    static const struct {
        double low;
        double close;
        enum truth holds;
    } rows[] = {{98.5, 99, TRUTH_YES}, {98.6, 99, TRUTH_NO}, {97.2, 99, TRUTH_YES},
                {96, 97, TRUTH_YES},   {96, 96.9, TRUTH_NO}, {95.9, 99, TRUTH_NO}};
    static const double spikes[6] = {97, 97.5};
    (void)state;
    for (size_t row = 0; row < sizeof rows / sizeof *rows; row++) {
        struct bars bars;
        char condition[200];
        spike_bars(&bars, spikes);
        add_bar(&bars, 100, 100, rows[row].low, rows[row].close);
        struct sheet *sheet = sheet_new(&bars, NULL);
        double width = 1 / sheet_atr(sheet, 14)[bars.count - 1];
        sheet_free(sheet);
        snprintf(condition, sizeof condition,
                 "at_support: {bars: 100, swing: 1, width_atr: %.17g, touches: 2}", width);
        assert_int_equal(place_at_end(&bars, condition), rows[row].holds);
        bars_free(&bars);
    }
}

/* Closes that fall 1 a bar without shadows: true range 1, ATR 1. Ten of them
 * fall 9 from the first to the last; the highest high of the ten bars before
 * the candle lies 10 above the last close before it. */
static void test_falls_before_the_candle(void **state)
{
    double closes[40];
    struct bars bars;
    (void)state;
    for (size_t i = 0; i < 39; i++)
        closes[i] = 200 - (double)i;
    closes[39] = closes[38] + 0.5; /* the candle: open 162, low 162, close 162.5 */
    bars_of_closes(&bars, closes, 40);
    bars.open[0] = bars.high[0] = 201;
    assert_int_equal(place_at_end(&bars, "downtrend: {bars: 10, fall_atr: 9}"), TRUTH_YES);
    assert_int_equal(place_at_end(&bars, "downtrend: {bars: 10, fall_atr: 9.01}"), TRUTH_NO);
    assert_int_equal(place_at_end(&bars, "downtrend: {bars: 40, fall_atr: 1}"), TRUTH_UNDEFINED);
    assert_int_equal(place_at_end(&bars, "uptrend: {bars: 10, rise_atr: 1}"), TRUTH_NO);
    assert_int_equal(place_at_end(&bars, "fall: {bars: 10, atr: 10}"), TRUTH_YES);
    assert_int_equal(place_at_end(&bars, "fall: {bars: 10, atr: 10.01}"), TRUTH_NO);
    assert_int_equal(place_at_end(&bars, "lowest_low: {bars: 10}"), TRUTH_YES);
    bars.low[39] = 161.9;
    assert_int_equal(place_at_end(&bars, "fall: {bars: 10, atr: 10.1}"), TRUTH_YES);
    bars.low[30] = 161.8;
    assert_int_equal(place_at_end(&bars, "lowest_low: {bars: 10}"), TRUTH_NO);
    assert_int_equal(place_at_end(&bars, "lowest_low: {bars: 8}"), TRUTH_YES);
    bars_free(&bars);
}

/* Bars of a high and a low, open and close half-way. */
static void zigzag_bars(struct bars *bars, const double (*p)[2], size_t count)
{
    bars_init(bars);
    for (size_t i = 0; i < count; i++) {
        double middle = (p[i][0] + p[i][1]) / 2;
        add_bar(bars, middle, p[i][0], p[i][1], middle);
    }
}

/* Swing highs 110 (bar 1) and 108 (bar 3), lows 100 (bar 2) and 98 (bar 4). */
static void test_lower_swings(void **state)
{
    static const double drawn[][2] = {{105, 102}, {110, 104}, {104, 100}, {108, 103},
                                      {102, 98},  {104, 101}, {103, 100}};
    static const char condition[] = "lower_swings: {swing: 1, count: 2}";
    struct bars bars;
    (void)state;
    zigzag_bars(&bars, drawn, 7);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_YES);
    bars.high[3] = 110; /* equal highs do not fall */
    assert_int_equal(place_at_end(&bars, condition), TRUTH_NO);
    bars.high[3] = 108;
    bars.low[4] = 100; /* nor do equal lows */
    assert_int_equal(place_at_end(&bars, condition), TRUTH_NO);
    bars_free(&bars);
    /* A bar earlier the second low is not known before the candle. */
    zigzag_bars(&bars, drawn, 6);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_UNDEFINED);
    bars_free(&bars);
    /* Upside down about 105 they rise. */
    bars_init(&bars);
    for (size_t i = 0; i < 7; i++) {
        double middle = 210 - (drawn[i][0] + drawn[i][1]) / 2;
        add_bar(&bars, middle, 210 - drawn[i][1], 210 - drawn[i][0], middle);
    }
    assert_int_equal(place_at_end(&bars, "higher_swings: {swing: 1, count: 2}"), TRUTH_YES);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_NO);
    bars_free(&bars);
}

/* --- trend lines, drawn --------------------------------------------------- */

/* Swing highs(1) 112 at bar 1 and 108 at bar 5: the line falls 1 a bar. */
static void line_bars(struct bars *bars)
{
    static const double drawn[][4] = {{106, 108, 105, 107},   {107, 112, 106, 108},
                                      {108, 111.8, 104, 105}, {105, 109, 104, 106},
                                      {106, 107, 102, 103},   {103, 108, 102, 104},
                                      {104, 106, 102, 103},   {103, 106, 102, 105}};
    bars_init(bars);
    for (size_t i = 0; i < 8; i++)
        add_bar(bars, drawn[i][0], drawn[i][1], drawn[i][2], drawn[i][3]);
}

static bool line_at(struct bars *bars, size_t length, size_t at, struct trend_line *line)
{
    struct sheet *sheet = sheet_new(bars, NULL);
    bool found = falling_trend_line(sheet, length, 1, at, line);
    sheet_free(sheet);
    return found;
}

static void test_trend_line(void **state)
{
    struct bars bars;
    struct trend_line line;
    (void)state;
    line_bars(&bars);
    assert_false(line_at(&bars, 60, 5, &line)); /* bar 5 is known at 6 */
    assert_true(line_at(&bars, 60, 6, &line));
    assert_int_equal(line.first, 1);
    assert_int_equal(line.second, 5);
    assert_near(trend_line_price(&line, 1), 112, 0);
    assert_near(trend_line_price(&line, 7), 106, 1e-12);
    assert_near(trend_line_price(&line, 13), 100, 1e-12);
    /* Both swings among the last n bars, 1 >= 6-n+1. */
    assert_true(line_at(&bars, 6, 6, &line));
    assert_false(line_at(&bars, 5, 6, &line));
    /* A close between the two swings may lie above the line (111 at bar 2). */
    bars.close[2] = 111.5;
    assert_true(line_at(&bars, 60, 7, &line));
    /* A later close at the line leaves it standing; above it, it is void, and
     * stays so on the bars that follow. */
    bars.close[6] = bars.high[6] = 107;
    assert_true(line_at(&bars, 60, 7, &line));
    bars.close[6] = bars.high[6] = 107.1;
    assert_false(line_at(&bars, 60, 6, &line));
    assert_false(line_at(&bars, 60, 7, &line));
    bars_free(&bars);
}

static void test_no_trend_line(void **state)
{
    struct bars bars;
    struct trend_line line;
    (void)state;
    line_bars(&bars);
    bars.high[5] = 112; /* equal highs make no falling line */
    assert_false(line_at(&bars, 60, 6, &line));
    bars.high[5] = 113; /* nor do rising ones */
    assert_false(line_at(&bars, 60, 6, &line));
    bars.high[5] = 111.999;
    assert_true(line_at(&bars, 60, 6, &line));
    bars.high[5] = 106.9; /* below bar 4: no swing, and one alone is no line */
    assert_false(line_at(&bars, 60, 6, &line));
    bars_free(&bars);
}

/* The condition is that of the bar before the candle. */
static void test_trend_line_before_the_candle(void **state)
{
    struct bars bars;
    (void)state;
    line_bars(&bars);
    assert_int_equal(place_at_end(&bars, "falling_trend_line: {bars: 60, swing: 1}"), TRUTH_YES);
    bars.close[7] = bars.high[7] = 106.5; /* the candle itself may close above it */
    assert_int_equal(place_at_end(&bars, "falling_trend_line: {bars: 60, swing: 1}"), TRUTH_YES);
    bars.close[6] = bars.high[6] = 107.1;
    assert_int_equal(place_at_end(&bars, "falling_trend_line: {bars: 60, swing: 1}"), TRUTH_NO);
    bars_free(&bars);
}

/* --- retracements --------------------------------------------------------- */

/* The golden section to 15 digits (computed to 25). */
static void test_golden_ratios(void **state)
{
    static const struct {
        double named;
        double exact;
    } rows[] = {{0.236, .236067977499789696}, {0.382, .381966011250105152},
                {0.618, .618033988749894848}, {0.786, .786151377757423286},
                {1.272, 1.27201964951406896}, {1.618, 1.61803398874989485}};
    static const double plain[] = {0, 0.146, 0.25, 0.333, 0.5, 0.75, 0.886, 1, 2, 2.618, 4.236};
    const struct fall fall = {0, 1, 200, 100};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_near(exact_ratio(rows[i].named), rows[i].exact, 1e-15);
        assert_near(fall_level(&fall, rows[i].named), 100 + 100 * rows[i].exact, 1e-12);
    }
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++)
        assert_near(exact_ratio(plain[i]), plain[i], 0);
    /* Rounded and exact levels of a swing of 100 points differ by 0.0034. */
    assert_near(138.2 - fall_level(&fall, 0.382), 0.0034, 5e-5);
}

static bool fall_at(const double (*p)[2], size_t count, size_t bars_before, struct fall *fall)
{
    struct bars bars;
    zigzag_bars(&bars, p, count);
    struct sheet *sheet = sheet_new(&bars, NULL);
    bool found = fall_before(sheet, bars_before, count - 1, fall);
    sheet_free(sheet);
    bars_free(&bars);
    return found;
}

static void test_fall_before(void **state)
{
    struct fall fall;
    (void)state;
    /* 120 twice: from the later one; the low of 90 lies before it. */
    static const double tied[][2] = {{120, 110}, {115, 90},  {120, 112},
                                     {113, 105}, {107, 100}, {108, 101}};
    assert_true(fall_at(tied, 6, 5, &fall));
    assert_int_equal(fall.high_bar, 2);
    assert_int_equal(fall.low_bar, 4);
    assert_near(fall.high, 120, 0);
    assert_near(fall.low, 100, 0);
    /* Five bars before the sixth, not six. */
    assert_false(fall_at(tied, 6, 6, &fall));
    /* The candle's own low counts, its own high does not. */
    static const double candle[][2] = {{118, 110}, {115, 108}, {112, 104}, {125, 99}};
    assert_true(fall_at(candle, 4, 3, &fall));
    assert_near(fall.high, 118, 0);
    assert_near(fall.low, 99, 0);
    /* Two bars only: the older, higher one is out of sight. */
    assert_true(fall_at(candle, 4, 2, &fall));
    assert_near(fall.high, 115, 0);
}

/* --- divergence ----------------------------------------------------------- */

/* Six closes that only fall give an RSI(5) of exactly 0 at 100; after a rise the
 * fall to 99 leaves it above 0: price lower, RSI higher. */
static void divergence_bars(struct bars *bars, double last)
{
    const double closes[] = {110, 108, 106, 104, 102, 100, 104, 108, 106, 104, 102, last};
    bars_of_closes(bars, closes, 12);
}

static void test_divergence(void **state)
{
    static const char condition[] = "bullish_divergence: {bars: 60, swing: 1, length: 5}";
    struct bars bars;
    (void)state;
    divergence_bars(&bars, 99);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_YES);
    /* Bar 5 is the sixth from the end of seven. */
    assert_int_equal(place_at_end(&bars, "bullish_divergence: {bars: 7, swing: 1, length: 5}"),
                     TRUTH_YES);
    assert_int_equal(place_at_end(&bars, "bullish_divergence: {bars: 6, swing: 1, length: 5}"),
                     TRUTH_UNDEFINED);
    /* The newer low need not be the last bar: a bar later it is a known swing. */
    add_bar(&bars, 100, 101, 100, 101);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_YES);
    add_bar(&bars, 101, 103, 101, 103);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_YES);
    bars_free(&bars);
    /* An equal low is not lower. */
    divergence_bars(&bars, 100);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_NO);
    bars_free(&bars);
    /* A higher one is not either. */
    divergence_bars(&bars, 101);
    assert_int_equal(place_at_end(&bars, condition), TRUTH_NO);
    bars_free(&bars);
}

/* Price and RSI both lower is no divergence: RSI(3) is 29 at the low of bar 3,
 * which a rise came before, and 18 after the straight fall to bar 8. */
static void test_no_divergence(void **state)
{
    static const double closes[] = {110, 105, 109, 104, 110, 109, 106, 103, 100};
    struct bars bars;
    size_t older = 0;
    size_t newer = 0;
    (void)state;
    bars_of_closes(&bars, closes, 9);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_true(newest_two_lows(sheet, 60, 1, 8, &older, &newer));
    assert_int_equal(newer, 8);
    assert_int_equal(older, 3);
    /* A bar that ties with the lowest before it counts, too: bar 4 opens at 104. */
    assert_true(newest_two_lows(sheet, 60, 1, 4, &older, &newer));
    assert_int_equal(newer, 4);
    assert_int_equal(older, 3);
    sheet_free(sheet);
    assert_int_equal(place_at_end(&bars, "bullish_divergence: {bars: 60, swing: 1, length: 3}"),
                     TRUTH_NO);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_swing_rates),
        cmocka_unit_test(test_turning_points_enumerated),
        cmocka_unit_test(test_turning_points_drawn),
        cmocka_unit_test(test_swings_with_ties),
        cmocka_unit_test(test_zones),
        cmocka_unit_test(test_zones_in_time),
        cmocka_unit_test(test_at_support),
        cmocka_unit_test(test_falls_before_the_candle),
        cmocka_unit_test(test_lower_swings),
        cmocka_unit_test(test_trend_line),
        cmocka_unit_test(test_no_trend_line),
        cmocka_unit_test(test_trend_line_before_the_candle),
        cmocka_unit_test(test_golden_ratios),
        cmocka_unit_test(test_fall_before),
        cmocka_unit_test(test_divergence),
        cmocka_unit_test(test_no_divergence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
