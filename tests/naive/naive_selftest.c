/*
 * Self-test of the naive implementation: hand-worked cases, published and exact values (each with
 * its source), and runs over random markets for the sanitizers.
 */
#include "naive.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int checks = 0;
static int failures = 0;

static void check(bool holds, const char *what)
{
    checks += 1;
    if (!holds) {
        failures += 1;
        printf("FAILED: %s\n", what);
    }
}

static void check_near(double value, double expected, double within, const char *what)
{
    check(fabs(value - expected) <= within, what);
    if (!(fabs(value - expected) <= within)) {
        printf("        %.12g, expected %.12g\n", value, expected);
    }
}

/* --- markets ---------------------------------------------------------------------------------*/

#define MOST_BARS 700
#define DAY ((int64_t)86400)

struct store {
    int64_t time[MOST_BARS];
    double open[MOST_BARS], high[MOST_BARS], low[MOST_BARS], close[MOST_BARS], volume[MOST_BARS];
    struct naive_market market;
};

static void store_begin(struct store *store, const char *interval)
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

static void store_bar(struct store *store, int64_t time, double o, double h, double l, double c)
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
static int64_t day_number(size_t i)
{
    return (18267 + (int64_t)i) * DAY;
}

static void store_rows(struct store *store, const double rows[][4], size_t count)
{
    store_begin(store, "1d");
    for (size_t i = 0; i < count; i++) {
        store_bar(store, day_number(i), rows[i][0], rows[i][1], rows[i][2], rows[i][3]);
    }
}

/* Park-Miller (Comm. ACM 31, 1988). */
static int64_t park_miller(int64_t *state)
{
    *state = 16807 * *state % 2147483647;
    return *state;
}

/* Open: previous close and (x%21-10); then 13 steps of (x%31-15), in ticks of 0.01. */
static void store_walk(struct store *store, int64_t seed, size_t count, const char *interval,
                       int64_t step)
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

static void store_negated(const struct store *from, struct store *to)
{
    store_begin(to, from->market.bars.interval);
    for (size_t i = 0; i < from->market.bars.count; i++) {
        store_bar(to, from->time[i], -from->open[i], -from->low[i], -from->high[i],
                  -from->close[i]);
    }
}

/* Days of two half days each, so that the finer bars and the days are one market. */
static void store_days_of(const struct store *halves, struct store *days)
{
    store_begin(days, "1d");
    for (size_t i = 0; i + 1 < halves->market.bars.count; i += 2) {
        store_bar(days, halves->time[i], halves->open[i],
                  fmax(halves->high[i], halves->high[i + 1]),
                  fmin(halves->low[i], halves->low[i + 1]), halves->close[i + 1]);
    }
    days->market.finer = &halves->market.bars;
}

/* --- measures --------------------------------------------------------------------------------*/

/* Wilder 1978 (from memory), RSI chapter: closes from memory, RSI computed
 * exactly. */
static void test_rsi(void)
{
    static const double closes[38] = {54.80, 56.80, 57.85, 59.85, 60.57, 61.10, 62.17, 60.60,
                                      62.35, 62.15, 62.35, 61.45, 62.80, 61.37, 62.50, 62.57,
                                      60.80, 59.37, 60.35, 62.35, 62.17, 62.55, 64.55, 64.37,
                                      65.30, 64.42, 62.90, 61.60, 62.05, 60.05, 59.70, 60.90,
                                      60.25, 58.27, 58.70, 57.72, 58.10, 58.20};
    struct store store;
    store_begin(&store, "1d");
    for (size_t i = 0; i < 38; i++) {
        store_bar(&store, day_number(i), closes[i], closes[i], closes[i], closes[i]);
    }
    const double n = 14.0;
    check(isnan(naive_measure(&store.market.bars, "rsi", &n, 1, 13)), "no RSI(14) at index 13");
    check_near(naive_measure(&store.market.bars, "rsi", &n, 1, 14), 74.2138364779874, 1e-10,
               "RSI bar 15");
    check_near(naive_measure(&store.market.bars, "rsi", &n, 1, 24), 72.2364400034311, 1e-10,
               "RSI bar 25");
    check_near(naive_measure(&store.market.bars, "rsi", &n, 1, 37), 44.524720536432, 1e-10,
               "RSI bar 38");
}

struct known {
    const char *name;
    double parameters[3];
    size_t count;
    double at20, at28, at34, at60; /* NaN: not tabulated */
};

/* Computed by two independent routes outside the project, on the
 * walk of seed 20240229. */
static void test_fixture(void)
{
    static const struct known known[] = {
        {"exponential_average",
         {12},
         1,
         102.2357077429,
         101.9429583992,
         102.157499152,
         101.4043225765},
        {"macd", {12, 26, 9}, 3, NAN, -0.1681294978428, -0.01888310285952, -0.2327152184738},
        {"macd_signal", {12, 26, 9}, 3, NAN, NAN, -0.09696407483721, -0.209419306606},
        {"macd_histogram", {12, 26, 9}, 3, NAN, NAN, 0.0780809719777, -0.02329591186779},
        {"true_range", {0}, 0, 0.61, 0.4, 0.31, 0.44},
        {"atr", {14}, 1, 0.4909050367019, 0.4353398055294, 0.4232512257578, 0.4359301367976},
        {"plus_direction", {14}, 1, 31.03573587865, 25.1365325404, 26.03046359476, 19.50268826728},
        {"minus_direction",
         {14},
         1,
         16.83810180667,
         17.36889669399,
         13.99096783065,
         22.78418669054},
        {"adx", {14}, 1, NAN, 34.85418919358, 34.81909954842, 15.36707780925},
        {"rsi", {14}, 1, 57.9666334829, 56.14563273831, 58.32851846606, 47.81760257786},
        {"stochastic_raw", {14}, 1, 3.649635036496, 29.78723404255, 75.67567567568, 46.77419354839},
        {"stochastic_smooth",
         {14, 3},
         2,
         8.932594394881,
         18.8232203835,
         72.67267267267,
         23.64458087461},
        {"stochastic",
         {14, 3, 3},
         3,
         26.34787150197,
         18.48027318098,
         71.19677817352,
         19.80482164912},
        {"band_middle", {20, 2}, 2, 102.249, 102.1565, 102.11, 101.667},
        {"band_upper", {20, 2}, 2, 103.3493072298, 102.8417233213, 102.6686412086, 102.692750457},
        {"band_lower", {20, 2}, 2, 101.1486927702, 101.4712766787, 101.5513587914, 100.641249543},
        {"slope",
         {20},
         1,
         0.03054135338346,
         -0.04621804511278,
         -0.003639097744361,
         -0.06816541353383},
        {"slope_t", {20}, 1, 1.433547537372, -5.251522078564, -0.3196331658964, -5.061661050626},
    };
    struct store store;
    store_walk(&store, 20240229, 60, "1d", DAY);
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        const struct known *k = &known[i];
        const size_t bars[4] = {19, 27, 33, 59};
        const double expected[4] = {k->at20, k->at28, k->at34, k->at60};
        for (size_t j = 0; j < 4; j++) {
            double value = naive_measure(&store.market.bars, k->name, k->parameters, k->count,
                                         bars[j]);
            if (isnan(expected[j])) {
                check(isnan(value), k->name);
            } else {
                check_near(value, expected[j], 1e-9, k->name);
            }
        }
    }
}

