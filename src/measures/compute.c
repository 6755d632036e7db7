/* Measures of one sheet. */
#include "base/array.h"
#include "base/lanes.h"
#include "measures/measure_rows.h"
#include "measures/series.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double *close_of(struct sheet *sheet)
{
    return sheet_bars(sheet)->close;
}

size_t length_of(double value)
{
    return (size_t)value;
}

LANES static void distances(const double *restrict a, const double *restrict b, size_t first,
                            size_t count, double *restrict out)
{
    for (size_t i = first; i < count; i++)
        out[i] = fabs(a[i] - b[i]);
}

/* From a bar's high down to its body, or, all prices negated by `sign`, from
 * its low up to it. */
LANES static void shadows(const double *restrict end, const double *restrict open,
                          const double *restrict close, double sign, size_t first, size_t count,
                          double *restrict out)
{
    for (size_t i = first; i < count; i++) {
        double a = sign * open[i];
        double b = sign * close[i];
        out[i] = sign * end[i] - (a > b ? a : b);
    }
}

bool compute_range(struct sheet *sheet, const double *values, struct filling *column)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    distances(bars->high, bars->low, column->first, sheet_count(sheet), column->values);
    return true;
}

bool compute_body(struct sheet *sheet, const double *values, struct filling *column)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    distances(bars->close, bars->open, column->first, sheet_count(sheet), column->values);
    return true;
}

bool compute_upper_shadow(struct sheet *sheet, const double *values, struct filling *column)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    shadows(bars->high, bars->open, bars->close, 1, column->first, sheet_count(sheet),
            column->values);
    return true;
}

bool compute_lower_shadow(struct sheet *sheet, const double *values, struct filling *column)
{
    const struct bars *bars = sheet_bars(sheet);
    (void)values;
    shadows(bars->low, bars->open, bars->close, -1, column->first, sheet_count(sheet),
            column->values);
    return true;
}

bool compute_average(struct sheet *sheet, const double *values, struct filling *column)
{
    series_mean(close_of(sheet), column->first, sheet_count(sheet), length_of(values[0]),
                column->values);
    return true;
}

bool compute_exponential_average(struct sheet *sheet, const double *values, struct filling *column)
{
    series_exponential_mean(close_of(sheet), column->first, sheet_count(sheet),
                            length_of(values[0]), column->values);
    return true;
}

bool compute_wilder_average(struct sheet *sheet, const double *values, struct filling *column)
{
    series_wilder_mean(close_of(sheet), column->first, sheet_count(sheet), length_of(values[0]),
                       column->values);
    return true;
}

bool compute_true_range(struct sheet *sheet, const double *values, struct filling *column)
{
    (void)values;
    series_true_range(sheet_bars(sheet), column->first, sheet_count(sheet), column->values);
    return true;
}

bool compute_atr(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *range = sheet_column(sheet, MEASURE_TRUE_RANGE, 0, 0, 0);
    if (range == NULL)
        return false;
    series_wilder_mean(range, column->first, sheet_count(sheet), length_of(values[0]),
                       column->values);
    return true;
}

bool compute_rsi(struct sheet *sheet, const double *values, struct filling *column)
{
    struct rsi_state state = {column->state[0], column->state[1]};
    series_rsi(close_of(sheet), column->first, sheet_count(sheet), length_of(values[0]), &state,
               column->values);
    column->state[0] = state.up;
    column->state[1] = state.down;
    return true;
}

bool compute_rsi_average(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *rsi = sheet_rsi(sheet, length_of(values[0]));
    if (rsi == NULL)
        return false;
    series_mean(rsi, column->first, sheet_count(sheet), length_of(values[1]), column->values);
    return true;
}

LANES void subtract(const double *restrict a, const double *restrict b, size_t first, size_t count,
                    double *restrict out)
{
    for (size_t i = first; i < count; i++)
        out[i] = a[i] - b[i];
}

bool compute_macd(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *fast = sheet_column(sheet, MEASURE_EXPONENTIAL_AVERAGE, values[0], 0, 0);
    const double *slow = sheet_column(sheet, MEASURE_EXPONENTIAL_AVERAGE, values[1], 0, 0);
    if (fast == NULL || slow == NULL)
        return false;
    subtract(fast, slow, column->first, sheet_count(sheet), column->values);
    return true;
}

bool compute_macd_signal(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *macd = sheet_column(sheet, MEASURE_MACD, values[0], values[1], 0);
    if (macd == NULL)
        return false;
    series_exponential_mean(macd, column->first, sheet_count(sheet), length_of(values[2]),
                            column->values);
    return true;
}

bool compute_macd_histogram(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *macd = sheet_column(sheet, MEASURE_MACD, values[0], values[1], 0);
    const double *signal = sheet_column(sheet, MEASURE_MACD_SIGNAL, values[0], values[1],
                                        values[2]);
    if (macd == NULL || signal == NULL)
        return false;
    subtract(macd, signal, column->first, sheet_count(sheet), column->values);
    return true;
}

static bool compute_extreme(struct sheet *sheet, double n, bool highest, struct filling *column)
{
    size_t count = sheet_count(sheet);
    double *scratch = array_new(series_extreme_room(length_of(n)), sizeof *scratch);
    if (scratch == NULL)
        return false;
    if (highest)
        series_highest(sheet_bars(sheet)->high, column->first, count, length_of(n), scratch,
                       column->values);
    else
        series_lowest(sheet_bars(sheet)->low, column->first, count, length_of(n), scratch,
                      column->values);
    free(scratch);
    return true;
}

