/* Conditions on measures: momentum, averages, volume. */
#include "setup/condition_rows.h"

#include "structure/swings.h"

#include <math.h>

const double hundred_tolerance = 1e-9;

double macd_tolerance(const struct bars *bars, size_t at)
{
    return 1e-10 * fabs(bars->close[at]);
}

/* A number strictly beyond another, by more than the tolerance. */
static struct reading level_reading(const char *name, enum reading_kind kind,
                                    enum comparison comparison, double value, double limit,
                                    double tolerance)
{
    return (struct reading){.name = name,
                            .unit = "",
                            .kind = kind,
                            .comparison = comparison,
                            .value = value,
                            .limit = limit,
                            .met = comparison == COMPARE_ABOVE ? above(value, limit, tolerance)
                                                               : below(value, limit, tolerance)};
}

/* The same, saying which of the row's parameters the limit is, from 1. */
static struct reading with_parameter(struct reading reading, unsigned char parameter)
{
    reading.parameter = parameter;
    return reading;
}

struct reading read_rsi_below(const struct condition_view *view)
{
    double rsi = value_at(sheet_rsi(view->sheet, whole_of(view->values[0])), view->at);
    return with_parameter(level_reading("RSI", READING_FROM_HUNDRED, COMPARE_BELOW, rsi,
                                        view->values[1], hundred_tolerance),
                          2);
}

/* Two columns and how near their values at a bar have to be to count as equal. */
struct crossing {
    const double *line;
    const double *other;
    enum reading_kind kind;
    double tolerance_now;
    double tolerance_before;
    const char *now; /* names of the two readings */
    const char *before;
};

/* One column crossing above another: at or below it one bar ago, above now.
 * The reading tells the part that fails first. `at` is not 0. */
static struct reading cross_up(const struct crossing *crossing, size_t at)
{
    const double *line = crossing->line;
    const double *other = crossing->other;
    if (line == NULL || other == NULL)
        return undefined_reading;
    struct reading reading = level_reading(crossing->now, crossing->kind, COMPARE_ABOVE, line[at],
                                           other[at], crossing->tolerance_now);
    double line_before = line[at - 1];
    double other_before = other[at - 1];
    enum truth was_below = at_most(line_before, other_before, crossing->tolerance_before);
    if (reading.met == TRUTH_YES && was_below != TRUTH_YES) {
        reading.name = crossing->before;
        reading.comparison = COMPARE_AT_MOST;
        reading.value = line_before;
        reading.limit = other_before;
    }
    reading.met = truth_and(reading.met, was_below);
    if (isnan(line_before) || isnan(other_before))
        reading.met = TRUTH_UNDEFINED;
    return reading;
}

struct reading read_rsi_crosses_above_average(const struct condition_view *view)
{
    const double *v = view->values;
    if (view->at == 0)
        return undefined_reading;
    const struct crossing crossing = {
        .line = sheet_rsi(view->sheet, whole_of(v[0])),
        .other = sheet_column(view->sheet, MEASURE_RSI_AVERAGE, v[0], v[1], 0),
        .kind = READING_FROM_HUNDRED,
        .tolerance_now = hundred_tolerance,
        .tolerance_before = hundred_tolerance,
        .now = "RSI, against its average",
        .before = "RSI one bar ago, against its average",
    };
    struct reading reading = cross_up(&crossing, view->at);
    if (isnan(v[2]) || reading.met != TRUTH_YES)
        return reading;
    struct reading from = level_reading("RSI one bar ago", READING_FROM_HUNDRED, COMPARE_BELOW,
                                        crossing.line[view->at - 1], v[2], hundred_tolerance);
    return from.met == TRUTH_YES ? reading : from;
}

