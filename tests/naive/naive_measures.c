/* The measures of section 3, each from its definition at bar t.  "Undefined values are NaN." */
#include "naive_internal.h"

#include <stdlib.h>
#include <string.h>

/* "arithmetic mean of the last n values, defined from the n-th value" */
static double mean_of_last(const double *values, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = t + 1 - n; i <= t; i++) {
        sum += values[i];
    }
    return sum / (double)n;
}

double naive_mean_of_closes(const struct naive_bars *bars, size_t n, size_t t)
{
    return mean_of_last(bars->close, n, t);
}

double naive_mean_of_volume(const struct naive_bars *bars, size_t n, size_t t)
{
    if (bars->volume == NULL) {
        return NAN;
    }
    return mean_of_last(bars->volume, n, t);
}

static double mean_of_bodies(const struct naive_bars *bars, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = t + 1 - n; i <= t; i++) {
        sum += fabs(bars->close[i] - bars->open[i]);
    }
    return sum / (double)n;
}

/* "weight 2/(n+1); starts at the n-th value as the mean of the first n" */
static double exponential_mean_of(const double *values, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double value = mean_of_last(values, n, n - 1);
    double weight = 2.0 / ((double)n + 1.0);
    for (size_t i = n; i <= t; i++) {
        value = value + weight * (values[i] - value);
    }
    return value;
}

/* "starts at the n-th value as the mean of the first n; then (prev*(n-1)+x)/n" */
static double wilder_mean_of(const double *values, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double value = mean_of_last(values, n, n - 1);
    for (size_t i = n; i <= t; i++) {
        value = (value * ((double)n - 1.0) + values[i]) / (double)n;
    }
    return value;
}

/* "max(H-L, |H-Cprev|, |L-Cprev|); the first bar: H-L" */
double naive_true_range(const struct naive_bars *bars, size_t t)
{
    double range = bars->high[t] - bars->low[t];
    if (t == 0) {
        return range;
    }
    double from_high = fabs(bars->high[t] - bars->close[t - 1]);
    double from_low = fabs(bars->low[t] - bars->close[t - 1]);
    return fmax(range, fmax(from_high, from_low));
}

/* "Wilder mean of true range, bar 1 included" (the first bar of all, index 0 here) */
double naive_average_true_range(const struct naive_bars *bars, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) {
        sum += naive_true_range(bars, i);
    }
    double value = sum / (double)n;
    for (size_t i = n; i <= t; i++) {
        value = (value * ((double)n - 1.0) + naive_true_range(bars, i)) / (double)n;
    }
    return value;
}

/* "ATR without a number is ATR(14)" */
double naive_atr14(const struct naive_bars *bars, size_t t)
{
    return naive_average_true_range(bars, 14, t);
}

/* "Wilder means U, D of the gains and the losses of the close (first change at bar 1, so first value
 * at bar n); 100*U/(U+D); 50 where both are 0" */
double naive_relative_strength(const struct naive_bars *bars, size_t n, size_t t)
{
    if (n == 0 || t < n || t >= bars->count) {
        return NAN;
    }
    double gains = 0.0;
    double losses = 0.0;
    for (size_t i = 1; i <= n; i++) {
        double change = bars->close[i] - bars->close[i - 1];
        gains += change > 0.0 ? change : 0.0;
        losses += change < 0.0 ? -change : 0.0;
    }
    double up = gains / (double)n;
    double down = losses / (double)n;
    for (size_t i = n + 1; i <= t; i++) {
        double change = bars->close[i] - bars->close[i - 1];
        double gain = change > 0.0 ? change : 0.0;
        double loss = change < 0.0 ? -change : 0.0;
        up = (up * ((double)n - 1.0) + gain) / (double)n;
        down = (down * ((double)n - 1.0) + loss) / (double)n;
    }
    if (up == 0.0 && down == 0.0) {
        return 50.0;
    }
    return 100.0 * up / (up + down);
}

/* "average(m) of RSI" */
double naive_relative_strength_average(const struct naive_bars *bars, size_t n, size_t m, size_t t)
{
    if (m == 0 || t + 1 < m) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = t + 1 - m; i <= t; i++) {
        sum += naive_relative_strength(bars, n, i);
    }
    return sum / (double)m;
}

