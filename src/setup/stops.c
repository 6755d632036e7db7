#include "setup/stops.h"

#include "structure/swings.h"

#include <math.h>
#include <string.h>

static double candle_low(const struct stop_view *view)
{
    return view->candle_low;
}

static double lowest_low(const struct stop_view *view)
{
    const double *lowest = sheet_lowest(view->sheet, (size_t)view->values[0]);
    return lowest != NULL ? lowest[view->signal] : NAN;
}

static double swing_low(const struct stop_view *view)
{
    size_t swing = newest_swing_low(view->sheet, (size_t)view->values[0], view->signal);
    if (swing == SIZE_MAX)
        return NAN;
    double low = sheet_bars(view->sheet)->low[swing];
    return low < view->candle_low ? low : view->candle_low;
}

static double retracement(const struct stop_view *view)
{
    struct fall fall;
    return fall_before(view->sheet, (size_t)view->values[1], view->candle, &fall)
               ? fall_level(&fall, view->values[0])
               : NAN;
}

static double leg_low(const struct stop_view *view)
{
    const struct bars *bars = sheet_bars(view->sheet);
    double low = bars->low[view->break_bar + 1];
    for (size_t i = view->break_bar + 2; i <= view->retest_bar; i++)
        low = bars->low[i] < low ? bars->low[i] : low;
    return low;
}

static double atr_stop(const struct stop_view *view)
{
    const double *atr = sheet_atr(view->sheet, 14);
    return atr != NULL ? view->reference - view->values[0] * atr[view->atr_bar] : NAN;
}

static const char common[] = "common practice, no source";

/* One row a line or two, like a table. */
/* clang-format off */
#define WHOLE(title, value, fewest, text)                                                          \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = fewest, .most = 2000,      \
     .unit = "bars", .help = text}

/* The help, and what of it is said of a stop that is chosen. */
#define ALSO(text, more) text more, text

const struct stop stops[] = {
    {"candle_low", "candle_high", STOP_AT_SIGNAL, {{0}}, "beyond the candle", NULL, common,
     candle_low},
    {"lowest_low", "highest_high", STOP_AT_SIGNAL,
     {WHOLE("bars", 10, 1, "bars up to the signal, that bar included")},
     "beyond the extreme of the last bars", NULL, common, lowest_low},
    {"swing_low", "swing_high", STOP_AT_SIGNAL,
     {WHOLE("swing", 3, 1, "bars on each side that make a swing")},
     "beyond the newest swing known at the signal, or the candle if that is farther", NULL,
     common, swing_low},
    {"retracement", NULL, STOP_AT_FIRING,
     {{.name = "level", .kind = PARAMETER_RATIO, .missing = 0.236, .most = 10, .unit = "of the fall",
       .help = "retracement level"},
      WHOLE("bars", 60, 2, "the fall's bars before the candle")},
     "beyond a retracement of the fall before the candle", NULL, common, retracement},
    {"leg_low", "leg_high", STOP_AT_RETEST, {{0}},
     ALSO("beyond the extreme of the return", "; retest only"), common, leg_low},
    {"atr", NULL, STOP_AT_ORDER,
     {{.name = "times", .missing = 2, .most = 1000, .unit = "ATR", .help = "distance from the entry"}},
     ALSO("so many ATR from the entry", "; a buffer counts only in lower_of (higher_of)"), common,
     atr_stop},
    {.name = NULL},
};
/* clang-format on */

bool stop_takes_buffer(const struct stop *stop)
{
    return stop->stage != STOP_AT_ORDER;
}

bool stop_is_of_fall(const struct stop *stop)
{
    return stop->price == retracement;
}

bool stop_is_at_swing(const struct stop *stop)
{
    return stop->price == swing_low;
}

const struct stop *stop_find(const char *name, bool *mirrored)
{
    for (const struct stop *row = stops; row->name != NULL; row++) {
        *mirrored = row->mirror_name != NULL && strcmp(row->mirror_name, name) == 0;
        if (*mirrored || strcmp(row->name, name) == 0)
            return row;
    }
    return NULL;
}