/* --- shapes: vectors for explicit readings, computed -----------------------------------------*/

static bool shape_of(const char *shape, const struct naive_limit *limits, size_t limit_count,
                     const double rows[][4], size_t count)
{
    struct store store;
    store_rows(&store, rows, count);
    return naive_shape(&store.market.bars, shape, limits, limit_count, count - 1);
}

#define SHAPE(name, limits, ...)                                                                   \
    shape_of(name, limits, sizeof(limits) / sizeof((limits)[0]), (const double[][4]){__VA_ARGS__}, \
             sizeof((const double[][4]){__VA_ARGS__}) / sizeof(double[4]))

static void test_shapes(void)
{
    const struct naive_limit alone[] = {{"range_min_atr", 0}, {"body_min", 0.001}};
    const struct naive_limit three[] = {{"range_min_atr", 0},
                                        {"body_min", 0.001},
                                        {"upper_min_bodies", 3}};
    const struct naive_limit ten[] = {{"body_max", 0.10}};
    const struct naive_limit five[] = {{"body_max", 0.05}};
    const struct naive_limit strict[] = {{"long_min_averages", 0}, {"body_min", 1}};
    const struct naive_limit loose[] = {{"long_min_averages", 0}, {"body_min", 0.99}};
    const struct naive_limit no_long[] = {{"long_min_averages", 0}};
    check(SHAPE("hammer", alone, {100, 101, 90, 101}), "hammer");
    check(SHAPE("hammer", alone, {106, 110, 100, 109}), "hammer at both limits");
    check(!SHAPE("hammer", alone, {106, 110, 100, 109.1}), "hammer just short");
    check(!SHAPE("hammer", alone, {105, 110, 100, 108.5}), "hammer with too long an upper shadow");
    check(!SHAPE("hammer", alone, {109, 110, 100, 109}), "a doji is no hammer with body_min");
    check(SHAPE("inverted-hammer", alone, {-100, -90, -101, -101}), "inverted hammer, negated");
    check(SHAPE("shooting-star", alone, {101, 110, 100, 104}), "shooting star");
    check(!SHAPE("shooting-star", three, {101, 110, 100, 104}), "shooting star of three bodies");
    check(SHAPE("shooting-star", three, {101, 110, 100, 103}), "shooting star of three bodies");
    check(SHAPE("doji", ten, {100, 105, 95, 101}), "doji 10%");
    check(!SHAPE("doji", five, {100, 105, 95, 101}), "doji 5%");
    check(!SHAPE("doji", five, {100, 100, 100, 100}), "no range, no doji");
    check(SHAPE("bullish-marubozu", strict, {100, 110, 100, 110}), "marubozu");
    check(!SHAPE("bullish-marubozu", strict, {100, 110.1, 100, 110}), "marubozu strict");
    check(SHAPE("bullish-marubozu", loose, {100, 110.1, 100, 110}), "marubozu 1%");
    check(SHAPE("bullish-harami", no_long, {105, 106, 99, 100}, {101, 104, 100.5, 103}), "harami");
    check(!SHAPE("bullish-harami", no_long, {105, 106, 99, 100}, {101, 106, 100.5, 105.5}),
          "harami above the first open");
    check(SHAPE("piercing-line", no_long, {105, 106, 99, 100}, {98, 104, 97, 103}), "piercing");
    check(!SHAPE("piercing-line", no_long, {105, 106, 99, 100}, {98, 104, 97, 102.5}),
          "piercing at the middle");
    check(!SHAPE("piercing-line", no_long, {105, 106, 99, 100}, {99.5, 104, 97, 103}),
          "piercing opens above the low");
    check(!SHAPE("piercing-line", no_long, {105, 106, 99, 100}, {98, 106, 97, 105.5}),
          "piercing above the first open");
    check(SHAPE("dark-cloud-cover", no_long, {100, 106, 99, 105}, {107, 108, 101, 102}),
          "dark cloud");
    check(SHAPE("morning-star", no_long, {110, 111, 100, 101}, {99, 100, 97, 98},
                {100, 108, 99, 107}),
          "morning star");
    check(!SHAPE("morning-star", no_long, {110, 111, 100, 101}, {101.5, 102, 97, 98},
                 {100, 108, 99, 107}),
          "morning star without a gap of bodies");
    check(SHAPE("three-white-soldiers", no_long, {100, 104.5, 99.5, 104}, {102, 106.5, 101.5, 106},
                {105, 109, 104, 108.5}),
          "soldiers");
    check(!SHAPE("three-white-soldiers", no_long, {100, 104.5, 99.5, 104}, {102, 106.5, 101.5, 106},
                 {106, 110, 105, 109.5}),
          "the third opens at the second close");
    check(SHAPE("three-black-crows", no_long, {-100, -99.5, -104.5, -104},
                {-102, -101.5, -106.5, -106}, {-105, -104, -109, -108.5}),
          "crows");
}