/* Every exponential average(n) of the values, in one forward pass; NaN before the n-th. */
static void exponential_means(const double *values, size_t count, size_t n, double *means)
{
    double weight = 2.0 / ((double)n + 1.0);
    for (size_t i = 0; i < count; i++) {
        if (i + 1 < n) {
            means[i] = NAN;
        } else if (i + 1 == n) {
            means[i] = mean_of_last(values, n, i);
        } else {
            means[i] = means[i - 1] + weight * (values[i] - means[i - 1]);
        }
    }
}

/* "exponential average(f) less exponential average(s) of the close; signal: exponential average(g) of that,
 * started at its g-th defined value; histogram: the difference" */
struct macd_value naive_macd_at(const struct naive_bars *bars, size_t fast, size_t slow,
                                size_t signal, size_t t)
{
    struct macd_value value = {NAN, NAN, NAN};
    if (fast == 0 || slow == 0 || signal == 0 || t >= bars->count) {
        return value;
    }
    size_t count = t + 1;
    double *fast_means = calloc(count, sizeof *fast_means);
    double *slow_means = calloc(count, sizeof *slow_means);
    double *lines = calloc(count, sizeof *lines);
    double *signals = calloc(count, sizeof *signals);
    if (fast_means == NULL || slow_means == NULL || lines == NULL || signals == NULL) {
        abort();
    }
    exponential_means(bars->close, count, fast, fast_means);
    exponential_means(bars->close, count, slow, slow_means);
    size_t first_defined = (fast > slow ? fast : slow) - 1;
    for (size_t i = first_defined; i < count; i++) {
        lines[i] = fast_means[i] - slow_means[i];
    }
    if (t >= first_defined) {
        value.line = lines[t];
        exponential_means(lines + first_defined, count - first_defined, signal,
                          signals + first_defined);
        value.signal = signals[t];
        value.histogram = value.line - value.signal;
    }
    free(fast_means);
    free(slow_means);
    free(lines);
    free(signals);
    return value;
}

static double highest_high(const struct naive_bars *bars, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double highest = bars->high[t];
    for (size_t i = t + 1 - n; i <= t; i++) {
        highest = bars->high[i] > highest ? bars->high[i] : highest;
    }
    return highest;
}

static double lowest_low(const struct naive_bars *bars, size_t n, size_t t)
{
    if (n == 0 || t + 1 < n) {
        return NAN;
    }
    double lowest = bars->low[t];
    for (size_t i = t + 1 - n; i <= t; i++) {
        lowest = bars->low[i] < lowest ? bars->low[i] : lowest;
    }
    return lowest;
}

/* "100*(C-lowest L)/(highest H-lowest L) over n bars ... 50 where the span is 0" */
static double stochastic_raw(const struct naive_bars *bars, size_t length, size_t t)
{
    double lowest = lowest_low(bars, length, t);
    double highest = highest_high(bars, length, t);
    if (highest - lowest == 0.0) {
        return 50.0;
    }
    return 100.0 * (bars->close[t] - lowest) / (highest - lowest);
}

static double stochastic_smooth(const struct naive_bars *bars, size_t length, size_t smooth,
                                size_t t)
{
    if (smooth == 0 || t + 1 < smooth) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = t + 1 - smooth; i <= t; i++) {
        sum += stochastic_raw(bars, length, i);
    }
    return sum / (double)smooth;
}

/* "average(k), then average(d)" */
double naive_stochastic_at(const struct naive_bars *bars, size_t length, size_t smooth,
                           size_t average, size_t t)
{
    if (average == 0 || t + 1 < average) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = t + 1 - average; i <= t; i++) {
        sum += stochastic_smooth(bars, length, smooth, i);
    }
    return sum / (double)average;
}

/* "population standard deviations" */
static double deviation_of_closes(const struct naive_bars *bars, size_t n, size_t t)
{
    double mean = naive_mean_of_closes(bars, n, t);
    if (isnan(mean)) {
        return NAN;
    }
    double squares = 0.0;
    for (size_t i = t + 1 - n; i <= t; i++) {
        squares += (bars->close[i] - mean) * (bars->close[i] - mean);
    }
    return sqrt(squares / (double)n);
}

