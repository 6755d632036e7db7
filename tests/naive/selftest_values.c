/* Measures, shapes and conditions against values from outside. */
#include "selftest.h"

#include <math.h>
#include <string.h>

/* --- measures --------------------------------------------------------------------------------*/

/* Wilder 1978 (from memory), RSI chapter: closes from memory, RSI computed
 * exactly. */
void test_rsi(void)
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
void test_fixture(void)
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

void test_shapes(void)
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

void test_more_shapes(void)
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

void test_conditions(void)
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
void test_place(void)
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
