#include "setup/entries.h"

#include "market/scale.h"

#include <math.h>
#include <string.h>

/* Order price: the candle's high and the buffer, up to the tick. */
static double order_price(const struct entry_view *view, size_t j)
{
    (void)j;
    return bars_round_up(sheet_bars(view->sheet), view->signal, view->tick,
                         view->candle_high + view->buffer);
}

/* A share of the candle's range below its close, down to the tick. */
static double limit_price(const struct entry_view *view, size_t j)
{
    (void)j;
    const struct bars *bars = sheet_bars(view->sheet);
    double back = view->values[0] * (view->candle_high - view->candle_low);
    return bars_round_down(bars, view->signal, view->tick, bars->close[view->candle] - back);
}

static double close_level(const struct entry_view *view, size_t j)
{
    return view->buffer == 0 ? view->candle_high : order_price(view, j);
}

static bool fires_bullish(const struct entry_view *view, size_t j)
{
    const struct bars *bars = sheet_bars(view->sheet);
    return bars->close[j] > bars->open[j] && bars->close[j] > bars->close[view->candle];
}

static bool prepare_swing(struct entry_view *view, size_t strength)
{
    size_t swing = newest_swing_high(view->sheet, strength, view->signal);
    if (swing == SIZE_MAX)
        return false;
    view->level = sheet_bars(view->sheet)->high[swing];
    return true;
}

static bool prepare_swing_high_break(struct entry_view *view)
{
    return prepare_swing(view, (size_t)view->values[0]);
}

static double standing_level(const struct entry_view *view, size_t j)
{
    (void)j;
    return view->level;
}

static bool prepare_trend_line_break(struct entry_view *view)
{
    return falling_trend_line(view->sheet, (size_t)view->values[0], (size_t)view->values[1],
                              view->signal, &view->line);
}

static double line_level(const struct entry_view *view, size_t j)
{
    return trend_line_price(&view->line, j);
}

static bool prepare_retest(struct entry_view *view)
{
    const double *v = view->values;
    switch (view->retest_of) {
    case RETEST_TREND_LINE:
        return falling_trend_line(view->sheet, (size_t)v[RETEST_BARS],
                                  (size_t)v[RETEST_SWING_STRENGTH], view->signal, &view->line);
    case RETEST_SWING: return prepare_swing(view, (size_t)v[RETEST_SWING_STRENGTH]);
    case RETEST_RETRACEMENT: break;
    }
    if (!fall_before(view->sheet, (size_t)v[RETEST_BARS], view->candle, &view->fall))
        return false;
    view->level = fall_level(&view->fall, v[RETEST_LEVEL]);
    return true;
}

static double retest_level(const struct entry_view *view, size_t j)
{
    return view->retest_of == RETEST_TREND_LINE ? line_level(view, j) : view->level;
}

static const char common[] = "common practice, no source";

/* One row a line or two, like a table. */
/* clang-format off */
#define WHOLE(title, value, fewest, text)                                                          \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = fewest, .most = 2000,      \
     .unit = "bars", .help = text}
#define SWING WHOLE("swing", 3, 1, "bars on each side that make a swing")

/* The help, and what stands in it before the number of bars. */
#define VALID(text) text " `valid` bars", text

const struct entry entries[] = {
    {"next_open", NULL, ENTRY_MARKET, {{0}}, "at the open of the bar after the signal", NULL,
     common, NULL, NULL, NULL},
    {"break_of_high", "break_of_low", ENTRY_STOP_ORDER, {{0}},
     VALID("a stop order beyond the candle, working for"), common, NULL, order_price, NULL},
    {"limit_below_close", "limit_above_close", ENTRY_LIMIT,
     {{.name = "share", .missing = 0.5, .most = 10, .unit = "of the candle's range",
       .help = "how far behind the candle's close"}},
     VALID("a limit order a share of the candle's range behind its close, working for"),
     common, NULL, limit_price, NULL},
    {"close_above_high", "close_below_low", ENTRY_CLOSE, {{0}},
     VALID("the first close beyond the candle within"), common, NULL, close_level, NULL},
    {"bullish_candle", "bearish_candle", ENTRY_CLOSE, {{0}},
     "the first candle of the trade's direction that closes beyond the candle's close", NULL,
     common, NULL, NULL, fires_bullish},
    {"swing_high_break", "swing_low_break", ENTRY_CLOSE, {SWING},
     "the first close beyond the newest swing known at the signal: the neckline", NULL, common,
     prepare_swing_high_break, standing_level, NULL},
    {"trend_line_break", NULL, ENTRY_CLOSE,
     {WHOLE("bars", 60, 2, "how far back both swings may lie"), SWING},
     "the first close beyond the trend line known at the signal", NULL, common,
     prepare_trend_line_break, line_level, NULL},
    {"retest", NULL, ENTRY_RETEST,
     {{.name = "level", .kind = PARAMETER_RATIO, .missing = 0.382, .most = 10, .unit = "of the fall",
       .help = "retracement level, where the retest is of one"},
      WHOLE("bars", 60, 2, "the fall's bars before the candle, or how far back a line's swings lie"),
      SWING,
      {.name = "tolerance_atr", .missing = 0.25, .most = 100, .unit = "ATR",
       .help = "how near the return must come to the level"},
      WHOLE("break_within", 10, 1, "bars for the close beyond the level"),
      WHOLE("retest_within", 10, 1, "bars after it for the return")},
     "a close beyond a level, a return to it, and a close that holds it", NULL, common,
     prepare_retest, retest_level, NULL},
    {.name = NULL},
};
/* clang-format on */

const struct entry *entry_find(const char *name, bool *mirrored)
{
    for (const struct entry *row = entries; row->name != NULL; row++) {
        *mirrored = row->mirror_name != NULL && strcmp(row->mirror_name, name) == 0;
        if (*mirrored || strcmp(row->name, name) == 0)
            return row;
    }
    return NULL;
}

bool entry_breaks(const struct entry *entry, enum retest_of what)
{
    return (what == RETEST_TREND_LINE && entry->prepare == prepare_trend_line_break) ||
           (what == RETEST_SWING && entry->prepare == prepare_swing_high_break);
}

bool entry_stands(const struct entry *entry, enum retest_of what)
{
    return entry->level == close_level || entry->level == standing_level ||
           (entry->level == retest_level && what != RETEST_TREND_LINE);
}

bool entry_rests(const struct entry *entry)
{
    return entry->kind == ENTRY_STOP_ORDER || entry->kind == ENTRY_LIMIT;
}

bool entry_takes_buffer(const struct entry *entry)
{
    return entry->level == order_price || entry->level == close_level;
}