double naive_lower_band(const struct naive_bars *bars, size_t n, double width, size_t t)
{
    return naive_mean_of_closes(bars, n, t) - width * deviation_of_closes(bars, n, t);
}

double naive_upper_band(const struct naive_bars *bars, size_t n, double width, size_t t)
{
    return naive_mean_of_closes(bars, n, t) + width * deviation_of_closes(bars, n, t);
}

/* --- "Wilder's directional movement system" --------------------------------------------------*/

static double plus_movement(const struct naive_bars *bars, size_t i)
{
    double up = bars->high[i] - bars->high[i - 1];
    double down = bars->low[i - 1] - bars->low[i];
    return up > down && up > 0.0 ? up : 0.0;
}

static double minus_movement(const struct naive_bars *bars, size_t i)
{
    double up = bars->high[i] - bars->high[i - 1];
    double down = bars->low[i - 1] - bars->low[i];
    return down > up && down > 0.0 ? down : 0.0;
}

struct direction {
    double plus, minus;
};

/* Sums of movement and true range over the bars 1..n, then "less an n-th, plus the new one"; this is
 * the Wilder mean times n, and the factor n cancels. */
static struct direction direction_at(const struct naive_bars *bars, size_t n, size_t t)
{
    struct direction none = {NAN, NAN};
    if (n == 0 || t < n) {
        return none;
    }
    double plus = 0.0;
    double minus = 0.0;
    double range = 0.0;
    for (size_t i = 1; i <= t; i++) {
        double kept = i <= n ? 1.0 : ((double)n - 1.0) / (double)n;
        plus = plus * kept + plus_movement(bars, i);
        minus = minus * kept + minus_movement(bars, i);
        range = range * kept + naive_true_range(bars, i);
    }
    if (range == 0.0) {
        return (struct direction){0.0, 0.0};
    }
    return (struct direction){100.0 * plus / range, 100.0 * minus / range};
}

/* 0 where both directions are 0. */
static double direction_index(double plus, double minus, double range)
{
    if (range == 0.0 || plus + minus == 0.0) {
        return 0.0;
    }
    double plus_direction = 100.0 * plus / range;
    double minus_direction = 100.0 * minus / range;
    return 100.0 * fabs(plus_direction - minus_direction) / (plus_direction + minus_direction);
}

/* The index exists from bar n on (counted from 0); its Wilder average(n) from bar 2n-1 on. */
double naive_adx_at(const struct naive_bars *bars, size_t n, size_t t)
{
    if (n == 0 || t + 1 < 2 * n || t >= bars->count) {
        return NAN;
    }
    double plus = 0.0;
    double minus = 0.0;
    double range = 0.0;
    double first_sum = 0.0;
    double value = NAN;
    for (size_t i = 1; i <= t; i++) {
        double kept = i <= n ? 1.0 : ((double)n - 1.0) / (double)n;
        plus = plus * kept + plus_movement(bars, i);
        minus = minus * kept + minus_movement(bars, i);
        range = range * kept + naive_true_range(bars, i);
        double index = direction_index(plus, minus, range);
        if (i >= n && i < 2 * n) {
            first_sum += index;
            value = first_sum / (double)n;
        } else if (i >= 2 * n) {
            value = (value * ((double)n - 1.0) + index) / (double)n;
        }
    }
    return value;
}

/* --- slope -----------------------------------------------------------------------------------*/

struct fitted_line {
    double slope, t_statistic;
};

/* "least-squares slope of the last n closes on 0..n-1, and its t-statistic" */
static struct fitted_line line_through_closes(const struct naive_bars *bars, size_t n, size_t t)
{
    struct fitted_line line = {NAN, NAN};
    if (n < 2 || t + 1 < n) {
        return line;
    }
    double mean_x = ((double)n - 1.0) / 2.0;
    double mean_y = naive_mean_of_closes(bars, n, t);
    double sum_xx = 0.0;
    double sum_xy = 0.0;
    for (size_t x = 0; x < n; x++) {
        double y = bars->close[t + 1 - n + x];
        sum_xx += ((double)x - mean_x) * ((double)x - mean_x);
        sum_xy += ((double)x - mean_x) * (y - mean_y);
    }
    line.slope = sum_xy / sum_xx;
    if (n < 3) {
        return line;
    }
    double squares = 0.0;
    for (size_t x = 0; x < n; x++) {
        double y = bars->close[t + 1 - n + x];
        double rest = y - mean_y - line.slope * ((double)x - mean_x);
        squares += rest * rest;
    }
    line.t_statistic = line.slope / sqrt(squares / ((double)n - 2.0) / sum_xx);
    return line;
}

