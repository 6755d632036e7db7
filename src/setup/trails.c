#include "setup/trails.h"

#include "structure/swings.h"

#include <math.h>

static double under_swing(const struct trail_view *view)
{
    size_t swing = newest_swing_low(view->sheet, (size_t)view->value, view->at);
    return swing != SIZE_MAX ? sheet_bars(view->sheet)->low[swing] : NAN;
}

static double under_best_close(const struct trail_view *view)
{
    const double *atr = sheet_atr(view->sheet, 14);
    return atr != NULL ? view->highest_close - view->value * atr[view->at] : NAN;
}

static double under_lowest_low(const struct trail_view *view)
{
    const double *lowest = sheet_lowest(view->sheet, (size_t)view->value);
    return lowest != NULL ? lowest[view->at] : NAN;
}

static double by_average(const struct trail_view *view)
{
    const double *average = sheet_mean(view->sheet, (size_t)view->value);
    return average != NULL ? average[view->at] : NAN;
}

static const char common[] = "common practice, no source";

/* One row a line or two, like a table. */
/* clang-format off */
#define WHOLE(title, value, text)                                                                  \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = 1, .most = 2000,           \
     .unit = "bars", .help = text}

const struct trail trails[] = {
    {"swing_low", "swing_high", {WHOLE("swing", 3, "bars on each side that make a swing")},
     "under the newest swing", common, under_swing},
    {"atr", NULL,
     {{.name = "times", .missing = 3, .most = 1000, .unit = "ATR",
       .help = "distance from the best close since the entry"}},
     "so many ATR from the best close since the entry", common, under_best_close},
    {"lowest_low", "highest_high",
     {WHOLE("bars", 10, "bars up to the close, that bar included")},
     "under the extreme of the last bars", common, under_lowest_low},
    {"average", NULL, {WHOLE("bars", 20, "closes in the average, the last one included")},
     "at the average of the last closes", common, by_average},
    {.name = NULL},
};
/* clang-format on */

bool trail_follows_swings(const struct trail *trail)
{
    return trail->price == under_swing;
}
