#include "sample_chart.h"

#include "base/array.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* The first ones are in Latin, Greek and Cyrillic letters, which Lato has. */
static const char *const names[] =
    {"Lamp tallow",
     "Threeherons Brewing & Daughters, preferred, not convertible",
     "Ломпное сало",
     "Λυχνία της αγοράς",
     "Ağaçkakan Çömlekçiliği",
     "Q",
     "rush-and-reed-and-rush-and-reed-and-rush-and-reed-without-a-single-space-anywhere",
     "Ŵelinżöëšćký łąkå",
     "सरसों का तेल",
     "شمع البحر",
     "נר הביצה",
     "灯芯草"};

enum { LATIN_NAMES = 7 };

static size_t name_count = sizeof names / sizeof *names;

const char *sample_name(struct random_stream *stream)
{
    return names[random_below(stream, name_count)];
}

void sample_names_latin(void)
{
    name_count = LATIN_NAMES;
}

static double *draw_values(struct random_stream *stream, size_t count, double middle, double scale)
{
    double *values = array_new(count, sizeof *values);
    for (size_t i = 0; values != NULL && i < count; i++)
        values[i] = middle + scale * random_normal(stream);
    return values;
}

/* R of trades: most lose 1, some win 2.5. */
static double *draw_results(struct random_stream *stream, size_t count, double scale)
{
    double *values = array_new(count, sizeof *values);
    for (size_t i = 0; values != NULL && i < count; i++)
        values[i] = scale * (random_unit(stream) < 0.35
                                 ? 2.5 - 0.3 * random_unit(stream)
                                 : -1 + 0.5 * random_unit(stream) * random_unit(stream));
    return values;
}

static void draw_histogram(const struct chart *chart, struct random_stream *stream, size_t size,
                           double scale)
{
    double *values = draw_results(stream, size, scale);
    const struct chart_mark marks[] = {{0.17 * scale, "mean +0.17", INK_ACCENT},
                                       {0, "nothing won, nothing lost", INK_SOFT},
                                       {-0.72 * scale, sample_name(stream), INK_BLUE}};
    if (values != NULL)
        chart_histogram(chart, &(struct chart_values){values, size, 0, -1}, marks, 3);
    free(values);
}

static void draw_cumulated(const struct chart *chart, struct random_stream *stream, size_t size,
                           double scale)
{
    double *values = draw_results(stream, size, scale);
    double *low = array_new(size, sizeof *low);
    double *high = array_new(size, sizeof *high);
    for (size_t i = 0; low != NULL && high != NULL && i < size; i++) {
        low[i] = scale * (0.1 * (double)i - 3.2 * sqrt((double)i + 1));
        high[i] = scale * (0.1 * (double)i + 3.2 * sqrt((double)i + 1));
    }
    const struct chart_mark mark = {0, "break even", INK_SOFT};
    if (values != NULL && low != NULL && high != NULL)
        chart_cumulated(chart,
                        &(struct chart_line){.y = values,
                                             .count = size,
                                             .cumulate = true,
                                             .low = low,
                                             .high = high,
                                             .band_words = "19 of 20 paths"},
                        &mark, 1);
    free(values);
    free(low);
    free(high);
}

static void draw_scatter(const struct chart *chart, struct random_stream *stream, size_t size,
                         double scale)
{
    double *x = draw_values(stream, size, 0, scale);
    double *y = draw_values(stream, size, 0, scale);
    bool *marked = array_new(size, sizeof *marked);
    for (size_t i = 0; x != NULL && y != NULL && marked != NULL && i < size; i++) {
        y[i] = 0.5 * x[i] + 0.8 * y[i];
        marked[i] = random_unit(stream) < 0.08;
    }
    if (x != NULL && y != NULL && marked != NULL)
        chart_scatter(chart, x, y, marked, size);
    free(x);
    free(y);
    free(marked);
}

static void draw_intervals(const struct chart *chart, struct random_stream *stream, size_t size,
                           double scale)
{
    enum { MOST = 14 };
    struct chart_row rows[MOST];
    size_t count = 3 + size % (MOST - 2);
    for (size_t i = 0; i < count; i++) {
        double half = scale * (0.1 + 0.4 * random_unit(stream));
        double value = scale * 0.3 * random_normal(stream);
        rows[i] = (struct chart_row){sample_name(stream), value, value - half, value + half,
                                     random_unit(stream) < 0.2};
        if (random_unit(stream) < 0.1)
            rows[i].low = rows[i].high = NAN;
    }
    chart_intervals(chart, rows, count, 0, scale < 0.01 ? 6 : 2);
}