bool compute_highest(struct sheet *sheet, const double *values, struct filling *column)
{
    return compute_extreme(sheet, values[0], true, column);
}

bool compute_lowest(struct sheet *sheet, const double *values, struct filling *column)
{
    return compute_extreme(sheet, values[0], false, column);
}

bool compute_stochastic_raw(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *high = sheet_highest(sheet, length_of(values[0]));
    const double *low = sheet_lowest(sheet, length_of(values[0]));
    if (high == NULL || low == NULL)
        return false;
    for (size_t i = column->first; i < sheet_count(sheet); i++) {
        double span = high[i] - low[i];
        column->values[i] = span == 0 ? 50 : 100 * (close_of(sheet)[i] - low[i]) / span;
    }
    return true;
}

bool compute_stochastic_smooth(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *raw = sheet_column(sheet, MEASURE_STOCHASTIC_RAW, values[0], 0, 0);
    if (raw == NULL)
        return false;
    series_mean(raw, column->first, sheet_count(sheet), length_of(values[1]), column->values);
    return true;
}

bool compute_stochastic(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *smooth = sheet_column(sheet, MEASURE_STOCHASTIC_SMOOTH, values[0], values[1], 0);
    if (smooth == NULL)
        return false;
    series_mean(smooth, column->first, sheet_count(sheet), length_of(values[2]), column->values);
    return true;
}

bool compute_deviation(struct sheet *sheet, const double *values, struct filling *column)
{
    series_deviation(close_of(sheet), column->first, sheet_count(sheet), length_of(values[0]),
                     column->values);
    return true;
}

static bool compute_band(struct sheet *sheet, const double *values, double sign,
                         struct filling *column)
{
    const double *mean = sheet_mean(sheet, length_of(values[0]));
    const double *deviation = sheet_column(sheet, MEASURE_DEVIATION, values[0], 0, 0);
    if (mean == NULL || deviation == NULL)
        return false;
    for (size_t i = column->first; i < sheet_count(sheet); i++)
        column->values[i] = mean[i] + sign * (values[1] * deviation[i]);
    return true;
}

bool compute_upper_band(struct sheet *sheet, const double *values, struct filling *column)
{
    return compute_band(sheet, values, 1, column);
}

bool compute_lower_band(struct sheet *sheet, const double *values, struct filling *column)
{
    return compute_band(sheet, values, -1, column);
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
static bool compute_directional(struct sheet *sheet, const double *values, bool up,
                                struct filling *column)
{
    size_t count = sheet_count(sheet);
    size_t n = length_of(values[0]);
    const struct bars *bars = sheet_bars(sheet);
    const double *range = sheet_column(sheet, MEASURE_TRUE_RANGE, 0, 0, 0);
    double *moves = array_new(4 * count, sizeof *moves);
    if (range == NULL || moves == NULL) {
        free(moves);
        return false;
    }
    double *ranges = moves + count;
    double *smooth_moves = moves + 2 * count;
    double *smooth_ranges = moves + 3 * count;
    size_t first = column->first;
    for (size_t i = 0; i < count; i++) {
        moves[i] = i > 0 ? directional_movement(bars, i, up) : NAN;
        ranges[i] = i > 0 ? range[i] : NAN;
    }
    if (first > 0) {
        smooth_moves[first - 1] = column->state[0];
        smooth_ranges[first - 1] = column->state[1];
    }
    series_wilder_mean(moves, first, count, n, smooth_moves);
    series_wilder_mean(ranges, first, count, n, smooth_ranges);
    for (size_t i = first; i < count; i++)
        column->values[i] = smooth_ranges[i] == 0 ? 0 : 100 * smooth_moves[i] / smooth_ranges[i];
    if (count > first) {
        column->state[0] = smooth_moves[count - 1];
        column->state[1] = smooth_ranges[count - 1];
    }
    free(moves);
    return true;
}

bool compute_directional_up(struct sheet *sheet, const double *values, struct filling *column)
{
    return compute_directional(sheet, values, true, column);
}

bool compute_directional_down(struct sheet *sheet, const double *values, struct filling *column)
{
    return compute_directional(sheet, values, false, column);
}

bool compute_adx(struct sheet *sheet, const double *values, struct filling *column)
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
    series_wilder_mean(index, column->first, count, length_of(values[0]), column->values);
    free(index);
    return true;
}

bool compute_slope(struct sheet *sheet, const double *values, struct filling *column)
{
    series_slope(close_of(sheet), column->first, sheet_count(sheet), length_of(values[0]),
                 column->values);
    return true;
}

bool compute_slope_t(struct sheet *sheet, const double *values, struct filling *column)
{
    series_slope_t(close_of(sheet), column->first, sheet_count(sheet), length_of(values[0]),
                   column->values);
    return true;
}

bool compute_average_volume(struct sheet *sheet, const double *values, struct filling *column)
{
    const double *volume = sheet_bars(sheet)->volume;
    size_t n = length_of(values[0]);
    /* Unlike prices, volume may be missing on any bar. */
    for (size_t i = column->first; i < sheet_count(sheet); i++) {
        double sum = 0;
        for (size_t k = 0; k < n && i + 1 >= n; k++)
            sum += volume[i + 1 - n + k];
        column->values[i] = i + 1 >= n ? sum / (double)n : NAN;
    }
    return true;
}