static void test_more_shapes(void)
{
    const struct naive_limit none[] = {{"", 0}};
    const struct naive_limit no_long[] = {{"long_min_averages", 0}};
    const double engulfing[3][2][4] = {{{105, 106, 99, 100}, {99.5, 107, 99, 106}},
                                       {{105, 106, 99, 100}, {100, 107, 99, 106}},
                                       {{105, 106, 99, 100}, {100, 107, 99, 105}}};
    check(shape_of("bullish-engulfing", none, 0, engulfing[0], 2), "engulfing");
    check(shape_of("bullish-engulfing", none, 0, engulfing[1], 2), "engulfing, one end equal");
    check(!shape_of("bullish-engulfing", none, 0, engulfing[2], 2), "engulfing, both ends equal");
    const double inside[2][4] = {{100, 105, 95, 101}, {100, 105, 96, 101}};
    const double equal[2][4] = {{100, 105, 95, 101}, {100, 105, 95, 101}};
    check(shape_of("inside-bar", none, 0, inside, 2), "inside bar");
    check(!shape_of("outside-bar", none, 0, inside, 2), "not outside");
    check(!shape_of("inside-bar", none, 0, equal, 2), "both equal");
    check(!shape_of("outside-bar", none, 0, equal, 2), "both equal");
    check(SHAPE("bullish-belt-hold", no_long, {101, 102, 100, 100.5}, {99, 104, 98.9, 103}),
          "belt hold: shadow 0.1 of a range 5.1 is within 2%");
    check(!SHAPE("bullish-belt-hold", no_long, {101, 102, 99, 100.5}, {99, 104, 98.9, 103}),
          "belt hold opens at the low before, not below");
    check(SHAPE("three-inside-up", no_long, {105, 106, 99, 100}, {101, 104, 100.5, 103},
                {103, 107, 102, 106}),
          "three inside up");
    check(!SHAPE("three-inside-up", no_long, {105, 106, 99, 100}, {101, 104, 100.5, 103},
                 {103, 107, 102, 105}),
          "three inside up: a close at the top is not beyond it");
}

/* --- conditions ------------------------------------------------------------------------------*/

static void test_conditions(void)
{
    struct store store;
    store_walk(&store, 20240229, 60, "1d", DAY);
    const struct naive_market *market = &store.market;
    /* Bar 28 (index 27): RSI 56.1; bar 34 (index 33): histogram 0.078. */
    check(naive_condition(market, "rsi_below: {length: 14, level: 56.2}", 27), "RSI below 56.2");
    check(!naive_condition(market, "rsi_below: {length: 14, level: 56.1}", 27), "not below 56.1");
    check(naive_condition(market, "not: {rsi_below: {length: 14, level: 56.1}}", 27), "its not");
    check(!naive_condition(market, "not: {rsi_below: {length: 14, level: 56.1}}", 5),
          "undefined, and so is its not");
    check(naive_condition(market, "rsi_above: {length: 14, level: 56.1}", 27), "RSI above 56.1");
    check(naive_condition(market, "adx_below: {length: 14, level: 35}", 27), "ADX below 35");
    check(naive_condition(market, "weekday: {of: [mon, wed]}", 0), "2020-01-06 is a Monday");
    check(!naive_condition(market, "weekday: {of: [mon, wed]}", 1), "not a Tuesday");
    check(naive_condition(market, "weekday: {of: [mon], within: 1}", 1), "within one bar");
    check(naive_condition(market, "any: [{weekday: {of: [fri]}}, {weekday: {of: [tue]}}]", 1),
          "any");
    /* On a Friday the last closed week is the one before; at the Sunday's end its own week. */
    double week_one = store.close[6];
    double week_two = store.close[13];
    bool rises = week_two > (week_one + week_two) / 2.0;
    check(!naive_condition(market, "close_above_average: {bars: 2, interval: 1w}", 12),
          "one closed week on a Saturday");
    check(naive_condition(market, "close_above_average: {bars: 2, interval: 1w}", 13) == rises,
          "two closed weeks on a Sunday");
    const struct naive_event events[] = {{.time = day_number(1), .kind = "report"},
                                         {.time = day_number(10), .kind = "report"},
                                         {.time = day_number(40), .kind = "report"}};
    store.market.events = events;
    store.market.event_count = 3;
    check(!naive_condition(market, "no_event: {kind: report, before: 2, after: 1}", 8), "before");
    check(naive_condition(market, "no_event: {kind: report, before: 2, after: 1}", 7), "earlier");
    check(!naive_condition(market, "no_event: {kind: report, before: 2, after: 1}", 11), "after");
    check(naive_condition(market, "no_event: {kind: report, before: 2, after: 1}", 12), "later");
    check(!naive_condition(market, "no_event: {kind: report, before: 2, after: 1}", 50) &&
              !naive_condition(market, "not: {no_event: {kind: report, before: 2, after: 1}}", 50),
          "after the last one nothing is known");
}

/* Closes fall by 1 a bar from bar 20 on; ATR is 2 everywhere. */
static void test_place(void)
{
    struct store store;
    store_begin(&store, "1d");
    for (size_t i = 0; i < 40; i++) {
        double c = i < 20 ? 120.0 : 120.0 - (double)(i - 19);
        store_bar(&store, day_number(i), c, c + 1.0, c - 1.0, c);
    }
    const struct naive_market *market = &store.market;
    /* closes f-5..f-1 fall by 1: slope -1 times 4 is -4 = -2 ATR */
    check(naive_condition(market, "downtrend: {bars: 5, fall_atr: 2}", 35), "a fall of 2 ATR");
    check(!naive_condition(market, "downtrend: {bars: 5, fall_atr: 2.001}", 35), "no more");
    check(!naive_condition(market, "uptrend: {bars: 5, rise_atr: 0.1}", 35), "no rise");
    check(!naive_condition(market, "downtrend: {bars: 36, fall_atr: 0}", 35), "too few bars");
    /* highest high of 30..34: 109+1; low of 35: 104-1; 110 - 103 = 7 = 3.5 ATR */
    check(naive_condition(market, "fall: {bars: 5, atr: 3.5}", 35), "a fall of 3.5 ATR");
    check(!naive_condition(market, "fall: {bars: 5, atr: 3.501}", 35), "no more");
    check(naive_condition(market, "lowest_low: {bars: 10}", 35), "lowest low");
    check(!naive_condition(market, "highest_high: {bars: 10}", 35), "not the highest high");
    check(naive_condition_of_candle(market, "fall: {bars: 5, atr: 3.5}", 34, 34),
          "one bar earlier");
}

/* --- trades ----------------------------------------------------------------------------------*/

static struct naive_row only_row(const struct store *store, const char *setup)
{
    struct naive_row *rows = NULL;
    size_t count = 0;
    char message[200] = "";
    struct naive_row row = {.reason = "none"};
    if (naive_trades(&store->market, setup, &rows, &count, message, sizeof message) != 0) {
        printf("        %s\n", message);
    } else if (count > 0) {
        row = rows[0];
    }
    check(count == 1, "one row");
    free(rows);
    return row;
}

