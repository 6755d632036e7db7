/* The table of conditions: a new one is one row and one function, in the file
 * of its kind. */
#include "setup/conditions.h"
#include "setup/condition_rows.h"

#include <math.h>
#include <string.h>

const struct reading undefined_reading = {.name = "not enough bars yet",
                                          .unit = "",
                                          .value = NAN,
                                          .limit = NAN,
                                          .met = TRUTH_UNDEFINED};

struct reading untold_reading(const char *name)
{
    struct reading reading = undefined_reading;
    reading.name = name;
    reading.untold = true;
    return reading;
}

size_t whole_of(double value)
{
    return (size_t)value;
}

const struct bars *bars_of(const struct condition_view *view)
{
    return sheet_bars(view->sheet);
}

double value_at(const double *column, size_t at)
{
    return column != NULL ? column[at] : NAN;
}

struct reading fact_reading(const char *name, bool holds)
{
    return (struct reading){.name = name,
                            .unit = "",
                            .comparison = COMPARE_AT_LEAST,
                            .value = NAN,
                            .limit = NAN,
                            .met = holds ? TRUTH_YES : TRUTH_NO};
}

/* --- the table ------------------------------------------------------------- */

/* One row a line or two, like a table. */
/* clang-format off */
#define WHOLE(title, value, fewest, in, text)                                                      \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = fewest, .most = 2000,      \
     .unit = in, .help = text}
#define NUMBER(title, value, top, in, text)                                                        \
    {.name = title, .missing = value, .most = top, .unit = in, .help = text}
#define LEVEL(title, mirror_title, value, text)                                                    \
    {.name = title, .mirror_name = mirror_title, .mirror = MIRROR_FROM_HUNDRED, .missing = value,  \
     .most = 100, .unit = "", .help = text}
/* What a number is that is given, and what else could be written. */
#define ALSO(text, more) .help = text more, .said = text
#define BARS(value, fewest, text) WHOLE("bars", value, fewest, "bars", text)
#define SWING WHOLE("swing", 3, 1, "bars", "bars on each side that make a swing")
#define RSI_LENGTH WHOLE("length", 14, 1, "bars", "length of the RSI")
#define MACD_TERMS                                                                                 \
    WHOLE("fast", 12, 1, "bars", "the shorter exponential average"),                                  \
        WHOLE("slow", 26, 1, "bars", "the longer exponential average")
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
    {"at_own_level", NULL,
     {NUMBER("width_atr", 0.5, 100, "ATR", "nearness to the level")},
     "the candle is near a level that you marked before it", NULL, ours, read_at_own_level, NULL},
    {"rsi_below", "rsi_above", {RSI_LENGTH, LEVEL("level", NULL, 30, "RSI beyond this")},
     "RSI is below the level", "RSI is above the level", "Wilder 1978 (from memory)", read_rsi_below, &measures[MEASURE_RSI]},
    {"rsi_crosses_above_average", "rsi_crosses_below_average",
     {RSI_LENGTH, WHOLE("average", 9, 1, "bars", "values in the RSI's average"),
      {.name = "from_below", .mirror_name = "from_above", .mirror = MIRROR_FROM_HUNDRED,
       .missing = NAN, .most = 100, .unit = "",
       ALSO("RSI one bar ago beyond this", "; off unless given")}},
     "RSI was at or below its average one bar ago and is above it",
     "RSI was at or above its average one bar ago and is below it", common,
     read_rsi_crosses_above_average, &measures[MEASURE_RSI_AVERAGE]},
    {"stochastic_below", "stochastic_above",
     {WHOLE("length", 14, 1, "bars", "bars of the span"),
      WHOLE("smooth", 3, 1, "bars", "values in the first average"),
      WHOLE("average", 3, 1, "bars", "values in the last average"),
      LEVEL("level", NULL, 20, "the value after the last average beyond this")},
     "the stochastic is below the level", "the stochastic is above the level", "Lane 1984 (from memory)",
     read_stochastic_below, &measures[MEASURE_STOCHASTIC]},
    {"below_lower_band", "above_upper_band",
     {BARS(20, 1, "values in the average"),
      NUMBER("width", 2, 100, "deviations", "standard deviations from the average")},
     "the close is below the lower band", "the close is above the upper band", "Bollinger 2001 (from memory)",
     read_below_lower_band, &measures[MEASURE_LOWER_BAND]},
    {"macd_turns_up", "macd_turns_down", {MACD_TERMS, MACD_SIGNAL},
     "the MACD histogram is higher than one bar ago", "the MACD histogram is lower than one bar ago",
     "Appel 2005 (from memory)", read_macd_turns_up, &measures[MEASURE_MACD_HISTOGRAM]},
    {"macd_crosses_signal_up", "macd_crosses_signal_down", {MACD_TERMS, MACD_SIGNAL},
     "MACD was at or below its signal one bar ago and is above it",
     "MACD was at or above its signal one bar ago and is below it", "Appel 2005 (from memory)",
     read_macd_crosses_signal_up, &measures[MEASURE_MACD_SIGNAL]},
    {"macd_above_zero", "macd_below_zero", {MACD_TERMS}, "MACD is above zero",
     "MACD is below zero", "Appel 2005 (from memory)", read_macd_above_zero, &measures[MEASURE_MACD]},
    {"bullish_divergence", "bearish_divergence",
     {BARS(60, 2, "how far back the swings may lie"), SWING, RSI_LENGTH},
     "of the newest two swing lows the newer is lower in price and higher in RSI",
     "of the newest two swing highs the newer is higher in price and lower in RSI", common,
     read_bullish_divergence, NULL},
    {"adx_below", NULL,
     {WHOLE("length", 14, 1, "bars", "length of Wilder's averages"),
      NUMBER("level", 25, 100, "", "ADX below this")},
     "ADX is below the level: no strong trend either way", NULL, "Wilder 1978 (from memory)", read_adx_below, &measures[MEASURE_ADX]},
    {"close_above_average", "close_below_average", {BARS(50, 1, "closes in the average")},
     "the close is above its average", "the close is below its average", common, read_close_above_average, &measures[MEASURE_AVERAGE]},
    {"average_rising", "average_falling",
     {BARS(50, 1, "closes in the average"), WHOLE("over", 5, 1, "bars", "compared with this long ago")},
     "the average of the close is above itself some bars ago",
     "the average of the close is below itself some bars ago", common, read_average_rising, &measures[MEASURE_AVERAGE]},
    {"volume_above_average", NULL,
     {BARS(20, 1, "bars in the average, this one included"),
      NUMBER("times", 1.5, 1000, "averages", "volume above so many averages")},
     "volume is above its average times a number", NULL, common, read_volume_above_average, &measures[MEASURE_AVERAGE_VOLUME]},
    {"compare", NULL, {{0}},
     "a price, a measure or an earlier value of one against a number, another, or its own bars "
     "before: {value: close, above: {average: {bars: 50}}}; below, crosses_above, crosses_below, "
     "rises_for and falls_for likewise; by, by_atr, by_percent or by_ticks says how far beyond; "
     "a value may have bars_ago, interval, and of: another instrument",
     NULL, ours, read_comparison, NULL},
    {"weekday", NULL,
     {{.name = "of", .kind = PARAMETER_WEEKDAYS, .missing = 31, .most = 127, .unit = "",
       ALSO("days of the week", ": [mon, tue, wed, thu, fri, sat, sun]")}},
     "the bar's date falls on one of these days", NULL, ours, read_weekday, NULL},
    {"time_of_day", NULL,
     {{.name = "from", .kind = PARAMETER_CLOCK, .missing = 0, .most = 1439, .unit = "hh:mm",
       .help = "first start of a bar, in the session's zone"},
      {.name = "to", .kind = PARAMETER_CLOCK, .missing = 0, .most = 1439, .unit = "hh:mm",
       ALSO("a bar starting here or later is out", "; before `from`: over midnight")}},
     "the bar starts within these hours", NULL, ours, read_time_of_day, NULL},
    {"no_event", NULL,
     {NUMBER("before", 1, 3650, "days", "this long before an event is too near"),
      NUMBER("after", 0, 3650, "days", "this long after an event is too near"),
      {.name = "kind", .kind = PARAMETER_WORD, .unit = "", .help = "kind of event"}},
     "no event of this kind is near", NULL, ours, read_no_event, NULL},
    {.name = NULL},
};
/* clang-format on */

