/* The table of measures: a new one is one row and one function. */
#include "measures/measure_rows.h"

#include <string.h>

/* One row a line or two, like a table. */
/* clang-format off */
#define BARS_PARAMETER(title, value, fewest, text)                                                 \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = fewest, .most = 10000,     \
     .unit = "bars", .help = text}

#define MACD_PARAMETERS                                                                            \
    BARS_PARAMETER("fast", 12, 1, "the shorter exponential average"),                                 \
        BARS_PARAMETER("slow", 26, 1, "the longer exponential average")

static const char definition[] = "by definition";
static const char squares[] = "by definition: least squares";
static const char wilder[] = "Wilder 1978 (from memory)";
static const char appel[] = "Appel 2005 (from memory)";
static const char lane[] = "Lane 1984 (from memory)";
static const char bollinger[] = "Bollinger 2001 (from memory)";
static const char common[] = "common practice, no source";

const struct measure measures[] = {
    [MEASURE_RANGE] = {"range", {{0}}, "high less low", definition, "price", compute_range, NULL},
    [MEASURE_BODY] = {"body", {{0}}, "distance of open and close", definition, "price", compute_body, NULL},
    [MEASURE_UPPER_SHADOW] = {"upper_shadow", {{0}}, "high less the higher of open and close", definition, "price",
     compute_upper_shadow, NULL},
    [MEASURE_LOWER_SHADOW] = {"lower_shadow", {{0}}, "lower of open and close less low", definition, "price",
     compute_lower_shadow, NULL},
    [MEASURE_AVERAGE] = {"average", {BARS_PARAMETER("bars", 20, 1, "values in the average")},
     "arithmetic average of the last closes", definition, "price", compute_average, NULL},
    [MEASURE_EXPONENTIAL_AVERAGE] = {"exponential_average", {BARS_PARAMETER("bars", 20, 1, "length; weight 2/(bars+1)")},
     "exponential average of the close, started as the average of the first values", appel, "price",
     compute_exponential_average, exponential_mean_together},
    [MEASURE_WILDER_AVERAGE] = {"wilder_average", {BARS_PARAMETER("bars", 14, 1, "length; weight 1/bars")},
     "Wilder's average of the close", wilder, "price", compute_wilder_average, NULL},
    [MEASURE_TRUE_RANGE] = {"true_range", {{0}}, "the bar's range, the close before it included", wilder, "price",
     compute_true_range, NULL},
    [MEASURE_ATR] = {"atr", {BARS_PARAMETER("length", 14, 1, "length of Wilder's average")},
     "Wilder's average of the true range, bar 1 included", wilder, "price", compute_atr, atr_together},
    [MEASURE_RSI] = {"rsi", {BARS_PARAMETER("length", 14, 1, "length of Wilder's averages")},
     "share of the gains in the moves of the close", wilder, "0 to 100", compute_rsi, rsi_together},
    [MEASURE_RSI_AVERAGE] = {"rsi_average",
     {BARS_PARAMETER("length", 14, 1, "length of the RSI"),
      BARS_PARAMETER("average", 9, 1, "values in the average")},
     "arithmetic average of the RSI", common, "0 to 100", compute_rsi_average, rsi_average_together},
    [MEASURE_MACD] = {"macd", {MACD_PARAMETERS}, "fast less slow exponential average of the close", appel, "price",
     compute_macd, macd_together},
    [MEASURE_MACD_SIGNAL] = {"macd_signal", {MACD_PARAMETERS, BARS_PARAMETER("signal", 9, 1, "length of the signal")},
     "exponential average of the MACD", appel, "price", compute_macd_signal, macd_signal_together},
    [MEASURE_MACD_HISTOGRAM] = {"macd_histogram", {MACD_PARAMETERS, BARS_PARAMETER("signal", 9, 1, "length of the signal")},
     "MACD less its signal", appel, "price", compute_macd_histogram, macd_histogram_together},
    [MEASURE_STOCHASTIC_RAW] = {"stochastic_raw", {BARS_PARAMETER("length", 14, 1, "bars of the span")},
     "place of the close in the span of the last bars; 50 where there is no span", lane, "0 to 100",
     compute_stochastic_raw, NULL},
    [MEASURE_STOCHASTIC_SMOOTH] = {"stochastic_smooth",
     {BARS_PARAMETER("length", 14, 1, "bars of the span"),
      BARS_PARAMETER("smooth", 3, 1, "values in the first average")},
     "average of stochastic_raw", lane, "0 to 100", compute_stochastic_smooth, NULL},
    [MEASURE_STOCHASTIC] = {"stochastic",
     {BARS_PARAMETER("length", 14, 1, "bars of the span"),
      BARS_PARAMETER("smooth", 3, 1, "values in the first average"),
      BARS_PARAMETER("average", 3, 1, "values in the last average")},
     "average of stochastic_smooth", lane, "0 to 100", compute_stochastic, NULL},
    [MEASURE_DEVIATION] = {"deviation", {BARS_PARAMETER("bars", 20, 1, "values")},
     "population standard deviation of the last closes", definition, "price", compute_deviation, NULL},
    [MEASURE_UPPER_BAND] = {"upper_band",
     {BARS_PARAMETER("bars", 20, 1, "values"),
      {.name = "width", .missing = 2, .most = 100, .unit = "deviations", .help = "from the average"}},
     "average of the close plus so many standard deviations", bollinger, "price", compute_upper_band, NULL},
    [MEASURE_LOWER_BAND] = {"lower_band",
     {BARS_PARAMETER("bars", 20, 1, "values"),
      {.name = "width", .missing = 2, .most = 100, .unit = "deviations", .help = "from the average"}},
     "average of the close less so many standard deviations", bollinger, "price", compute_lower_band, NULL},
    [MEASURE_DIRECTIONAL_UP] = {"directional_up", {BARS_PARAMETER("length", 14, 1, "length of Wilder's averages")},
     "share of upward movement in the true range (+DI)", wilder, "%", compute_directional_up, NULL},
    [MEASURE_DIRECTIONAL_DOWN] = {"directional_down", {BARS_PARAMETER("length", 14, 1, "length of Wilder's averages")},
     "share of downward movement in the true range (-DI)", wilder, "%", compute_directional_down, NULL},
    [MEASURE_ADX] = {"adx", {BARS_PARAMETER("length", 14, 1, "length of Wilder's averages")},
     "Wilder's average of the directional index", wilder, "0 to 100", compute_adx, NULL},
    [MEASURE_SLOPE] = {"slope", {BARS_PARAMETER("bars", 20, 2, "closes")},
     "least-squares slope of the last closes", squares, "price a bar", compute_slope, NULL},
    [MEASURE_SLOPE_T] = {"slope_t", {BARS_PARAMETER("bars", 20, 3, "closes")},
     "the slope over its standard error; no test where prices depend on their past", squares, "",
     compute_slope_t, NULL},
    [MEASURE_HIGHEST] = {"highest", {BARS_PARAMETER("bars", 20, 1, "bars, this one included")},
     "highest high of the last bars", definition, "price", compute_highest, NULL},
    [MEASURE_LOWEST] = {"lowest", {BARS_PARAMETER("bars", 20, 1, "bars, this one included")},
     "lowest low of the last bars", definition, "price", compute_lowest, NULL},
    [MEASURE_AVERAGE_VOLUME] = {"average_volume", {BARS_PARAMETER("bars", 20, 1, "bars")}, "arithmetic average of the volume",
     definition, "units", compute_average_volume, NULL},
    [MEASURE_COUNT] = {.name = NULL},
};
/* clang-format on */