/* Bar 0 is an inverted hammer: high 105, low 100; no other bar is one. */
#define HAMMER                                                                                     \
    {                                                                                              \
        100.5, 105, 100, 101                                                                       \
    }
#define CANDLE "candle: {shape: inverted-hammer, limits: {range_min_atr: 0}}\n"
#define BREAK "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
#define STOP "stop: {at: candle_low, buffer_ticks: 1}\n"

static void check_row(const struct naive_row *row, const char *reason, double entry, double stop,
                      double exit, double r, int same_bar, const char *what)
{
    check(strcmp(row->reason, reason) == 0, what);
    if (strcmp(row->reason, reason) != 0) {
        printf("        %s, expected %s\n", row->reason, reason);
        return;
    }
    check(row->same_bar == same_bar, what);
    if (!isnan(entry)) {
        check_near(row->entry, entry, 1e-12, what);
        check_near(row->stop, stop, 1e-12, what);
    }
    if (!isnan(exit)) {
        check_near(row->exit, exit, 1e-12, what);
        check_near(row->r, r, 1e-9, what);
    }
}

/* Order 105.01, stop 99.99, risk 5.02; a target of 2 R is at 115.05. */
static void test_buy_stop(void)
{
    static const char setup[] = "setup: a\nside: long\n" CANDLE BREAK STOP
                                "exit: {targets: [{r: 2, share: 1}], time_stop: 2}\n";
    struct store store;
    const double target[][4] = {HAMMER,
                                {102, 104, 101, 104},
                                {104, 106, 103, 106},
                                {106, 116, 105, 110}};
    store_rows(&store, target, 4);
    struct naive_row row = only_row(&store, setup);
    check_row(&row, "target", 105.01, 99.99, 115.05, 2.0, 0, "target");
    check(row.entry_bar == 2 && row.exit_bar == 3 && row.bars_held == 1, "bars");
    check_near(row.mae_r, (103 - 105.01) / 5.02, 1e-9, "MAE: the entry bar whole");
    check_near(row.mfe_r, 2.0, 1e-9, "MFE");
    const double gap[][4] = {HAMMER, {106, 107, 105, 106}, {98, 99, 97, 98}};
    store_rows(&store, gap, 3);
    row = only_row(&store, setup);
    check_row(&row, "stop", 106, 99.99, 98, -8.0 / 6.01, 0, "gaps at both ends");
    const double cancelled[][4] = {HAMMER, {101, 102, 99, 101}, {101, 106, 101, 105}};
    store_rows(&store, cancelled, 3);
    row = only_row(&store, setup);
    check_row(&row, "unfilled", NAN, NAN, NAN, NAN, 0, "the stop was reached first");
    const double time[][4] = {HAMMER,
                              {102, 106, 101, 105},
                              {105, 106, 104, 105},
                              {105, 107, 104, 106}};
    store_rows(&store, time, 4);
    row = only_row(&store, setup);
    check_row(&row, "time", 105.01, 99.99, 106, 0.99 / 5.02, 0, "the second close after");
    store.market.bars.count = 3;
    row = only_row(&store, setup);
    check_row(&row, "open", 105.01, 99.99, NAN, NAN, 0, "open");
    check(isnan(row.r) && isnan(row.exit) && row.bars_held == 1, "open");
    store.market.ended = true;
    row = only_row(&store, setup);
    check_row(&row, "ended", 105.01, 99.99, 105, -0.01 / 5.02, 0, "ended");
}

/* One bar that fills inside, and reaches stop and target. */
static void test_same_bar(void)
{
    static const char *const words[3] = {"nearest", "worst", "best"};
    const double up_first[][4] = {HAMMER, {104, 116, 88, 102}, {102, 103, 101, 102}};
    const double down_first[][4] = {HAMMER, {102, 122, 98, 102}, {102, 103, 101, 102}};
    const char *up_reasons[3] = {"target", "stop", "target"};
    const char *down_reasons[3] = {"unfilled", "stop", "target"};
    for (int i = 0; i < 3; i++) {
        char setup[600];
        struct store store;
        (void)snprintf(setup, sizeof setup,
                       "side: long\n" CANDLE BREAK STOP
                       "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: %s\n",
                       words[i]);
        store_rows(&store, up_first, 3);
        struct naive_row row = only_row(&store, setup);
        bool target = strcmp(up_reasons[i], "target") == 0;
        check_row(&row, up_reasons[i], 105.01, 99.99, target ? 115.05 : 99.99, target ? 2 : -1, 1,
                  words[i]);
        store_rows(&store, down_first, 3);
        row = only_row(&store, setup);
        target = strcmp(down_reasons[i], "target") == 0;
        double exit = i == 0 ? NAN : target ? 115.05 : 99.99;
        check_row(&row, down_reasons[i], i == 0 ? NAN : 105.01, 99.99, exit, target ? 2 : -1, 1,
                  words[i]);
    }
}

/* Inside fill, stop in the same bar, no target: best lives on, the others do not. */
static void test_best_lives_on(void)
{
    struct store store;
    const double rows[][4] = {HAMMER, {104, 106, 98, 102}, {102, 116, 101, 110}};
    store_rows(&store, rows, 3);
    struct naive_row row = only_row(&store,
                                    "side: long\n" CANDLE BREAK STOP
                                    "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: best\n");
    check_row(&row, "target", 105.01, 99.99, 115.05, 2, 1, "best lives on");
    row = only_row(&store, "side: long\n" CANDLE BREAK STOP
                           "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: nearest\n");
    check_row(&row, "stop", 105.01, 99.99, 99.99, -1, 1,
              "the high is nearer: filled, then stopped");
}

static void test_finer(void)
{
    struct store day;
    struct store hours;
    const double rows[][4] = {HAMMER, {104, 116, 98, 102}, {102, 103, 101, 102}};
    const double walk[][4] = {{104, 106, 103, 106}, {106, 116, 105, 110}, {110, 110, 98, 102}};
    static const char setup[] = "side: long\n" CANDLE BREAK STOP
                                "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: finer\n";
    store_rows(&day, rows, 3);
    store_begin(&hours, "8h");
    for (size_t i = 0; i < 3; i++) {
        store_bar(&hours, day_number(1) + (int64_t)i * 8 * 3600, walk[i][0], walk[i][1], walk[i][2],
                  walk[i][3]);
    }
    struct naive_row row = only_row(&day, setup);
    check_row(&row, "stop", 105.01, 99.99, 99.99, -1, 1, "no finer bars: as worst");
    day.market.finer = &hours.market.bars;
    row = only_row(&day, setup);
    check_row(&row, "target", 105.01, 99.99, 115.05, 2, 1, "finer: the target came first");
    hours.market.bars.count = 2;
    row = only_row(&day, setup);
    check_row(&row, "stop", 105.01, 99.99, 99.99, -1, 1, "a finer bar missing: as worst");
}

