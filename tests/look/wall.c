/* A wall of hard cases: case sheets of markets that are awkward to draw, for a
 * person to look at, one by one. `wall FOLDER` writes wall-01.png and on. */
#include "base/random.h"
#include "draw/output.h"
#include "figures/case_sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* How a market is made awkward. */
enum hard {
    CROWDED,
    TINY,
    NEGATIVE,
    ACROSS_ZERO,
    SHORT_HISTORY,
    GAPS,
    STILL,
    LARGE,
    HOURLY,
    STEEP
};

static const char *const setups[] = {
    /* Every rule that draws a line, four exits. */
    "setup: lines\nside: long\ncandle: {shape: any}\n"
    "place: [{downtrend: {bars: 10, fall_atr: 0}}, {falling_trend_line: {bars: 60}},\n"
    "  {at_support: {bars: 250, swing: 3, width_atr: 0.5, touches: 2}}]\n"
    "confirm: {at_least: 1, wait: 2, of: [{rsi_below: {length: 14, level: 30, within: 3}},\n"
    "  {bullish_divergence: {bars: 60}}]}\n"
    "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
    "stop: {at: candle_low, buffer_ticks: 1}\n"
    "exit: {targets: [{r: 0.5, share: 0.25}, {r: 1, share: 0.25}, {r: 1.5, share: 0.25},\n"
    "  {r: 2.5, share: 0.25}], time_stop: 40, break_even_at_r: 1}\n",
    "setup: short-market\nside: short\ncandle: {shape: any}\n"
    "entry: {on: next_open}\nstop: {at: atr, times: 2}\n"
    "exit: {trail: {atr: {times: 2}}, time_stop: 30}\n",
    "setup: neckline\nside: long\ncandle: {shape: any}\n"
    "entry: {on: swing_high_break, valid: 20}\nstop: {at: swing_low}\n"
    "exit: {targets: [{level: 0.618, share: 0.5}, {extension: 1.618, share: 0.5}],\n"
    "  trail: {swing_low: {swing: 3}}}\n",
    "setup: returns\nside: long\ncandle: {shape: any}\nplace: [{fall: {bars: 20, atr: 1}}]\n"
    "entry: {on: retest, of: retracement, level: 0.382, break_within: 20, retest_within: 20}\n"
    "stop: {at: candle_low}\nexit: {targets: [{r: 2}], time_stop: 40}\n",
    "setup: two-stops\nside: short\ncandle: {shape: any}\nplace: [{uptrend: {bars: 10}}]\n"
    "entry: {on: trend_line_break, valid: 10, late: take}\n"
    "stop: {at: higher_of, of: [{at: candle_high}, {at: swing_high, swing: 3}], buffer_atr: 0.25}\n"
    "exit: {targets: [{r: 1, share: 0.5}, {r: 3, share: 0.5}], break_even_at_r: 1,\n"
    "  when: [{rsi_below: {length: 14, level: 30}}]}\n",
    "setup: close\nside: long\ncandle: {shape: any}\n"
    "entry: {on: close_above_high, valid: 5, at: close, late: take}\n"
    "stop: {at: lowest_low, bars: 5}\n"
    "exit: {targets: [{r: 8, share: 0.5}, {r: 12, share: 0.5}], time_stop: 15}\n",
};

enum { HARD_COUNT = STEEP + 1, SETUP_COUNT = sizeof setups / sizeof setups[0] };

struct shape_of_market {
    double level, tick, move, shadow;
    size_t bars;
};

static struct shape_of_market shape(enum hard hard)
{
    switch (hard) {
    case CROWDED: return (struct shape_of_market){400, 0.01, 2, 2, 300};
    case TINY: return (struct shape_of_market){350, 0.0000001, 6, 6, 300};
    case NEGATIVE: return (struct shape_of_market){-4000, 0.01, 30, 30, 300};
    case ACROSS_ZERO: return (struct shape_of_market){10, 0.25, 8, 8, 300};
    case SHORT_HISTORY: return (struct shape_of_market){2000, 0.01, 20, 20, 8};
    case GAPS: return (struct shape_of_market){3000, 0.05, 20, 20, 300};
    case STILL: return (struct shape_of_market){1000, 0.5, 1, 0, 300};
    case LARGE: return (struct shape_of_market){52000, 100, 900, 700, 300};
    case HOURLY: return (struct shape_of_market){12000, 0.0001, 20, 20, 500};
    case STEEP: return (struct shape_of_market){9000, 0.01, 50, 80, 300};
    }
    return (struct shape_of_market){0};
}