bool condition_asks_for_levels(const struct condition *condition)
{
    return condition->read == read_at_own_level;
}

bool condition_asks_for_events(const struct condition *condition)
{
    return condition->read == read_no_event;
}

bool condition_reads_far(const struct condition *condition)
{
    return condition->read == read_lower_swings || condition->read == read_at_own_level;
}

bool condition_asks_beyond_prices(const struct condition *condition)
{
    return condition_asks_for_levels(condition) || condition_asks_for_events(condition) ||
           condition->read == read_volume_above_average;
}

enum condition_about condition_about(const struct condition *condition)
{
    static const struct {
        struct reading (*read)(const struct condition_view *view);
        enum condition_about about;
    } rows[] = {
        {read_downtrend, ABOUT_FITTED_LINE},
        {read_fall, ABOUT_FALL},
        {read_lower_swings, ABOUT_SWINGS},
        {read_falling_trend_line, ABOUT_TREND_LINE},
        {read_at_support, ABOUT_ZONES},
        {read_rsi_below, ABOUT_RSI},
        {read_rsi_crosses_above_average, ABOUT_RSI_AVERAGE},
        {read_macd_turns_up, ABOUT_MACD_TURN},
        {read_macd_crosses_signal_up, ABOUT_MACD_SIGNAL},
        {read_macd_above_zero, ABOUT_MACD},
        {read_bullish_divergence, ABOUT_DIVERGENCE},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (condition->read == rows[i].read)
            return rows[i].about;
    return ABOUT_OTHER;
}

const struct condition *condition_that_is_about(enum condition_about about)
{
    const struct condition *row = conditions;
    while (condition_about(row) != about)
        row++;
    return row;
}

const struct condition *condition_find(const char *name, bool *mirrored)
{
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        *mirrored = row->mirror_name != NULL && strcmp(row->mirror_name, name) == 0;
        if (*mirrored || strcmp(row->name, name) == 0)
            return row;
    }
    return NULL;
}

bool condition_is_compare(const struct condition *condition)
{
    return condition->read == read_comparison;
}

const char *condition_name(const struct condition *condition, bool mirrored)
{
    return mirrored && condition->mirror_name != NULL ? condition->mirror_name : condition->name;
}