/* Entry 105.01, risk 5.02: 1 R at 110.03, 2 R at 115.05. */
static void test_exits(void)
{
    struct store store;
    const double rows[][4] = {HAMMER,
                              {104, 106, 103, 106},
                              {106, 111, 105, 110},
                              {110, 112, 104, 105}};
    store_rows(&store, rows, 4);
    struct naive_row row = only_row(
        &store, "side: long\n" CANDLE BREAK STOP
                "exit: {targets: [{r: 2, share: 0.5}, {r: 1, share: 0.5}], break_even_at_r: 1}\n");
    /* half at 110.03, the rest at 105.01 */
    check_row(&row, "break_even", 105.01, 99.99, (110.03 + 105.01) / 2, 0.5, 0,
              "half, then break-even");
    check_near(row.target, 110.03, 1e-12, "the first target");
    check_near(row.mae_r, (103 - 105.01) / 5.02, 1e-9, "MAE");
    check_near(row.mfe_r, (111 - 105.01) / 5.02, 1e-9, "MFE: on the exit bar only its open");
    row = only_row(&store, "side: long\n" CANDLE BREAK STOP
                           "exit: {targets: [{r: 1}]}\ncosts: {spread: 0.02, slippage: 0.01, "
                           "commission_per_unit: 0.001, commission_percent: 0.1, "
                           "financing_percent_year: 3.65}\n");
    double costs = 0.02 + 0.01 + 0.002 + 0.001 * (105.01 + 110.03) + 0.0001 * 105.01;
    check_row(&row, "target", 105.01, 99.99, 110.03, (5.02 - costs) / 5.02, 0, "all costs");
    row = only_row(&store,
                   "side: long\n" CANDLE BREAK STOP "exit: {when: [{weekday: {of: [tue]}}]}\n");
    check_row(&row, "condition", 105.01, 99.99, 106, 0.99 / 5.02, 0, "when: out at the next open");
}

static void test_short(void)
{
    struct store store;
    const double rows[][4] = {{-100.5, -100, -105, -101},
                              {-104, -103, -106, -106},
                              {-106, -105, -116, -110}};
    store_rows(&store, rows, 3);
    struct naive_row row = only_row(&store,
                                    "side: short\n"
                                    "candle: {shape: hanging-man, limits: {range_min_atr: 0}}\n"
                                    "entry: {on: break_of_low, buffer_ticks: 1}\n"
                                    "stop: {at: candle_high, buffer_ticks: 1}\n"
                                    "exit: {targets: [{r: 2, share: 1}]}\n");
    check_row(&row, "target", -105.01, -99.99, -115.05, 2, 0, "a short trade at negative prices");
}

/* Close above 105 at bar 2, filled at its close or at the next open; stop 100. */
static void test_waiting_for_a_close(void)
{
    struct store store;
    const double rows[][4] = {HAMMER,
                              {102, 105.5, 101, 104},
                              {104, 107, 103, 106},
                              {107, 112, 100.5, 110},
                              {110, 111, 109, 110}};
    store_rows(&store, rows, 5);
    struct naive_row row = only_row(&store, "side: long\n" CANDLE
                                            "entry: {on: close_above_high, valid: 2}\nstop: {at: "
                                            "candle_low}\nexit: {time_stop: 1}\n");
    check_row(&row, "time", 107, 100, 110, 3.0 / 7.0, 0, "the open after the firing close");
    check(row.entry_bar == 3 && row.exit_bar == 4, "bars 3 and 4");
    row = only_row(&store, "side: long\n" CANDLE
                           "entry: {on: close_above_high, valid: 2, at: close}\nstop: {at: "
                           "candle_low}\nexit: {time_stop: 1}\n");
    check_row(&row, "time", 106, 100, 110, 4.0 / 6.0, 0, "the firing close");
    check(row.entry_bar == 2 && row.exit_bar == 3, "bars 2 and 3");
    check_near(row.mae_r, (100.5 - 106) / 6.0, 1e-9, "the firing bar's range does not count");
    row = only_row(&store, "side: long\n" CANDLE
                           "entry: {on: close_above_high, valid: 1}\nstop: {at: candle_low}\n"
                           "exit: {time_stop: 1}\n");
    check_row(&row, "unfilled", NAN, NAN, NAN, NAN, 0, "it fires on the second bar only");
    row = only_row(&store,
                   "side: long\n" CANDLE "confirm: {wait: 2, of: [{weekday: {of: [wed]}}]}\n"
                   "entry: {on: close_above_high}\nstop: {at: candle_low}\n"
                   "exit: {time_stop: 1}\n");
    check_row(&row, "late", NAN, NAN, NAN, NAN, 0, "the signal's close is beyond the level");
    check(row.signal == 2 && row.candle == 0, "signal on the Wednesday");
    const double broken[][4] = {HAMMER, {102, 103, 99.99, 102}, {104, 107, 103, 106}};
    store_rows(&store, broken, 3);
    row = only_row(&store,
                   "side: long\n" CANDLE "confirm: {wait: 2, of: [{weekday: {of: [wed]}}]}\n"
                   "entry: {on: next_open}\nstop: {at: candle_low}\n"
                   "exit: {time_stop: 1}\n");
    check_row(&row, "broken", NAN, NAN, NAN, NAN, 0, "a low below the candle's before the signal");
    check(row.signal == 1, "broken on bar 1");
}

/* The fall of the 3 bars before the hammer: 120 down to 100; level 0.5 is 110.  Bar 5 closes above
 * it, bar 6 stays away, bar 7 comes down to it and closes above; stop at the low of bars 6..7. */
