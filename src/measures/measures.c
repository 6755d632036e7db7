/* The table of measures: a new one is one row and one function. */
#include "base/array.h"
#include "base/lanes.h"
#include "measures/series.h"
#include "measures/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double *close_of(struct sheet *sheet)
{
    return sheet_bars(sheet)->close;
}

static size_t length_of(double value)
{
    return (size_t)value;
}

LANES static void distances(const double *restrict a, const double *restrict b, size_t count,
                            double *restrict out)
{
    for (size_t i = 0; i < count; i++)
        out[i] = fabs(a[i] - b[i]);
}

/* From a bar's high down to its body, or, all prices negated by `sign`, from
 * its low up to it. */
LANES static void shadows(const double *restrict end, const double *restrict open,
                          const double *restrict close, double sign, size_t count,
                          double *restrict out)
{
    for (size_t i = 0; i < count; i++) {
        double a = sign * open[i];
        double b = sign * close[i];
        out[i] = sign * end[i] - (a > b ? a : b);
    }
}

static bool compute_range(struct sheet *sheet, const double *values, double *out)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    distances(bars->high, bars->low, sheet_count(sheet), out);
    return true;
}

static bool compute_body(struct sheet *sheet, const double *values, double *out)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    distances(bars->close, bars->open, sheet_count(sheet), out);
    return true;
}

static bool compute_upper_shadow(struct sheet *sheet, const double *values, double *out)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    shadows(bars->high, bars->open, bars->close, 1, sheet_count(sheet), out);
    return true;
}

static bool compute_lower_shadow(struct sheet *sheet, const double *values, double *out)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    shadows(bars->low, bars->open, bars->close, -1, sheet_count(sheet), out);
    return true;
}