static bool make_bars(struct bars *bars, enum hard hard, uint64_t seed, const struct tick *tick)
{
    struct shape_of_market market = shape(hard);
    struct random_stream stream;
    struct error error;
    double level = market.level;
    random_start(&stream, seed, (uint64_t)hard);
    bars_init(bars);
    bars->interval = (struct interval){hard == HOURLY ? INTERVAL_HOUR : INTERVAL_DAY, 1};
    for (size_t i = 0; i < market.bars; i++) {
        double gap = hard == GAPS && random_below(&stream, 6) == 0 ? 12 : 0.4;
        double open = level + floor(gap * market.move * random_normal(&stream));
        double close = open + floor(market.move * random_normal(&stream));
        if (hard == STEEP)
            close -= 25;
        if (random_below(&stream, hard == STILL ? 2 : 12) == 0)
            close = open;
        struct bar bar = {.time = (int64_t)(i + 17000) * (hard == HOURLY ? 3600 : 86400),
                          .volume = floor(5e5 * random_unit(&stream) * random_unit(&stream))};
        bar.open = tick_multiple(tick, open);
        bar.close = tick_multiple(tick, close);
        bar.high = tick_multiple(tick,
                                 fmax(open, close) + floor(market.shadow * random_unit(&stream)));
        bar.low = tick_multiple(tick,
                                fmin(open, close) - floor(market.shadow * random_unit(&stream)));
        level = close;
        if (bars_append(bars, &bar, &error) != ERROR_NONE)
            return false;
    }
    return true;
}

/* The bar whose trade has most to show: filled, with most steps. */
static struct signal busiest(const struct setup_view *view, const struct trade_terms *terms,
                             size_t count)
{
    size_t most = 0;
    struct signal best = {.candle = candle_of_bar(view, count - 1), .at = count - 1};
    for (size_t i = count > 90 ? 60 : 3; i + 1 < count; i++) {
        struct candle candle = candle_of_bar(view, i);
        struct signal signal = {.candle = candle, .at = candle.at, .state = SIGNAL_GIVEN};
        struct trade_path path;
        struct trade trade = trade_of_signal(view, terms, &signal, &path);
        size_t steps = trade_filled(trade.reason) ? 1 + path.count : 0;
        if (steps > most || i == 3) {
            most = steps;
            best = signal;
        }
    }
    return best;
}

static int draw(const char *path, enum hard hard, size_t setup_index, struct typesetter *typesetter,
                struct error *error)
{
    static const enum theme themes[] = {THEME_LIGHT, THEME_DARK, THEME_PRINT};
    struct setup setup;
    struct setup_view view;
    struct trade_terms terms = {.point_value = 1};
    struct bars bars;
    struct picture *picture = NULL;
    struct text svg;
    struct text png;
    text_init(&svg);
    text_init(&png);
    const char *text = setups[setup_index];
    if (!tick_from_number(&terms.tick, shape(hard).tick) ||
        !make_bars(&bars, hard, 40 + setup_index, &terms.tick))
        return error_memory(error);
    struct sheet *sheet = sheet_new(&bars, NULL);
    int code = sheet != NULL ? setup_read(&setup, "wall", text, strlen(text), error)
                             : error_memory(error);
    if (code == ERROR_NONE)
        code = setup_view_init(&view, &setup, sheet, NULL, error);
    if (code == ERROR_NONE) {
        struct case_request request = {.view = &view,
                                       .terms = &terms,
                                       .instrument = "saltpan-trust",
                                       .signal = busiest(&view, &terms, bars.count),
                                       .context = hard == CROWDED,
                                       .outcome = true,
                                       .number = 1};
        code = case_sheet_make(&picture, typesetter, &request, "wall", error);
    }
    if (code == ERROR_NONE)
        code = picture_write(picture, themes[((size_t)hard + setup_index) % 3], &svg, error);
    if (code == ERROR_NONE)
        code = output_png(&(struct output_figure){picture, &svg}, 1, &png, error);
    FILE *file = code == ERROR_NONE ? fopen(path, "wb") : NULL;
    if (code == ERROR_NONE &&
        (file == NULL || fwrite(png.bytes, 1, png.length, file) != png.length))
        code = error_set(error, ERROR_MACHINE, "%s: cannot write", path);
    if (file != NULL)
        fclose(file);
    picture_free(picture);
    text_free(&svg);
    text_free(&png);
    setup_free(&setup);
    sheet_free(sheet);
    bars_free(&bars);
    return code;
}

int main(int argc, char **argv)
{
    struct error error;
    struct typesetter *typesetter;
    if (argc != 2) {
        fprintf(stderr, "wall FOLDER\n");
        return ERROR_USAGE;
    }
    int code = typesetter_new(&typesetter, &error);
    for (size_t i = 0; i < HARD_COUNT * SETUP_COUNT && code == ERROR_NONE; i++) {
        char path[4096];
        snprintf(path, sizeof path, "%s/wall-%02zu.png", argv[1], i + 1);
        code = draw(path, (enum hard)(i / SETUP_COUNT), i % SETUP_COUNT, typesetter, &error);
    }
    if (code != ERROR_NONE) {
        fprintf(stderr, "wall: %s\n", error.text);
        return code;
    }
    typesetter_free(typesetter);
    return ERROR_NONE;
}