static void test_retest(void)
{
    struct store store;
    store_begin(&store, "1d");
    for (size_t i = 0; i < 14; i++) {
        store_bar(&store, day_number(i), 117, 118, 116, 117);
    }
    const double rows[][4] = {{117, 120, 116, 117},   {115, 116, 109, 110},
                              {108, 109, 104, 104.5}, HAMMER,
                              {102, 106, 101, 105},   {106, 114, 105, 113},
                              {114, 118, 113, 116},   {115, 116, 110, 112},
                              {112, 113, 111, 112},   {113, 122, 112, 121}};
    for (size_t i = 0; i < 10; i++) {
        store_bar(&store, day_number(14 + i), rows[i][0], rows[i][1], rows[i][2], rows[i][3]);
    }
    struct naive_row row = only_row(&store,
                                    "side: long\n" CANDLE
                                    "entry: {on: retest, of: retracement, level: 0.5, bars: 3, "
                                    "tolerance_atr: 0}\nstop: {at: leg_low, buffer_ticks: 10}\n"
                                    "exit: {targets: [{level: 1}]}\n");
    /* bar 17 is the candle, 19 breaks, 21 retests, filled at the open of 22: 112; stop 109.90 */
    check_row(&row, "target", 112, 109.9, 120, 8.0 / 2.1, 0, "retest");
    check(row.candle == 17 && row.entry_bar == 22 && row.exit_bar == 23, "retest bars");
}

/* Trail by the highest close: entry 105.01 at bar 15, ATR about 5; and signals passed over. */
static void test_trail_and_overlap(void)
{
    struct store store;
    store_begin(&store, "1d");
    for (size_t i = 0; i < 14; i++) {
        store_bar(&store, day_number(i), 101, 103.5, 98.5, 101);
    }
    const double rows[][4] = {HAMMER,
                              {103, 108, 103, 107},
                              {107, 112, 107, 111},
                              {108.5, 113.5, 108.5, 109},
                              {108, 109, 103, 104}};
    for (size_t i = 0; i < 5; i++) {
        store_bar(&store, day_number(14 + i), rows[i][0], rows[i][1], rows[i][2], rows[i][3]);
    }
    const double n = 14;
    double atr = naive_measure(&store.market.bars, "atr", &n, 1, 17);
    double expected = floor((111.0 - atr) * 100.0) / 100.0; /* after bar 17: highest close 111 */
    struct naive_row *out = NULL;
    size_t count = 0;
    char message[200] = "";
    check(naive_trades(&store.market,
                       "side: long\n" CANDLE BREAK STOP "exit: {trail: {atr: {times: 1}}}\n", &out,
                       &count, message, 200) == 0,
          message);
    check(count == 2, "the hammer, and bar 17 that is one too");
    if (count == 2) {
        check_row(&out[0], "trail", 105.01, 99.99, expected, (expected - 105.01) / 5.02, 0,
                  "trail");
        check_row(&out[1], "passed", NAN, NAN, NAN, NAN, 0, "busy until bar 18");
    }
    free(out);
}

/* --- random markets --------------------------------------------------------------------------*/

struct both {
    const char *long_text;
    const char *short_text;
};

static const struct both setups[] = {
    {"side: long\ncandle: {any_of: [{shape: inverted-hammer, limits: {body_max: 0.4}}, hammer, "
     "bullish-engulfing, gravestone]}\nplace: [{downtrend: {bars: 5, fall_atr: 0.2}}]\n"
     "confirm: {at_least: 1, wait: 2, of: [{rsi_below: {length: 5, level: 60, within: 2}}, "
     "{macd_turns_up: {fast: 3, slow: 6, signal: 3}}]}\n"
     "entry: {on: break_of_high, valid: 3, buffer_ticks: 1, largest_gap_atr: 0.5}\n"
     "stop: {at: swing_low, swing: 2, buffer_atr: 0.1}\n"
     "exit: {targets: [{r: 1, share: 0.5}, {level: 0.618, share: 0.3}], time_stop: 9, "
     "trail: {swing_low: {swing: 1}}, break_even_at_r: 0.8}\n",
     "side: short\ncandle: {any_of: [{shape: hanging-man, limits: {body_max: 0.4}}, shooting-star, "
     "bearish-engulfing, dragonfly]}\nplace: [{uptrend: {bars: 5, rise_atr: 0.2}}]\n"
     "confirm: {at_least: 1, wait: 2, of: [{rsi_above: {length: 5, level: 40, within: 2}}, "
     "{macd_turns_down: {fast: 3, slow: 6, signal: 3}}]}\n"
     "entry: {on: break_of_low, valid: 3, buffer_ticks: 1, largest_gap_atr: 0.5}\n"
     "stop: {at: swing_high, swing: 2, buffer_atr: 0.1}\n"
     "exit: {targets: [{r: 1, share: 0.5}, {level: 0.618, share: 0.3}], time_stop: 9, "
     "trail: {swing_high: {swing: 1}}, break_even_at_r: 0.8}\n"},
    {"side: long\ncandle: {shape: any}\nplace: [{lowest_low: {bars: 5}}, {any: [{fall: {bars: 8, atr: "
     "1}}, {lower_swings: {swing: 1, count: 2}}]}]\nentry: {on: close_above_high, valid: 4, at: "
     "close, least_room_r: 0.3}\nstop: {at: lower_of, of: [{at: candle_low}, {at: atr, times: 1}], "
     "buffer_ticks: 2}\nexit: {trail: {atr: {times: 2}}, when: [{rsi_above: {length: 5, level: "
     "80}}]}\nsame_bar: best\noverlap: all\n",
     "side: short\ncandle: {shape: any}\nplace: [{highest_high: {bars: 5}}, {any: [{rise: {bars: 8, "
     "atr: 1}}, {higher_swings: {swing: 1, count: 2}}]}]\nentry: {on: close_below_low, valid: 4, at: "
     "close, least_room_r: 0.3}\nstop: {at: higher_of, of: [{at: candle_high}, {at: atr, times: 1}], "
     "buffer_ticks: 2}\nexit: {trail: {atr: {times: 2}}, when: [{rsi_below: {length: 5, level: "
     "20}}]}\nsame_bar: best\noverlap: all\n"},
    {"side: long\ncandle: {shape: doji, limits: {body_max: 0.2}}\nplace: [{at_support: {bars: 60, "
     "swing: 2, width_atr: 0.5, touches: 2}}]\nentry: {on: retest, of: retracement, level: 0.382, "
     "bars: 20}\nstop: {at: leg_low, buffer_ticks: 1}\nexit: {targets: [{extension: 1.618}], "
     "time_stop: 30}\nsame_bar: worst\n",
     "side: short\ncandle: {shape: doji, limits: {body_max: 0.2}}\nplace: [{at_resistance: {bars: 60, "
     "swing: 2, width_atr: 0.5, touches: 2}}]\nentry: {on: retest, of: retracement, level: 0.382, "
     "bars: 20}\nstop: {at: leg_high, buffer_ticks: 1}\nexit: {targets: [{extension: 1.618}], "
     "time_stop: 30}\nsame_bar: worst\n"},
    {"side: long\ncandle: {shape: inside-bar}\nplace: [{falling_trend_line: {bars: 40, swing: 1}}]\n"
     "entry: {on: trend_line_break, bars: 40, swing: 1, valid: 5}\nstop: {at: lowest_low, bars: 6}\n"
     "exit: {targets: [{r: 2}]}\n",
     "side: short\ncandle: {shape: inside-bar}\nplace: [{rising_trend_line: {bars: 40, swing: 1}}]\n"
     "entry: {on: trend_line_break, bars: 40, swing: 1, valid: 5}\nstop: {at: highest_high, bars: "
     "6}\nexit: {targets: [{r: 2}]}\n"},
    {"side: long\ncandle: {shape: tweezer-bottom, limits: {apart_max_atr: 0.3}}\nconfirm: {wait: 5, "
     "of: [{bullish_divergence: {bars: 40, swing: 2, length: 7}}]}\nentry: {on: swing_high_break, "
     "swing: 1, valid: 6}\nstop: {at: atr, times: 2}\nexit: {targets: [{r: 1.5}], time_stop: 20}\n"
     "same_bar: finer\n",
     "side: short\ncandle: {shape: tweezer-top, limits: {apart_max_atr: 0.3}}\nconfirm: {wait: 5, of: "
     "[{bearish_divergence: {bars: 40, swing: 2, length: 7}}]}\nentry: {on: swing_low_break, swing: "
     "1, valid: 6}\nstop: {at: atr, times: 2}\nexit: {targets: [{r: 1.5}], time_stop: 20}\n"
     "same_bar: finer\n"},
    {"side: long\ncandle: {shape: spinning-top}\nplace: [{not: {close_above_average: {bars: 3, interval: "
     "1w}}}, {stochastic_below: {length: 5, smooth: 2, average: 2, level: 60}}]\nentry: {on: "
     "bullish_candle, valid: 3}\nstop: {at: candle_low}\nexit: {time_stop: 5}\n",
     "side: short\ncandle: {shape: spinning-top}\nplace: [{not: {close_below_average: {bars: 3, "
     "interval: 1w}}}, {stochastic_above: {length: 5, smooth: 2, average: 2, level: 40}}]\nentry: "
     "{on: bearish_candle, valid: 3}\nstop: {at: candle_high}\nexit: {time_stop: 5}\n"},
    {"side: long\ncandle: {shape: hammer}\nentry: {on: retest, of: swing_high, swing: 2}\nstop: {at: "
     "candle_low}\nexit: {targets: [{r: 1}]}\n",
     "side: short\ncandle: {shape: shooting-star}\nentry: {on: retest, of: swing_low, swing: 2}\n"
     "stop: {at: candle_high}\nexit: {targets: [{r: 1}]}\n"},
    {"side: long\ncandle: {shape: bullish-harami}\ninterval: 1w\nentry: {on: next_open}\nstop: {at: "
     "candle_low}\nexit: {targets: [{r: 1}]}\n",
     "side: short\ncandle: {shape: bearish-harami}\ninterval: 1w\nentry: {on: next_open}\nstop: {at: "
     "candle_high}\nexit: {targets: [{r: 1}]}\n"},
};

