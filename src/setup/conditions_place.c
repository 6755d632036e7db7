/* Conditions of place: falls, lows, swings, levels. */
#include "setup/condition_rows.h"

#include "structure/swings.h"
#include "structure/zones.h"

#include <math.h>

struct reading read_downtrend(const struct condition_view *view)
{
    size_t n = whole_of(view->values[0]);
    if (view->first < n)
        return undefined_reading;
    double slope = value_at(sheet_slope(view->sheet, n), view->first - 1);
    double atr = value_at(sheet_atr(view->sheet, 14), view->first - 1);
    double fallen = -slope * (double)(n - 1);
    return (struct reading){.name = "fall of the fitted line before the candle",
                            .unit = "ATR",
                            .comparison = COMPARE_AT_LEAST,
                            .value = fallen / atr,
                            .limit = view->values[1],
                            .parameter = 2,
                            .met = at_least(fallen, view->values[1] * atr, view->tolerance)};
}

static double lowest_of(const double *low, size_t first, size_t last)
{
    double lowest = low[first];
    for (size_t i = first + 1; i <= last; i++)
        lowest = low[i] < lowest ? low[i] : lowest;
    return lowest;
}

struct reading read_fall(const struct condition_view *view)
{
    size_t n = whole_of(view->values[0]);
    const struct bars *bars = bars_of(view);
    if (view->first < n)
        return undefined_reading;
    double high = value_at(sheet_highest(view->sheet, n), view->first - 1);
    double fallen = high - lowest_of(bars->low, view->first, view->at);
    double atr = value_at(sheet_atr(view->sheet, 14), view->first - 1);
    return (struct reading){.name = "fall from the highest high",
                            .unit = "ATR",
                            .comparison = COMPARE_AT_LEAST,
                            .value = fallen / atr,
                            .limit = view->values[1],
                            .parameter = 2,
                            .met = at_least(fallen, view->values[1] * atr, view->tolerance)};
}

struct reading read_lowest_low(const struct condition_view *view)
{
    size_t n = whole_of(view->values[0]);
    const struct bars *bars = bars_of(view);
    if (view->first < n)
        return undefined_reading;
    double own = lowest_of(bars->low, view->first, view->at);
    double before = value_at(sheet_lowest(view->sheet, n), view->first - 1);
    return (struct reading){.name = "low of the candle, against the lows before",
                            .unit = "",
                            .kind = READING_PRICE,
                            .comparison = COMPARE_AT_MOST,
                            .value = own,
                            .limit = before,
                            .met = at_most(own, before, 0)};
}

/* Whether the newest `count` swings fall strictly, newest last in the list. */
static bool falling_swings(const double *prices, const size_t *list, size_t known, size_t count)
{
    for (size_t i = known - count + 1; i < known; i++)
        if (!(prices[list[i]] < prices[list[i - 1]]))
            return false;
    return true;
}

struct reading read_lower_swings(const struct condition_view *view)
{
    size_t k = whole_of(view->values[0]);
    size_t count = whole_of(view->values[1]);
    const struct bars *bars = bars_of(view);
    const struct swings *swings = swings_of(view->sheet, k);
    if (view->first == 0 || swings == NULL)
        return undefined_reading;
    size_t highs = swings_known(swings->high, swings->high_count, k, view->first - 1);
    size_t lows = swings_known(swings->low, swings->low_count, k, view->first - 1);
    if (highs < count || lows < count)
        return undefined_reading;
    return fact_reading("the newest swing highs and lows fall",
                        falling_swings(bars->high, swings->high, highs, count) &&
                            falling_swings(bars->low, swings->low, lows, count));
}

struct reading read_falling_trend_line(const struct condition_view *view)
{
    struct trend_line line;
    if (view->first == 0)
        return undefined_reading;
    return fact_reading("a falling trend line stands before the candle",
                        falling_trend_line(view->sheet, whole_of(view->values[0]),
                                           whole_of(view->values[1]), view->first - 1, &line));
}