struct reading read_stochastic_below(const struct condition_view *view)
{
    const double *v = view->values;
    double value = value_at(sheet_column(view->sheet, MEASURE_STOCHASTIC, v[0], v[1], v[2]),
                            view->at);
    return with_parameter(level_reading("stochastic", READING_FROM_HUNDRED, COMPARE_BELOW, value,
                                        v[3], hundred_tolerance),
                          4);
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

struct reading read_below_lower_band(const struct condition_view *view)
{
    const double *v = view->values;
    double band = value_at(sheet_column(view->sheet, MEASURE_LOWER_BAND, v[0], v[1], 0), view->at);
    return close_against(view, "close, against the lower band", COMPARE_BELOW, band);
}

struct reading read_macd_turns_up(const struct condition_view *view)
{
    const double *v = view->values;
    const double *histogram = sheet_column(view->sheet, MEASURE_MACD_HISTOGRAM, v[0], v[1], v[2]);
    if (view->at == 0)
        return undefined_reading;
    return level_reading("MACD histogram, against one bar ago", READING_PRICE, COMPARE_ABOVE,
                         value_at(histogram, view->at), value_at(histogram, view->at - 1),
                         macd_tolerance(bars_of(view), view->at));
}

struct reading read_macd_crosses_signal_up(const struct condition_view *view)
{
    const double *v = view->values;
    if (view->at == 0)
        return undefined_reading;
    const struct crossing crossing = {
        .line = sheet_column(view->sheet, MEASURE_MACD, v[0], v[1], 0),
        .other = sheet_column(view->sheet, MEASURE_MACD_SIGNAL, v[0], v[1], v[2]),
        .kind = READING_PRICE,
        .tolerance_now = macd_tolerance(bars_of(view), view->at),
        .tolerance_before = macd_tolerance(bars_of(view), view->at - 1),
        .now = "MACD, against its signal",
        .before = "MACD one bar ago, against its signal",
    };
    return cross_up(&crossing, view->at);
}

struct reading read_macd_above_zero(const struct condition_view *view)
{
    const double *v = view->values;
    double macd = value_at(sheet_column(view->sheet, MEASURE_MACD, v[0], v[1], 0), view->at);
    return level_reading("MACD", READING_PRICE, COMPARE_ABOVE, macd, 0,
                         macd_tolerance(bars_of(view), view->at));
}

struct reading read_bullish_divergence(const struct condition_view *view)
{
    const double *v = view->values;
    const double *low = bars_of(view)->low;
    const double *rsi = sheet_rsi(view->sheet, whole_of(v[2]));
    size_t older = 0;
    size_t newer = 0;
    if (rsi == NULL ||
        !newest_two_lows(view->sheet, whole_of(v[0]), whole_of(v[1]), view->at, &older, &newer) ||
        isnan(rsi[older]))
        return undefined_reading;
    if (!(low[newer] < low[older]))
        return level_reading("newer swing low, against the older", READING_PRICE, COMPARE_BELOW,
                             low[newer], low[older], 0);
    return level_reading("RSI at the newer swing low, against the older", READING_FROM_HUNDRED,
                         COMPARE_ABOVE, rsi[newer], rsi[older], hundred_tolerance);
}

struct reading read_adx_below(const struct condition_view *view)
{
    double adx = value_at(sheet_column(view->sheet, MEASURE_ADX, view->values[0], 0, 0), view->at);
    return with_parameter(level_reading("ADX", READING_PLAIN, COMPARE_BELOW, adx, view->values[1],
                                        hundred_tolerance),
                          2);
}

/* --- averages and volume ------------------------------------------------------ */

struct reading read_close_above_average(const struct condition_view *view)
{
    double mean = value_at(sheet_mean(view->sheet, whole_of(view->values[0])), view->at);
    return close_against(view, "close, against its average", COMPARE_ABOVE, mean);
}

struct reading read_average_rising(const struct condition_view *view)
{
    const double *mean = sheet_mean(view->sheet, whole_of(view->values[0]));
    size_t over = whole_of(view->values[1]);
    if (view->at < over)
        return undefined_reading;
    return level_reading("average of the close, against some bars ago", READING_PRICE,
                         COMPARE_ABOVE, value_at(mean, view->at), value_at(mean, view->at - over),
                         view->tolerance);
}

struct reading read_volume_above_average(const struct condition_view *view)
{
    double mean = value_at(sheet_column(view->sheet, MEASURE_AVERAGE_VOLUME, view->values[0], 0, 0),
                           view->at);
    double volume = bars_of(view)->volume[view->at];
    bool enough = view->at + 1 >= whole_of(view->values[0]);
    if (isnan(volume) || (enough && isnan(mean)))
        return untold_reading("the volume is not known");
    if (mean == 0)
        return untold_reading("these bars have no volume");
    return (struct reading){.name = "volume",
                            .unit = "averages",
                            .comparison = COMPARE_ABOVE,
                            .value = volume / mean,
                            .limit = view->values[1],
                            .parameter = 2,
                            .met = above(volume, view->values[1] * mean, 0)};
}