static bool same_number(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 1e-12;
}

static bool mirrored_row(const struct naive_row *a, const struct naive_row *b)
{
    return a->candle == b->candle && a->signal == b->signal && strcmp(a->reason, b->reason) == 0 &&
           a->entry_bar == b->entry_bar && a->exit_bar == b->exit_bar &&
           a->same_bar == b->same_bar && a->bars_held == b->bars_held &&
           same_number(a->entry, -b->entry) && same_number(a->stop, -b->stop) &&
           same_number(a->target, -b->target) && same_number(a->exit, -b->exit) &&
           same_number(a->r, b->r) && same_number(a->mae_r, b->mae_r) &&
           same_number(a->mfe_r, b->mfe_r);
}

struct tally {
    size_t rows, trades;
};

static void check_mirror(const struct store *seen, const struct store *negated,
                         const struct both *both, struct tally *tally)
{
    struct naive_row *rows[2] = {NULL, NULL};
    size_t count[2] = {0, 0};
    char message[200] = "";
    int failed = naive_trades(&seen->market, both->long_text, &rows[0], &count[0], message,
                              sizeof message);
    failed += naive_trades(&negated->market, both->short_text, &rows[1], &count[1], message,
                           sizeof message);
    check(failed == 0, message);
    check(count[0] == count[1], "as many rows on the other side");
    bool same = count[0] == count[1];
    for (size_t i = 0; same && i < count[0]; i++) {
        same = mirrored_row(&rows[0][i], &rows[1][i]);
        tally->trades += rows[0][i].entered ? 1 : 0;
        check(!rows[0][i].entered || (rows[0][i].mae_r <= 0.0 && rows[0][i].mfe_r >= 0.0),
              "mae_r <= 0 <= mfe_r");
    }
    tally->rows += count[0];
    check(same, "the other side's rows are the mirror");
    free(rows[0]);
    free(rows[1]);
}

static void test_mirror(void)
{
    for (size_t i = 0; i < sizeof setups / sizeof setups[0]; i++) {
        struct tally tally = {0, 0};
        for (int64_t seed = 1; seed <= 4; seed++) {
            static struct store seen;
            static struct store negated;
            static struct store finer;
            static struct store finer_negated;
            store_walk(&finer, seed * 7919, 600, "12h", DAY / 2);
            store_negated(&finer, &finer_negated);
            store_days_of(&finer, &seen);
            store_days_of(&finer_negated, &negated);
            check_mirror(&seen, &negated, &setups[i], &tally);
        }
        printf("setup %zu: %zu rows, %zu trades\n", i + 1, tally.rows, tally.trades);
    }
}