/* Distance of a price to a span, 0 within it. */
static double distance_to(double price, double low, double high)
{
    return price < low ? low - price : price > high ? price - high : 0;
}

/* The distance of the nearest low of the candle. */
static double nearest_low(const struct condition_view *view, double low, double high)
{
    const struct bars *bars = bars_of(view);
    double nearest = INFINITY;
    for (size_t i = view->first; i <= view->at; i++) {
        double distance = distance_to(bars->low[i], low, high);
        nearest = distance < nearest ? distance : nearest;
    }
    return nearest;
}

static struct reading near_level(const struct condition_view *view, const char *name,
                                 double distance, double width_atr, double atr)
{
    return (struct reading){.name = name,
                            .unit = "ATR",
                            .comparison = COMPARE_AT_MOST,
                            .value = distance / atr,
                            .limit = width_atr,
                            .met = at_most(distance, width_atr * atr, view->tolerance)};
}

struct reading read_at_support(const struct condition_view *view)
{
    static struct reading none = {.name = "distance of the low from support",
                                  .unit = "ATR",
                                  .comparison = COMPARE_AT_MOST,
                                  .value = NAN,
                                  .met = TRUTH_NO};
    struct zone zones[ZONE_LIMIT];
    const double *v = view->values;
    double close = bars_of(view)->close[view->at];
    size_t count = zones_at(view->sheet, whole_of(v[0]), whole_of(v[1]), v[2], whole_of(v[3]),
                            view->at, zones);
    if (count == SIZE_MAX)
        return undefined_reading;
    double atr = value_at(sheet_atr(view->sheet, 14), view->at);
    double nearest = INFINITY;
    for (size_t i = 0; i < count; i++) {
        double distance = nearest_low(view, zones[i].low, zones[i].high);
        if (close >= zones[i].low && distance < nearest)
            nearest = distance;
    }
    struct reading reading = none;
    reading.limit = v[2];
    return isinf(nearest) ? reading : near_level(view, none.name, nearest, v[2], atr);
}

/* The smallest distance of the candle's bars from a mark; 0 where one spans it. */
static double nearest_bar(const struct condition_view *view, const struct own_mark *mark)
{
    size_t begins = view->around->begins;
    const struct bars *bars = bars_of(view);
    double nearest = INFINITY;
    for (size_t i = view->first; i <= view->at; i++) {
        double price = mark->price + mark->slope * ((double)(begins + i) - mark->bar);
        if (view->sheet_is_mirror)
            price = -price;
        nearest = fmin(nearest, fmax(0, fmax(bars->low[i] - price, price - bars->high[i])));
    }
    return nearest;
}

struct reading read_at_own_level(const struct condition_view *view)
{
    const struct surroundings *around = view->around;
    double atr = value_at(sheet_atr(view->sheet, 14), view->at);
    int64_t begins = bars_of(view)->time[view->first];
    int64_t ends = bars_of(view)->time[view->at];
    double nearest = INFINITY;
    double nearest_seen = INFINITY; /* of those that were not dated back */
    if (isnan(atr))
        return undefined_reading;
    for (size_t i = 0; around != NULL && i < around->mark_count; i++) {
        const struct own_mark *mark = &around->marks[i];
        if (mark->made >= begins || (mark->withdrawn && ends > mark->until))
            continue;
        double distance = nearest_bar(view, mark);
        nearest = fmin(nearest, distance);
        if (!mark->dated_back)
            nearest_seen = fmin(nearest_seen, distance);
    }
    if (isinf(nearest))
        return untold_reading("no level of your own had been made by then");
    struct reading reading = near_level(view, "distance of the candle from a level of your own",
                                        nearest, view->values[0], atr);
    /* That there is none near is told by them alone where there is no other. */
    reading.dated_back = reading.met == TRUTH_YES ? at_most(nearest_seen, view->values[0] * atr,
                                                            view->tolerance) != TRUTH_YES
                                                  : isinf(nearest_seen);
    if (reading.dated_back)
        reading.name = "distance from a level dated back";
    return reading;
}
