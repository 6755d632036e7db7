/* The columns that strips and curves of a chart window are drawn from. */
#include "figures/chart_parts.h"

#include <stdio.h>

static double usual(double value, double missing)
{
    return value > 0 ? value : missing;
}

/* The measure's own usual number in place of 0. */
static double usual_of(enum measure_id measure, size_t index, double value)
{
    if (value != 0 || index >= parameter_count(measures[measure].parameters))
        return value;
    return measures[measure].parameters[index].missing;
}

const double *window_curve_column(struct sheet *sheet, const struct window_curve *curve)
{
    return sheet_column(sheet, curve->measure, usual_of(curve->measure, 0, curve->a),
                        usual_of(curve->measure, 1, curve->b),
                        usual_of(curve->measure, 2, curve->c));
}

static void rsi_columns(struct sheet *sheet, const struct window_strip *strip,
                        struct window_columns *columns)
{
    double length = usual(strip->a, 14);
    double average = usual(strip->b, 9);
    columns->main = sheet_rsi(sheet, (size_t)length);
    columns->other = sheet_column(sheet, MEASURE_RSI_AVERAGE, length, average, 0);
    snprintf(columns->name, sizeof columns->name, "RSI(%g), and its average of %g, broken line",
             length, average);
}

static void macd_columns(struct sheet *sheet, const struct window_strip *strip,
                         struct window_columns *columns)
{
    double fast = usual(strip->a, 12);
    double slow = usual(strip->b, 26);
    double signal = usual(strip->c, 9);
    columns->main = sheet_column(sheet, MEASURE_MACD, fast, slow, 0);
    columns->other = sheet_column(sheet, MEASURE_MACD_SIGNAL, fast, slow, signal);
    columns->differences = sheet_column(sheet, MEASURE_MACD_HISTOGRAM, fast, slow, signal);
    snprintf(columns->name, sizeof columns->name,
             "MACD(%g, %g), its signal of %g, broken line, and their difference, columns", fast,
             slow, signal);
}

static void stochastic_columns(struct sheet *sheet, const struct window_strip *strip,
                               struct window_columns *columns)
{
    double length = usual(strip->a, 14);
    double smooth = usual(strip->b, 3);
    double average = usual(strip->c, 3);
    columns->main = sheet_column(sheet, MEASURE_STOCHASTIC_SMOOTH, length, smooth, 0);
    columns->other = sheet_column(sheet, MEASURE_STOCHASTIC, length, smooth, average);
    snprintf(columns->name, sizeof columns->name,
             "stochastic(%g, %g), and its average of %g, broken line", length, smooth, average);
}

static void adx_columns(struct sheet *sheet, const struct window_strip *strip,
                        struct window_columns *columns)
{
    double length = usual(strip->a, 14);
    columns->main = sheet_column(sheet, MEASURE_ADX, length, 0, 0);
    columns->other = sheet_column(sheet, MEASURE_DIRECTIONAL_UP, length, 0, 0);
    columns->third = sheet_column(sheet, MEASURE_DIRECTIONAL_DOWN, length, 0, 0);
    snprintf(columns->name, sizeof columns->name,
             "ADX(%g); movement up, broken line, and down, dotted", length);
}

struct window_columns window_columns_of(struct sheet *sheet, const struct window_strip *strip)
{
    struct window_columns columns = {.name = ""};
    switch (strip->kind) {
    case WINDOW_PRICE:
    case WINDOW_VOLUME:
        columns.differences = sheet_bars(sheet)->volume;
        snprintf(columns.name, sizeof columns.name, "volume");
        break;
    case WINDOW_RSI: rsi_columns(sheet, strip, &columns); break;
    case WINDOW_MACD: macd_columns(sheet, strip, &columns); break;
    case WINDOW_STOCHASTIC: stochastic_columns(sheet, strip, &columns); break;
    case WINDOW_ADX: adx_columns(sheet, strip, &columns); break;
    }
    return columns;
}