const struct measure *measure_find(const char *name)
{
    for (const struct measure *row = measures; row->name != NULL; row++)
        if (strcmp(row->name, name) == 0)
            return row;
    return NULL;
}

const double *sheet_column(struct sheet *sheet, enum measure_id measure, double a, double b,
                           double c)
{
    const double values[PARAMETER_LIMIT] = {a, b, c};
    return sheet_measure(sheet, &measures[measure], values);
}

const double *sheet_atr(struct sheet *sheet, size_t n)
{
    return sheet_column(sheet, MEASURE_ATR, (double)n, 0, 0);
}

const double *sheet_rsi(struct sheet *sheet, size_t n)
{
    return sheet_column(sheet, MEASURE_RSI, (double)n, 0, 0);
}

const double *sheet_mean(struct sheet *sheet, size_t n)
{
    return sheet_column(sheet, MEASURE_AVERAGE, (double)n, 0, 0);
}

const double *sheet_slope(struct sheet *sheet, size_t n)
{
    return sheet_column(sheet, MEASURE_SLOPE, (double)n, 0, 0);
}

const double *sheet_lowest(struct sheet *sheet, size_t n)
{
    return sheet_column(sheet, MEASURE_LOWEST, (double)n, 0, 0);
}

const double *sheet_highest(struct sheet *sheet, size_t n)
{
    return sheet_column(sheet, MEASURE_HIGHEST, (double)n, 0, 0);
}