/* A short setup at positive prices, a long one at negative ones: rounding and sums must hold. */
static void test_all_shapes_and_conditions(void)
{
    static const char *const conditions[] = {"downtrend",
                                             "uptrend",
                                             "fall",
                                             "rise",
                                             "lowest_low",
                                             "highest_high",
                                             "lower_swings",
                                             "higher_swings",
                                             "falling_trend_line",
                                             "rising_trend_line",
                                             "at_support",
                                             "at_resistance",
                                             "at_own_level",
                                             "rsi_below",
                                             "rsi_above",
                                             "rsi_crosses_above_average",
                                             "rsi_crosses_below_average",
                                             "stochastic_below",
                                             "stochastic_above",
                                             "below_lower_band",
                                             "above_upper_band",
                                             "macd_turns_up",
                                             "macd_turns_down",
                                             "macd_crosses_signal_up",
                                             "macd_crosses_signal_down",
                                             "macd_above_zero",
                                             "macd_below_zero",
                                             "bullish_divergence",
                                             "bearish_divergence",
                                             "adx_below",
                                             "adx_above",
                                             "close_above_average",
                                             "close_below_average",
                                             "average_rising",
                                             "average_falling",
                                             "volume_above_average",
                                             "weekday: {of: [mon]}",
                                             "time_of_day",
                                             "no_event"};
    static struct store store;
    store_walk(&store, 4242, 400, "1d", DAY);
    const struct naive_mark marks[] = {{.price = 100.0}, {.made = day_number(50), .price = 101.0}};
    store.market.marks = marks;
    store.market.mark_count = 2;
    const struct naive_event events[] = {{.time = day_number(3), .kind = "report"},
                                         {.time = day_number(390), .kind = "report"}};
    store.market.events = events;
    store.market.event_count = 2;
    for (size_t i = 0; i < sizeof conditions / sizeof conditions[0]; i++) {
        size_t holding = 0;
        for (size_t t = 0; t < store.market.bars.count; t++) {
            holding += naive_condition(&store.market, conditions[i], t) ? 1 : 0;
        }
        check(holding > 0, conditions[i]);
    }
}

/* --- every entry with every stop and every exit ----------------------------------------------*/

static const char *const entries[] = {
    "{on: next_open}",
    "{on: break_of_high, valid: 3, buffer_atr: 0.1}",
    "{on: break_of_high, valid: 2, late: take}",
    "{on: close_above_high, valid: 4, buffer_ticks: 1}",
    "{on: close_above_high, valid: 4, at: close, late: take}",
    "{on: bullish_candle, valid: 3}",
    "{on: swing_high_break, swing: 1, valid: 6, at: close}",
    "{on: trend_line_break, bars: 40, swing: 1, valid: 6}",
    "{on: retest, of: retracement, level: 0.5, bars: 20, break_within: 8, retest_within: 8}",
    "{on: retest, of: trend_line, bars: 40, swing: 1, at: close}",
    "{on: retest, of: swing_high, swing: 1, tolerance_atr: 0.5}",
};
static const char *const stops[] = {
    "{at: candle_low}",
    "{at: lowest_low, bars: 8, buffer_ticks: 2}",
    "{at: swing_low, swing: 1, buffer_atr: 0.2}",
    "{at: atr, times: 0.7}",
    "{at: lower_of, of: [{at: candle_low}, {at: atr, times: 1}], buffer_ticks: 1}",
    "{at: leg_low}",
};
static const char *const exits[] = {
    "{targets: [{r: 1, share: 1}], time_stop: 4}",
    ("{targets: [{r: 0.5, share: 0.3}, {level: 1, share: 0.3}, {extension: 1.618, share: 0.2}], "
     "break_even_at_r: 0.5}"),
    "{trail: {swing_low: {swing: 1}}, time_stop: 25}",
    "{trail: {atr: {times: 1}}, targets: [{r: 3}], when: [{rsi_above: {length: 5, level: 75}}]}",
};
static const char *const same_bars[] = {"nearest", "worst", "best", "finer"};

static void check_any_row(const struct naive_row *row, bool has_shares)
{
    bool is_trade = strstr("stop target time trail break_even condition ended open", row->reason) !=
                    NULL;
    check(row->entered == is_trade, "a trade has an entry");
    if (!row->entered) {
        check(isnan(row->entry) && isnan(row->r), "no trade, no numbers");
        return;
    }
    check(row->entry > row->stop, "the stop lies below the entry");
    check(row->entry_bar > row->signal, "nothing is filled on bar s");
    check(row->mae_r <= 0.0 && row->mfe_r >= 0.0, "excursions");
    check(isnan(row->target) || row->target > row->entry, "the target lies above the entry");
    check(row->exited == (strcmp(row->reason, "open") != 0), "an exit, or open");
    if (row->exited) {
        double r = (row->exit - row->entry) / (row->entry - row->stop);
        check(fabs(row->r - r) < 1e-9, "R from the columns, without costs");
        check(row->exit_bar - row->entry_bar == row->bars_held, "bars");
        check(has_shares || row->mfe_r >= row->r - 1e-9, "no more than the best price");
        check(has_shares || row->mae_r <= row->r + 1e-9, "no less than the worst price");
    }
}

static void check_combination(const struct store *store, size_t entry, size_t stop, size_t exit,
                              size_t same_bar)
{
    char setup[900];
    char message[200] = "";
    struct naive_row *rows = NULL;
    size_t count = 0;
    (void)snprintf(setup, sizeof setup,
                   "side: long\ncandle: {shape: any}\nplace: [{lowest_low: {bars: 3}}]\nentry: "
                   "%s\nstop: %s\nexit: %s\nsame_bar: %s\noverlap: %s\n",
                   entries[entry], stops[stop], exits[exit], same_bars[same_bar],
                   same_bar % 2 == 0 ? "one" : "all");
    check(naive_trades(&store->market, setup, &rows, &count, message, sizeof message) == 0,
          message);
    for (size_t i = 0; i < count; i++) {
        check_any_row(&rows[i], exit == 1);
        check(i == 0 || rows[i - 1].signal < rows[i].signal ||
                  (rows[i - 1].signal == rows[i].signal && rows[i - 1].candle < rows[i].candle),
              "rows in order");
    }
    free(rows);
}

static void test_combinations(void)
{
    static struct store store;
    static struct store finer;
    store_walk(&finer, 31337, 440, "12h", DAY / 2);
    store_days_of(&finer, &store);
    for (size_t entry = 0; entry < sizeof entries / sizeof entries[0]; entry++) {
        for (size_t stop = 0; stop < sizeof stops / sizeof stops[0]; stop++) {
            if (strcmp(stops[stop], "{at: leg_low}") == 0 &&
                strstr(entries[entry], "retest") == NULL) {
                continue;
            }
            for (size_t exit = 0; exit < sizeof exits / sizeof exits[0]; exit++) {
                for (size_t same_bar = 0; same_bar < 4; same_bar++) {
                    check_combination(&store, entry, stop, exit, same_bar);
                }
            }
        }
    }
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