static void draw_strips(const struct chart *chart, struct random_stream *stream, size_t size,
                        double scale)
{
    enum { MOST = 8 };
    struct chart_strip strips[MOST];
    double *values[MOST];
    size_t count = 2 + size % (MOST - 1);
    for (size_t i = 0; i < count; i++) {
        size_t length = 1 + size / count;
        values[i] = draw_results(stream, length, scale);
        strips[i] = (struct chart_strip){sample_name(stream), values[i],
                                         values[i] != NULL ? length : 0};
    }
    chart_strips(chart, strips, count);
    for (size_t i = 0; i < count; i++)
        free(values[i]);
}

static void draw_map(const struct chart *chart, struct random_stream *stream, size_t size,
                     double scale)
{
    enum { MOST = 12 };
    const char *rows[MOST];
    static const char *const columns[MOST] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                              "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    double values[MOST * MOST];
    size_t across = 2 + size % (MOST - 1);
    size_t down = 2 + size / 3 % (MOST - 1);
    for (size_t i = 0; i < down; i++)
        rows[i] = sample_name(stream);
    for (size_t i = 0; i < across * down; i++)
        values[i] = random_unit(stream) < 0.05 ? NAN : scale * random_normal(stream);
    chart_map(chart,
              &(struct chart_map){values, rows, columns, down, across, scale < 0.01 ? 6 : 2});
}

static void draw_reliability(const struct chart *chart, struct random_stream *stream, size_t size,
                             double scale)
{
    enum { BINS = 10 };
    struct chart_bin bins[BINS];
    (void)scale;
    for (size_t i = 0; i < BINS; i++) {
        double forecast = ((double)i + 0.5) / BINS;
        double observed = fmin(fmax(forecast + 0.08 * random_normal(stream), 0), 1);
        size_t cases = 1 + random_below(stream, size + 1);
        double half = 1 / sqrt((double)cases + 4);
        bins[i] = (struct chart_bin){forecast, observed, observed - half, observed + half, cases};
    }
    chart_reliability(chart, bins, BINS);
}

static void draw_fan(const struct chart *chart, struct random_stream *stream, size_t size,
                     double scale)
{
    enum { LEVELS = 5 };
    static const double levels[LEVELS] = {0.05, 0.25, 0.5, 0.75, 0.95};
    static const double normal[LEVELS] = {-1.645, -0.674, 0, 0.674, 1.645};
    size_t count = 2 + size % 300;
    double *values = array_new(count * LEVELS, sizeof *values);
    double *actual = array_new(count, sizeof *actual);
    double sum = 0;
    for (size_t i = 0; values != NULL && actual != NULL && i < count; i++) {
        sum += scale * (0.1 + 1.4 * random_normal(stream));
        actual[i] = sum;
        for (size_t k = 0; k < LEVELS; k++)
            values[k * count + i] = scale * (0.1 * (double)(i + 1) +
                                             1.4 * normal[k] * sqrt((double)(i + 1)));
    }
    if (values != NULL && actual != NULL)
        chart_fan(chart, &(struct chart_fan){.count = count,
                                             .levels = levels,
                                             .level_count = LEVELS,
                                             .values = values,
                                             .actual = actual,
                                             .actual_count = count * 2 / 3});
    free(values);
    free(actual);
}

const struct sample_chart sample_charts[] = {
    {"histogram", draw_histogram, "R after costs", "trades in each class"},
    {"cumulated", draw_cumulated, "trades, in order of exit", "R, summed up"},
    {"scatter", draw_scatter, "excursion against, R", "excursion in favour, R"},
    {"intervals", draw_intervals, "mean R, with intervals of 95 %", NULL},
    {"strips", draw_strips, "R after costs; diamonds: means", NULL},
    {"map", draw_map, "squares: size of the mean R; filled: above 0", "mean R"},
    {"reliability", draw_reliability, "said to be likely", "came, as a share"},
    {"fan", draw_fan, "next trades", "R, summed up"},
    {NULL, NULL, NULL, NULL},
};