static bool compute_mean(struct sheet *sheet, const double *values, double *out)
{
    series_mean(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_exponential_mean(struct sheet *sheet, const double *values, double *out)
{
    series_exponential_mean(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_wilder_mean(struct sheet *sheet, const double *values, double *out)
{
    series_wilder_mean(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_true_range(struct sheet *sheet, const double *values, double *out)
{
    (void)values;
    series_true_range(sheet_bars(sheet), sheet_count(sheet), out);
    return true;
}

static bool compute_atr(struct sheet *sheet, const double *values, double *out)
{
    const double *range = sheet_column(sheet, MEASURE_TRUE_RANGE, 0, 0, 0);
    if (range == NULL)
        return false;
    series_wilder_mean(range, sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_rsi(struct sheet *sheet, const double *values, double *out)
{
    series_rsi(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_rsi_average(struct sheet *sheet, const double *values, double *out)
{
    const double *rsi = sheet_rsi(sheet, length_of(values[0]));
    if (rsi == NULL)
        return false;
    series_mean(rsi, sheet_count(sheet), length_of(values[1]), out);
    return true;
}

LANES static void subtract(const double *restrict a, const double *restrict b, size_t count,
                           double *restrict out)
{
    for (size_t i = 0; i < count; i++)
        out[i] = a[i] - b[i];
}

static bool compute_macd(struct sheet *sheet, const double *values, double *out)
{
    const double *fast = sheet_column(sheet, MEASURE_EXPONENTIAL_MEAN, values[0], 0, 0);
    const double *slow = sheet_column(sheet, MEASURE_EXPONENTIAL_MEAN, values[1], 0, 0);
    if (fast == NULL || slow == NULL)
        return false;
    subtract(fast, slow, sheet_count(sheet), out);
    return true;
}

static bool compute_macd_signal(struct sheet *sheet, const double *values, double *out)
{
    const double *macd = sheet_column(sheet, MEASURE_MACD, values[0], values[1], 0);
    if (macd == NULL)
        return false;
    series_exponential_mean(macd, sheet_count(sheet), length_of(values[2]), out);
    return true;
}

static bool compute_macd_histogram(struct sheet *sheet, const double *values, double *out)
{
    const double *macd = sheet_column(sheet, MEASURE_MACD, values[0], values[1], 0);
    const double *signal = sheet_column(sheet, MEASURE_MACD_SIGNAL, values[0], values[1], values[2]);
    if (macd == NULL || signal == NULL)
        return false;
    subtract(macd, signal, sheet_count(sheet), out);
    return true;
}

static bool compute_extreme(struct sheet *sheet, double n, bool highest, double *out)
{
    size_t count = sheet_count(sheet);
    double *scratch = array_new(count, sizeof *scratch);
    if (scratch == NULL)
        return false;
    if (highest)
        series_highest(sheet_bars(sheet)->high, count, length_of(n), scratch, out);
    else
        series_lowest(sheet_bars(sheet)->low, count, length_of(n), scratch, out);
    free(scratch);
    return true;
}

static bool compute_highest(struct sheet *sheet, const double *values, double *out)
{
    return compute_extreme(sheet, values[0], true, out);
}

static bool compute_lowest(struct sheet *sheet, const double *values, double *out)
{
    return compute_extreme(sheet, values[0], false, out);
}

static bool compute_stochastic_raw(struct sheet *sheet, const double *values, double *out)
{
    const double *high = sheet_highest(sheet, length_of(values[0]));
    const double *low = sheet_lowest(sheet, length_of(values[0]));
    if (high == NULL || low == NULL)
        return false;
    for (size_t i = 0; i < sheet_count(sheet); i++) {
        double span = high[i] - low[i];
        out[i] = span == 0 ? 50 : 100 * (close_of(sheet)[i] - low[i]) / span;
    }
    return true;
}

static bool compute_stochastic_smooth(struct sheet *sheet, const double *values, double *out)
{
    const double *raw = sheet_column(sheet, MEASURE_STOCHASTIC_RAW, values[0], 0, 0);
    if (raw == NULL)
        return false;
    series_mean(raw, sheet_count(sheet), length_of(values[1]), out);
    return true;
}

static bool compute_stochastic(struct sheet *sheet, const double *values, double *out)
{
    const double *smooth = sheet_column(sheet, MEASURE_STOCHASTIC_SMOOTH, values[0], values[1], 0);
    if (smooth == NULL)
        return false;
    series_mean(smooth, sheet_count(sheet), length_of(values[2]), out);
    return true;
}

static bool compute_deviation(struct sheet *sheet, const double *values, double *out)
{
    series_deviation(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_band(struct sheet *sheet, const double *values, double sign, double *out)
{
    const double *mean = sheet_mean(sheet, length_of(values[0]));
    const double *deviation = sheet_column(sheet, MEASURE_DEVIATION, values[0], 0, 0);
    if (mean == NULL || deviation == NULL)
        return false;
    for (size_t i = 0; i < sheet_count(sheet); i++)
        out[i] = mean[i] + sign * (values[1] * deviation[i]);
    return true;
}

static bool compute_upper_band(struct sheet *sheet, const double *values, double *out)
{
    return compute_band(sheet, values, 1, out);
}

static bool compute_lower_band(struct sheet *sheet, const double *values, double *out)
{
    return compute_band(sheet, values, -1, out);
}

/* The part of a bar's range that lies outside the bar before it, above for
 * `up`, where that is the larger part; a tie gives neither. */
static double directional_movement(const struct bars *bars, size_t i, bool up)
{
    double above = bars->high[i] - bars->high[i - 1];
    double below = bars->low[i - 1] - bars->low[i];
    double own = up ? above : below;
    double other = up ? below : above;
    return own > other && own > 0 ? own : 0;
}

/* 100 * smoothed movement / smoothed true range, both from bar 1 on; 0 where
 * nothing ever moved. */
static bool compute_directional(struct sheet *sheet, const double *values, bool up, double *out)
{
    size_t count = sheet_count(sheet);
    size_t n = length_of(values[0]);
    const struct bars *bars = sheet_bars(sheet);
    const double *range = sheet_column(sheet, MEASURE_TRUE_RANGE, 0, 0, 0);
    double *moves = array_new(2 * count, sizeof *moves);
    if (range == NULL || moves == NULL) {
        free(moves);
        return false;
    }
    double *smooth_range = moves + count;
    for (size_t i = 0; i < count; i++) {
        out[i] = i > 0 ? directional_movement(bars, i, up) : NAN;
        smooth_range[i] = i > 0 ? range[i] : NAN;
    }
    series_wilder_mean(out, count, n, moves);
    memcpy(out, smooth_range, count * sizeof *out);
    series_wilder_mean(out, count, n, smooth_range);
    for (size_t i = 0; i < count; i++)
        out[i] = smooth_range[i] == 0 ? 0 : 100 * moves[i] / smooth_range[i];
    free(moves);
    return true;
}

static bool compute_directional_up(struct sheet *sheet, const double *values, double *out)
{
    return compute_directional(sheet, values, true, out);
}

static bool compute_directional_down(struct sheet *sheet, const double *values, double *out)
{
    return compute_directional(sheet, values, false, out);
}

static bool compute_adx(struct sheet *sheet, const double *values, double *out)
{
    size_t count = sheet_count(sheet);
    const double *up = sheet_column(sheet, MEASURE_DIRECTIONAL_UP, values[0], 0, 0);
    const double *down = sheet_column(sheet, MEASURE_DIRECTIONAL_DOWN, values[0], 0, 0);
    double *index = array_new(count, sizeof *index);
    if (up == NULL || down == NULL || index == NULL) {
        free(index);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        double sum = up[i] + down[i];
        index[i] = sum == 0 ? 0 : 100 * fabs(up[i] - down[i]) / sum;
    }
    series_wilder_mean(index, count, length_of(values[0]), out);
    free(index);
    return true;
}

static bool compute_slope(struct sheet *sheet, const double *values, double *out)
{
    series_slope(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_slope_t(struct sheet *sheet, const double *values, double *out)
{
    series_slope_t(close_of(sheet), sheet_count(sheet), length_of(values[0]), out);
    return true;
}

static bool compute_mean_volume(struct sheet *sheet, const double *values, double *out)
{
    const double *volume = sheet_bars(sheet)->volume;
    size_t n = length_of(values[0]);
    /* Unlike prices, volume may be missing on any bar. */
    for (size_t i = 0; i < sheet_count(sheet); i++) {
        double sum = 0;
        for (size_t k = 0; k < n && i + 1 >= n; k++)
            sum += volume[i + 1 - n + k];
        out[i] = i + 1 >= n ? sum / (double)n : NAN;
    }
    return true;
}

/* --- several sheets at once ---------------------------------------------------- */

/* Lanes over the closes of sheets. */
static void close_lanes(struct sheet *const *sheets, double *const *out, struct lane *lanes)
{
    for (int l = 0; l < LANE_COUNT; l++)
        lanes[l] = (struct lane){close_of(sheets[l]), out[l], sheet_count(sheets[l])};
}

/* Lanes over another measure of sheets, made first where it is missing. */
static bool measure_lanes(struct sheet *const *sheets, enum measure_id id, const double *values,
                          double *const *out, struct lane *lanes)
{
    sheets_measure(sheets, LANE_COUNT, &measures[id], values);
    for (int l = 0; l < LANE_COUNT; l++) {
        const double *column = sheet_measure(sheets[l], &measures[id], values);
        if (column == NULL)
            return false;
        lanes[l] = (struct lane){column, out[l], sheet_count(sheets[l])};
    }
    return true;
}

static bool atr_together(struct sheet *const *sheets, const double *values, double *const *out)
{
    static const double none[PARAMETER_LIMIT] = {0};
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_TRUE_RANGE, none, out, lanes))
        return false;
    series_wilder_mean_lanes(lanes, length_of(values[0]));
    return true;
}

static bool rsi_together(struct sheet *const *sheets, const double *values, double *const *out)
{
    struct lane lanes[LANE_COUNT];
    close_lanes(sheets, out, lanes);
    series_rsi_lanes(lanes, length_of(values[0]));
    return true;
}

static bool rsi_average_together(struct sheet *const *sheets, const double *values,
                                 double *const *out)
{
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_RSI, values, out, lanes))
        return false;
    for (int l = 0; l < LANE_COUNT; l++)
        series_mean(lanes[l].x, lanes[l].count, length_of(values[1]), out[l]);
    return true;
}

static bool exponential_mean_together(struct sheet *const *sheets, const double *values,
                                      double *const *out)
{
    struct lane lanes[LANE_COUNT];
    close_lanes(sheets, out, lanes);
    series_exponential_mean_lanes(lanes, length_of(values[0]));
    return true;
}

static bool macd_together(struct sheet *const *sheets, const double *values, double *const *out)
{
    struct lane fast[LANE_COUNT];
    struct lane slow[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_EXPONENTIAL_MEAN, values, out, fast) ||
        !measure_lanes(sheets, MEASURE_EXPONENTIAL_MEAN, values + 1, out, slow))
        return false;
    for (int l = 0; l < LANE_COUNT; l++)
        subtract(fast[l].x, slow[l].x, fast[l].count, out[l]);
    return true;
}

static bool macd_signal_together(struct sheet *const *sheets, const double *values,
                                 double *const *out)
{
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_MACD, values, out, lanes))
        return false;
    series_exponential_mean_lanes(lanes, length_of(values[2]));
    return true;
}

static bool macd_histogram_together(struct sheet *const *sheets, const double *values,
                                    double *const *out)
{
    struct lane lanes[LANE_COUNT];
    if (!measure_lanes(sheets, MEASURE_MACD_SIGNAL, values, out, lanes))
        return false;
    for (int l = 0; l < LANE_COUNT; l++)
        if (!compute_macd_histogram(sheets[l], values, out[l]))
            return false;
    return true;
}

#define BARS_PARAMETER(title, value, fewest, text)                                                 \
    {.name = title, .kind = PARAMETER_WHOLE, .missing = value, .least = fewest, .most = 10000,     \
     .unit = "bars", .help = text}

#define MACD_PARAMETERS                                                                            \
    BARS_PARAMETER("fast", 12, 1, "the shorter exponential mean"),                                 \
        BARS_PARAMETER("slow", 26, 1, "the longer exponential mean")

static const char textbook[] = "textbook";
static const char wilder[] = "Wilder 1978";
static const char appel[] = "Appel 2005";
static const char lane[] = "Lane 1984";
static const char bollinger[] = "Bollinger 2001";
static const char common[] = "common practice, no source";

const struct measure measures[] = {
    [MEASURE_RANGE] = {"range", {{0}}, "high less low", textbook, "price", compute_range, NULL},
    [MEASURE_BODY] = {"body", {{0}}, "distance of open and close", textbook, "price", compute_body, NULL},
    [MEASURE_UPPER_SHADOW] = {"upper_shadow", {{0}}, "high less the higher of open and close", textbook, "price",
     compute_upper_shadow, NULL},
    [MEASURE_LOWER_SHADOW] = {"lower_shadow", {{0}}, "lower of open and close less low", textbook, "price",
     compute_lower_shadow, NULL},
    [MEASURE_MEAN] = {"mean", {BARS_PARAMETER("bars", 20, 1, "values in the mean")},
     "arithmetic mean of the last closes", textbook, "price", compute_mean, NULL},
    [MEASURE_EXPONENTIAL_MEAN] = {"exponential_mean", {BARS_PARAMETER("bars", 20, 1, "length; weight 2/(bars+1)")},
     "exponential mean of the close, started as the mean of the first values", appel, "price",
     compute_exponential_mean, exponential_mean_together},
    [MEASURE_WILDER_MEAN] = {"wilder_mean", {BARS_PARAMETER("bars", 14, 1, "length; weight 1/bars")},
     "Wilder's mean of the close", wilder, "price", compute_wilder_mean, NULL},
    [MEASURE_TRUE_RANGE] = {"true_range", {{0}}, "the bar's range, the close before it included", wilder, "price",
     compute_true_range, NULL},
    [MEASURE_ATR] = {"atr", {BARS_PARAMETER("length", 14, 1, "length of Wilder's mean")},
     "Wilder's mean of the true range, bar 1 included", wilder, "price", compute_atr, atr_together},
    [MEASURE_RSI] = {"rsi", {BARS_PARAMETER("length", 14, 1, "length of Wilder's means")},
     "share of the gains in the moves of the close", wilder, "0 to 100", compute_rsi, rsi_together},
    [MEASURE_RSI_AVERAGE] = {"rsi_average",
     {BARS_PARAMETER("length", 14, 1, "length of the RSI"),
      BARS_PARAMETER("average", 9, 1, "values in the mean")},
     "arithmetic mean of the RSI", common, "0 to 100", compute_rsi_average, rsi_average_together},
    [MEASURE_MACD] = {"macd", {MACD_PARAMETERS}, "fast less slow exponential mean of the close", appel, "price",
     compute_macd, macd_together},
    [MEASURE_MACD_SIGNAL] = {"macd_signal", {MACD_PARAMETERS, BARS_PARAMETER("signal", 9, 1, "length of the signal")},
     "exponential mean of the MACD", appel, "price", compute_macd_signal, macd_signal_together},
    [MEASURE_MACD_HISTOGRAM] = {"macd_histogram", {MACD_PARAMETERS, BARS_PARAMETER("signal", 9, 1, "length of the signal")},
     "MACD less its signal", appel, "price", compute_macd_histogram, macd_histogram_together},
    [MEASURE_STOCHASTIC_RAW] = {"stochastic_raw", {BARS_PARAMETER("length", 14, 1, "bars of the span")},
     "place of the close in the span of the last bars; 50 where there is no span", lane, "0 to 100",
     compute_stochastic_raw, NULL},
    [MEASURE_STOCHASTIC_SMOOTH] = {"stochastic_smooth",
     {BARS_PARAMETER("length", 14, 1, "bars of the span"),
      BARS_PARAMETER("smooth", 3, 1, "values in the first mean")},
     "mean of stochastic_raw", lane, "0 to 100", compute_stochastic_smooth, NULL},
    [MEASURE_STOCHASTIC] = {"stochastic",
     {BARS_PARAMETER("length", 14, 1, "bars of the span"),
      BARS_PARAMETER("smooth", 3, 1, "values in the first mean"),
      BARS_PARAMETER("average", 3, 1, "values in the last mean")},
     "mean of stochastic_smooth", lane, "0 to 100", compute_stochastic, NULL},
    [MEASURE_DEVIATION] = {"deviation", {BARS_PARAMETER("bars", 20, 1, "values")},
     "population standard deviation of the last closes", textbook, "price", compute_deviation, NULL},
    [MEASURE_UPPER_BAND] = {"upper_band",
     {BARS_PARAMETER("bars", 20, 1, "values"),
      {.name = "width", .missing = 2, .most = 100, .unit = "deviations", .help = "from the mean"}},
     "mean of the close plus so many standard deviations", bollinger, "price", compute_upper_band, NULL},
    [MEASURE_LOWER_BAND] = {"lower_band",
     {BARS_PARAMETER("bars", 20, 1, "values"),
      {.name = "width", .missing = 2, .most = 100, .unit = "deviations", .help = "from the mean"}},
     "mean of the close less so many standard deviations", bollinger, "price", compute_lower_band, NULL},
    [MEASURE_DIRECTIONAL_UP] = {"directional_up", {BARS_PARAMETER("length", 14, 1, "length of Wilder's means")},
     "share of upward movement in the true range (+DI)", wilder, "%", compute_directional_up, NULL},
    [MEASURE_DIRECTIONAL_DOWN] = {"directional_down", {BARS_PARAMETER("length", 14, 1, "length of Wilder's means")},
     "share of downward movement in the true range (-DI)", wilder, "%", compute_directional_down, NULL},
    [MEASURE_ADX] = {"adx", {BARS_PARAMETER("length", 14, 1, "length of Wilder's means")},
     "Wilder's mean of the directional index", wilder, "0 to 100", compute_adx, NULL},
    [MEASURE_SLOPE] = {"slope", {BARS_PARAMETER("bars", 20, 2, "closes")},
     "least-squares slope of the last closes", textbook, "price a bar", compute_slope, NULL},
    [MEASURE_SLOPE_T] = {"slope_t", {BARS_PARAMETER("bars", 20, 3, "closes")},
     "the slope over its standard error; no test where prices depend on their past", textbook, "",
     compute_slope_t, NULL},
    [MEASURE_HIGHEST] = {"highest", {BARS_PARAMETER("bars", 20, 1, "bars, this one included")},
     "highest high of the last bars", textbook, "price", compute_highest, NULL},
    [MEASURE_LOWEST] = {"lowest", {BARS_PARAMETER("bars", 20, 1, "bars, this one included")},
     "lowest low of the last bars", textbook, "price", compute_lowest, NULL},
    [MEASURE_MEAN_VOLUME] = {"mean_volume", {BARS_PARAMETER("bars", 20, 1, "bars")}, "arithmetic mean of the volume",
     textbook, "units", compute_mean_volume, NULL},
    [MEASURE_COUNT] = {.name = NULL},
};

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
    return sheet_column(sheet, MEASURE_MEAN, (double)n, 0, 0);
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
