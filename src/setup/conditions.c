#include "setup/conditions.h"

#include "base/calendar.h"
#include "candles/anatomy.h"
#include "market/zone.h"
#include "structure/swings.h"
#include "structure/zones.h"

#include <math.h>
#include <string.h>

static const struct reading undefined = {
    .name = "not enough bars yet", .unit = "", .value = NAN, .limit = NAN, .met = TRUTH_UNDEFINED};

static size_t whole(double value)
{
    return (size_t)value;
}

static const struct bars *bars_of(const struct condition_view *view)
{
    return sheet_bars(view->sheet);
}

/* A column's value at a bar, NaN where there is none. */
static double value_at(const double *column, size_t at)
{
    return column != NULL ? column[at] : NAN;
}

static struct reading fact(const char *name, bool holds)
{
    return (struct reading){.name = name,
                            .unit = "",
                            .comparison = COMPARE_AT_LEAST,
                            .value = NAN,
                            .limit = NAN,
                            .met = holds ? TRUTH_YES : TRUTH_NO};
}

/* --- place ---------------------------------------------------------------- */

static struct reading read_downtrend(const struct condition_view *view)
{
    size_t n = whole(view->values[0]);
    if (view->first < n)
        return undefined;
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

static struct reading read_fall(const struct condition_view *view)
{
    size_t n = whole(view->values[0]);
    const struct bars *bars = bars_of(view);
    if (view->first < n)
        return undefined;
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

static struct reading read_lowest_low(const struct condition_view *view)
{
    size_t n = whole(view->values[0]);
    const struct bars *bars = bars_of(view);
    if (view->first < n)
        return undefined;
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

static struct reading read_lower_swings(const struct condition_view *view)
{
    size_t k = whole(view->values[0]);
    size_t count = whole(view->values[1]);
    const struct bars *bars = bars_of(view);
    const struct swings *swings = swings_of(view->sheet, k);
    if (view->first == 0 || swings == NULL)
        return undefined;
    size_t highs = swings_known(swings->high, swings->high_count, k, view->first - 1);
    size_t lows = swings_known(swings->low, swings->low_count, k, view->first - 1);
    if (highs < count || lows < count)
        return undefined;
    return fact("the newest swing highs and lows fall",
                falling_swings(bars->high, swings->high, highs, count) &&
                    falling_swings(bars->low, swings->low, lows, count));
}

static struct reading read_falling_trend_line(const struct condition_view *view)
{
    struct trend_line line;
    if (view->first == 0)
        return undefined;
    return fact("a falling trend line stands before the candle",
                falling_trend_line(view->sheet, whole(view->values[0]), whole(view->values[1]),
                                   view->first - 1, &line));
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

static struct reading read_at_support(const struct condition_view *view)
{
    static struct reading none = {.name = "distance of the low from support",
                                  .unit = "ATR",
                                  .comparison = COMPARE_AT_MOST,
                                  .value = NAN,
                                  .met = TRUTH_NO};
    struct zone zones[ZONE_LIMIT];
    const double *v = view->values;
    double close = bars_of(view)->close[view->at];
    size_t count = zones_at(view->sheet, whole(v[0]), whole(v[1]), v[2], whole(v[3]), view->at, zones);
    if (count == SIZE_MAX)
        return undefined;
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

/* The smallest distance of the candle's bars from a price; 0 where one spans it. */
static double nearest_bar(const struct condition_view *view, double price)
{
    const struct bars *bars = bars_of(view);
    double nearest = INFINITY;
    for (size_t i = view->first; i <= view->at; i++)
        nearest = fmin(nearest, fmax(0, fmax(bars->low[i] - price, price - bars->high[i])));
    return nearest;
}

static struct reading read_at_own_mark(const struct condition_view *view)
{
    const struct surroundings *around = view->around;
    double atr = value_at(sheet_atr(view->sheet, 14), view->at);
    int64_t now = bars_of(view)->time[view->at];
    double nearest = INFINITY;
    if (isnan(atr))
        return undefined;
    for (size_t i = 0; around != NULL && i < around->mark_count; i++) {
        if (around->marks[i].known_from > now)
            continue;
        double price = view->sheet_is_mirror ? -around->marks[i].price : around->marks[i].price;
        nearest = fmin(nearest, nearest_bar(view, price));
    }
    struct reading reading = near_level(view, "distance of the candle from a level of your own",
                                        nearest, view->values[0], atr);
    if (isinf(nearest))
        reading.value = NAN;
    return reading;
}

/* --- momentum ------------------------------------------------------------- */

/* A measure against a fixed level, compared as they are. */
static struct reading level_reading(const char *name, enum reading_kind kind,
                                    enum comparison comparison, double value, double limit)
{
    return (struct reading){.name = name,
                            .unit = "",
                            .kind = kind,
                            .comparison = comparison,
                            .value = value,
                            .limit = limit,
                            .met = comparison == COMPARE_ABOVE ? above(value, limit, 0)
                                                               : below(value, limit, 0)};
}

/* The same, saying which of the row's parameters the limit is, from 1. */
static struct reading with_parameter(struct reading reading, unsigned char parameter)
{
    reading.parameter = parameter;
    return reading;
}

static struct reading read_rsi_below(const struct condition_view *view)
{
    double rsi = value_at(sheet_rsi(view->sheet, whole(view->values[0])), view->at);
    return with_parameter(level_reading("RSI", READING_FROM_HUNDRED, COMPARE_BELOW, rsi, view->values[1]), 2);
}

/* One column crossing above another: at or below it one bar ago, above now.
 * The reading tells the part that fails first. */
static struct reading cross_up(const struct condition_view *view, const double *line,
                               const double *other, enum reading_kind kind, const char *now,
                               const char *before)
{
    if (view->at == 0 || line == NULL || other == NULL)
        return undefined;
    struct reading reading =
        level_reading(now, kind, COMPARE_ABOVE, line[view->at], other[view->at]);
    double line_before = line[view->at - 1];
    double other_before = other[view->at - 1];
    enum truth was_below = at_most(line_before, other_before, 0);
    if (reading.met == TRUTH_YES && was_below != TRUTH_YES) {
        reading.name = before;
        reading.comparison = COMPARE_AT_MOST;
        reading.value = line_before;
        reading.limit = other_before;
    }
    reading.met = truth_and(reading.met, was_below);
    if (isnan(line_before) || isnan(other_before))
        reading.met = TRUTH_UNDEFINED;
    return reading;
}

static struct reading read_rsi_crosses_above_average(const struct condition_view *view)
{
    const double *v = view->values;
    const double *rsi = sheet_rsi(view->sheet, whole(v[0]));
    const double *average = sheet_column(view->sheet, MEASURE_RSI_AVERAGE, v[0], v[1], 0);
    struct reading reading = cross_up(view, rsi, average, READING_FROM_HUNDRED,
                                      "RSI, against its average",
                                      "RSI one bar ago, against its average");
    if (isnan(v[2]) || reading.met != TRUTH_YES)
        return reading;
    struct reading from = level_reading("RSI one bar ago", READING_FROM_HUNDRED, COMPARE_BELOW,
                                        rsi[view->at - 1], v[2]);
    return from.met == TRUTH_YES ? reading : from;
}

static struct reading read_stochastic_below(const struct condition_view *view)
{
    const double *v = view->values;
    double value = value_at(sheet_column(view->sheet, MEASURE_STOCHASTIC, v[0], v[1], v[2]), view->at);
    return with_parameter(level_reading("stochastic", READING_FROM_HUNDRED, COMPARE_BELOW, value, v[3]), 4);
}

/* A close against a computed price. */
static struct reading close_against(const struct condition_view *view, const char *name,
                                    enum comparison comparison, double limit)
{
    double close = bars_of(view)->close[view->at];
    return (struct reading){.name = name,
                            .unit = "",
                            .kind = READING_PRICE,
                            .comparison = comparison,
                            .value = close,
                            .limit = limit,
                            .met = comparison == COMPARE_ABOVE
                                       ? above(close, limit, view->tolerance)
                                       : below(close, limit, view->tolerance)};
}

static struct reading read_below_lower_band(const struct condition_view *view)
{
    const double *v = view->values;
    double band = value_at(sheet_column(view->sheet, MEASURE_LOWER_BAND, v[0], v[1], 0), view->at);
    return close_against(view, "close, against the lower band", COMPARE_BELOW, band);
}

static struct reading read_macd_turns_up(const struct condition_view *view)
{
    const double *v = view->values;
    const double *histogram = sheet_column(view->sheet, MEASURE_MACD_HISTOGRAM, v[0], v[1], v[2]);
    if (view->at == 0)
        return undefined;
    return level_reading("MACD histogram, against one bar ago", READING_PRICE, COMPARE_ABOVE,
                         value_at(histogram, view->at), value_at(histogram, view->at - 1));
}

static struct reading read_macd_crosses_signal_up(const struct condition_view *view)
{
    const double *v = view->values;
    const double *macd = sheet_column(view->sheet, MEASURE_MACD, v[0], v[1], 0);
    const double *signal = sheet_column(view->sheet, MEASURE_MACD_SIGNAL, v[0], v[1], v[2]);
    return cross_up(view, macd, signal, READING_PRICE, "MACD, against its signal",
                    "MACD one bar ago, against its signal");
}

static struct reading read_macd_above_zero(const struct condition_view *view)
{
    const double *v = view->values;
    double macd = value_at(sheet_column(view->sheet, MEASURE_MACD, v[0], v[1], 0), view->at);
    return level_reading("MACD", READING_PRICE, COMPARE_ABOVE, macd, 0);
}

static struct reading read_bullish_divergence(const struct condition_view *view)
{
    const double *v = view->values;
    const double *low = bars_of(view)->low;
    const double *rsi = sheet_rsi(view->sheet, whole(v[2]));
    size_t older = 0;
    size_t newer = 0;
    if (rsi == NULL ||
        !newest_two_lows(view->sheet, whole(v[0]), whole(v[1]), view->at, &older, &newer) ||
        isnan(rsi[older]))
        return undefined;
    if (!(low[newer] < low[older]))
        return level_reading("newer swing low, against the older", READING_PRICE, COMPARE_BELOW,
                             low[newer], low[older]);
    return level_reading("RSI at the newer swing low, against the older", READING_FROM_HUNDRED,
                         COMPARE_ABOVE, rsi[newer], rsi[older]);
}

static struct reading read_adx_below(const struct condition_view *view)
{
    double adx = value_at(sheet_column(view->sheet, MEASURE_ADX, view->values[0], 0, 0), view->at);
    return with_parameter(level_reading("ADX", READING_PLAIN, COMPARE_BELOW, adx, view->values[1]), 2);
}

/* --- means and volume ------------------------------------------------------ */

static struct reading read_close_above_mean(const struct condition_view *view)
{
    double mean = value_at(sheet_mean(view->sheet, whole(view->values[0])), view->at);
    return close_against(view, "close, against its mean", COMPARE_ABOVE, mean);
}

static struct reading read_mean_rising(const struct condition_view *view)
{
    const double *mean = sheet_mean(view->sheet, whole(view->values[0]));
    size_t over = whole(view->values[1]);
    if (view->at < over)
        return undefined;
    struct reading reading =
        level_reading("mean of the close, against some bars ago", READING_PRICE, COMPARE_ABOVE,
                      value_at(mean, view->at), value_at(mean, view->at - over));
    reading.met = above(reading.value, reading.limit, view->tolerance);
    return reading;
}

static struct reading read_volume_above_mean(const struct condition_view *view)
{
    double mean = value_at(sheet_column(view->sheet, MEASURE_MEAN_VOLUME, view->values[0], 0, 0), view->at);
    double volume = bars_of(view)->volume[view->at];
    return (struct reading){.name = "volume",
                            .unit = "means",
                            .comparison = COMPARE_ABOVE,
                            .value = volume / mean,
                            .limit = view->values[1],
                            .parameter = 2,
                            .met = above(volume, view->values[1] * mean, 0)};
}

/* --- calendar -------------------------------------------------------------- */

static struct reading read_weekday(const struct condition_view *view)
{
    int weekday = weekday_of_day(day_of_time(bars_of(view)->time[view->at]));
    unsigned days = (unsigned)view->values[0];
    return fact("the day of the week is one of those named", (days >> weekday & 1) != 0);
}

static struct reading read_time_of_day(const struct condition_view *view)
{
    const char *zone = view->around != NULL ? view->around->zone : NULL;
    int64_t local = 0;
    if (!time_to_local(bars_of(view)->time[view->at], zone, &local))
        return undefined;
    double minute = (double)((local - day_of_time(local) * SECONDS_PER_DAY) / 60);
    double from = view->values[0];
    double to = view->values[1];
    bool within = from <= to ? minute >= from && minute < to : minute >= from || minute < to;
    return fact("the bar starts within the hours named", within);
}

static struct reading read_no_event(const struct condition_view *view)
{
    const struct surroundings *around = view->around;
    int64_t now = bars_of(view)->time[view->at];
    double before = view->values[0] * SECONDS_PER_DAY;
    double after = view->values[1] * SECONDS_PER_DAY;
    bool dated = interval_is_dated(bars_of(view)->interval);
    for (size_t i = 0; around != NULL && i < around->event_count; i++) {
        const struct setup_event *event = &around->events[i];
        int64_t time = dated ? day_of_time(event->time) * SECONDS_PER_DAY : event->time;
        double ahead = (double)(time - now);
        if (strcmp(event->kind, view->word) == 0 && ahead <= before && ahead >= -after)
            return fact("no such event is near", false);
    }
    return fact("no such event is near", true);
}

/* --- the table ------------------------------------------------------------- */

#define WHOLE(title, value, fewest, in, text)                                                      \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = fewest, .most = 2000,      \
     .unit = in, .help = text}
#define NUMBER(title, value, top, in, text)                                                        \
    {.name = title, .missing = value, .most = top, .unit = in, .help = text}
#define LEVEL(title, mirror_title, value, text)                                                    \
    {.name = title, .mirror_name = mirror_title, .mirror = MIRROR_FROM_HUNDRED, .missing = value,  \
     .most = 100, .unit = "", .help = text}
#define BARS(value, fewest, text) WHOLE("bars", value, fewest, "bars", text)
#define SWING WHOLE("swing", 3, 1, "bars", "bars on each side that make a swing")
#define RSI_LENGTH WHOLE("length", 14, 1, "bars", "length of the RSI")
#define MACD_TERMS                                                                                 \
    WHOLE("fast", 12, 1, "bars", "the shorter exponential mean"),                                  \
        WHOLE("slow", 26, 1, "bars", "the longer exponential mean")
#define MACD_SIGNAL WHOLE("signal", 9, 1, "bars", "length of the signal")

static const char common[] = "common practice, no source";
static const char ours[] = "ours: a definition of what is otherwise done by eye";

const struct condition conditions[] = {
    {"downtrend", "uptrend",
     {BARS(10, 2, "closes in the fitted line"),
      {.name = "fall_atr", .mirror_name = "rise_atr", .missing = 1, .most = 1000, .unit = "ATR",
       .help = "how far the line falls (rises) over these bars, least"}},
     "the closes before the candle fell, by a fitted line",
     "the closes before the candle rose, by a fitted line", ours, read_downtrend, &measures[MEASURE_SLOPE]},
    {"fall", "rise",
     {BARS(10, 1, "bars before the candle"),
      NUMBER("atr", 3, 1000, "ATR", "from the extreme before to the candle's, least")},
     "from the highest high before to the candle's low it is far enough",
     "from the lowest low before to the candle's high it is far enough", ours, read_fall, &measures[MEASURE_HIGHEST]},
    {"lowest_low", "highest_high", {BARS(10, 1, "bars before the candle")},
     "the candle's low is at or below every low of the bars before",
     "the candle's high is at or above every high of the bars before", common, read_lowest_low, &measures[MEASURE_LOWEST]},
    {"lower_swings", "higher_swings",
     {SWING, WHOLE("count", 2, 2, "swings", "newest swing highs, and lows, that fall (rise)")},
     "the newest swing highs and swing lows fall", "the newest swing highs and swing lows rise",
     common, read_lower_swings, NULL},
    {"falling_trend_line", "rising_trend_line",
     {BARS(60, 2, "how far back both swings may lie"), SWING},
     "a falling trend line through two swing highs stands unbroken before the candle",
     "a rising trend line through two swing lows stands unbroken before the candle", common,
     read_falling_trend_line, NULL},
    {"at_support", "at_resistance",
     {BARS(250, 2, "how far back swings count"), SWING,
      NUMBER("width_atr", 0.5, 100, "ATR", "width of a zone, and nearness to it"),
      WHOLE("touches", 2, 1, "swings", "swings in a zone, least")},
     "a low of the candle is at a zone where earlier swings cluster, and the close holds it",
     "a high of the candle is at a zone where earlier swings cluster, and the close holds it", ours,
     read_at_support, NULL},
    {"at_own_mark", NULL,
     {NUMBER("width_atr", 0.5, 100, "ATR", "nearness to the level")},
     "the candle is near a level that you marked before it", NULL, ours, read_at_own_mark, NULL},
    {"rsi_below", "rsi_above", {RSI_LENGTH, LEVEL("level", NULL, 30, "RSI beyond this")},
     "RSI is below the level", "RSI is above the level", "Wilder 1978", read_rsi_below, &measures[MEASURE_RSI]},
    {"rsi_crosses_above_average", "rsi_crosses_below_average",
     {RSI_LENGTH, WHOLE("average", 9, 1, "bars", "values in the RSI's mean"),
      LEVEL("from_below", "from_above", NAN, "RSI one bar ago beyond this; off unless given")},
     "RSI was at or below its average one bar ago and is above it",
     "RSI was at or above its average one bar ago and is below it", common,
     read_rsi_crosses_above_average, &measures[MEASURE_RSI_AVERAGE]},
    {"stochastic_below", "stochastic_above",
     {WHOLE("length", 14, 1, "bars", "bars of the span"),
      WHOLE("smooth", 3, 1, "bars", "values in the first mean"),
      WHOLE("average", 3, 1, "bars", "values in the last mean"),
      LEVEL("level", NULL, 20, "the value after the last mean beyond this")},
     "the stochastic is below the level", "the stochastic is above the level", "Lane 1984",
     read_stochastic_below, &measures[MEASURE_STOCHASTIC]},
    {"below_lower_band", "above_upper_band",
     {BARS(20, 1, "values in the mean"),
      NUMBER("width", 2, 100, "deviations", "standard deviations from the mean")},
     "the close is below the lower band", "the close is above the upper band", "Bollinger 2001",
     read_below_lower_band, &measures[MEASURE_LOWER_BAND]},
    {"macd_turns_up", "macd_turns_down", {MACD_TERMS, MACD_SIGNAL},
     "the MACD histogram is higher than one bar ago", "the MACD histogram is lower than one bar ago",
     "Appel 2005", read_macd_turns_up, &measures[MEASURE_MACD_HISTOGRAM]},
    {"macd_crosses_signal_up", "macd_crosses_signal_down", {MACD_TERMS, MACD_SIGNAL},
     "MACD was at or below its signal one bar ago and is above it",
     "MACD was at or above its signal one bar ago and is below it", "Appel 2005",
     read_macd_crosses_signal_up, &measures[MEASURE_MACD_SIGNAL]},
    {"macd_above_zero", "macd_below_zero", {MACD_TERMS}, "MACD is above zero",
     "MACD is below zero", "Appel 2005", read_macd_above_zero, &measures[MEASURE_MACD]},
    {"bullish_divergence", "bearish_divergence",
     {BARS(60, 2, "how far back the swings may lie"), SWING, RSI_LENGTH},
     "of the newest two swing lows the newer is lower in price and higher in RSI",
     "of the newest two swing highs the newer is higher in price and lower in RSI", common,
     read_bullish_divergence, NULL},
    {"adx_below", NULL,
     {WHOLE("length", 14, 1, "bars", "length of Wilder's means"),
      NUMBER("level", 25, 100, "", "ADX below this")},
     "ADX is below the level: no strong trend either way", NULL, "Wilder 1978", read_adx_below, &measures[MEASURE_ADX]},
    {"close_above_mean", "close_below_mean", {BARS(50, 1, "closes in the mean")},
     "the close is above its mean", "the close is below its mean", common, read_close_above_mean, &measures[MEASURE_MEAN]},
    {"mean_rising", "mean_falling",
     {BARS(50, 1, "closes in the mean"), WHOLE("over", 5, 1, "bars", "compared with this long ago")},
     "the mean of the close is above itself some bars ago",
     "the mean of the close is below itself some bars ago", common, read_mean_rising, &measures[MEASURE_MEAN]},
    {"volume_above_mean", NULL,
     {BARS(20, 1, "bars in the mean, this one included"),
      NUMBER("times", 1.5, 1000, "means", "volume above so many means")},
     "volume is above its mean times a number", NULL, common, read_volume_above_mean, &measures[MEASURE_MEAN_VOLUME]},
    {"weekday", NULL,
     {{.name = "of", .kind = PARAMETER_WEEKDAYS, .missing = 31, .most = 127, .unit = "",
       .help = "days of the week: [mon, tue, wed, thu, fri, sat, sun]"}},
     "the bar's date falls on one of these days", NULL, ours, read_weekday, NULL},
    {"time_of_day", NULL,
     {{.name = "from", .kind = PARAMETER_CLOCK, .missing = 0, .most = 1439, .unit = "hh:mm",
       .help = "first start of a bar, in the session's zone"},
      {.name = "to", .kind = PARAMETER_CLOCK, .missing = 0, .most = 1439, .unit = "hh:mm",
       .help = "a bar starting here or later is out; before `from`: over midnight"}},
     "the bar starts within these hours", NULL, ours, read_time_of_day, NULL},
    {"no_event", NULL,
     {NUMBER("before", 1, 3650, "days", "this long before an event is too near"),
      NUMBER("after", 0, 3650, "days", "this long after an event is too near"),
      {.name = "kind", .kind = PARAMETER_WORD, .unit = "", .help = "kind of event"}},
     "no event of this kind is near", NULL, ours, read_no_event, NULL},
    {.name = NULL},
};

const struct condition *condition_find(const char *name, bool *mirrored)
{
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        *mirrored = row->mirror_name != NULL && strcmp(row->mirror_name, name) == 0;
        if (*mirrored || strcmp(row->name, name) == 0)
            return row;
    }
    return NULL;
}

const char *condition_name(const struct condition *condition, bool mirrored)
{
    return mirrored ? condition->mirror_name : condition->name;
}