double naive_slope_of_closes(const struct naive_bars *bars, size_t n, size_t t)
{
    return line_through_closes(bars, n, t).slope;
}

/* --- by name ---------------------------------------------------------------------------------*/

static size_t whole(const double *parameters, size_t count, size_t which)
{
    return which < count && parameters[which] >= 0.0 ? (size_t)parameters[which] : 0;
}

static double measure_of_momentum(const struct naive_bars *bars, const char *name, size_t a,
                                  size_t b, size_t c, size_t t)
{
    if (strcmp(name, "rsi") == 0) {
        return naive_relative_strength(bars, a, t);
    }
    if (strcmp(name, "rsi_average") == 0) {
        return naive_relative_strength_average(bars, a, b, t);
    }
    if (strcmp(name, "macd") == 0) {
        return naive_macd_at(bars, a, b, c, t).line;
    }
    if (strcmp(name, "macd_signal") == 0) {
        return naive_macd_at(bars, a, b, c, t).signal;
    }
    if (strcmp(name, "macd_histogram") == 0) {
        return naive_macd_at(bars, a, b, c, t).histogram;
    }
    if (strcmp(name, "stochastic_raw") == 0) {
        return t + 1 < a ? NAN : stochastic_raw(bars, a, t);
    }
    if (strcmp(name, "stochastic_smooth") == 0) {
        return stochastic_smooth(bars, a, b, t);
    }
    if (strcmp(name, "stochastic") == 0) {
        return naive_stochastic_at(bars, a, b, c, t);
    }
    if (strcmp(name, "plus_direction") == 0) {
        return direction_at(bars, a, t).plus;
    }
    if (strcmp(name, "minus_direction") == 0) {
        return direction_at(bars, a, t).minus;
    }
    if (strcmp(name, "adx") == 0) {
        return naive_adx_at(bars, a, t);
    }
    return NAN;
}

double naive_measure(const struct naive_bars *bars, const char *name, const double *parameters,
                     size_t parameter_count, size_t t)
{
    if (t >= bars->count) {
        return NAN;
    }
    size_t n = whole(parameters, parameter_count, 0);
    double width = parameter_count > 1 ? parameters[1] : NAN;
    if (strcmp(name, "average") == 0 || strcmp(name, "band_middle") == 0) {
        return naive_mean_of_closes(bars, n, t);
    }
    if (strcmp(name, "exponential_average") == 0) {
        return exponential_mean_of(bars->close, n, t);
    }
    if (strcmp(name, "wilder_average") == 0) {
        return wilder_mean_of(bars->close, n, t);
    }
    if (strcmp(name, "true_range") == 0) {
        return naive_true_range(bars, t);
    }
    if (strcmp(name, "atr") == 0) {
        return naive_average_true_range(bars, n, t);
    }
    if (strcmp(name, "band_upper") == 0) {
        return naive_upper_band(bars, n, width, t);
    }
    if (strcmp(name, "band_lower") == 0) {
        return naive_lower_band(bars, n, width, t);
    }
    if (strcmp(name, "slope") == 0) {
        return line_through_closes(bars, n, t).slope;
    }
    if (strcmp(name, "slope_t") == 0) {
        return line_through_closes(bars, n, t).t_statistic;
    }
    if (strcmp(name, "highest") == 0) {
        return highest_high(bars, n, t);
    }
    if (strcmp(name, "lowest") == 0) {
        return lowest_low(bars, n, t);
    }
    if (strcmp(name, "average_volume") == 0) {
        return naive_mean_of_volume(bars, n, t);
    }
    if (strcmp(name, "mean_body") == 0) {
        return mean_of_bodies(bars, n, t);
    }
    return measure_of_momentum(bars, name, n, whole(parameters, parameter_count, 1),
                               whole(parameters, parameter_count, 2), t);
}
