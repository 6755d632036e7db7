/* Statistical figures, each drawn into a box of a picture: histogram with
 * marks, cumulated line with band, scatter, interval plot, strip, map of
 * values, reliability figure, fan.
 *
 * Values that are not finite are left out. What is hollow or filled, dashed or
 * dotted, or said in words, never hangs on a colour. Axes reach over the data
 * and what is marked, no farther than the next bit of air. A chart without a
 * single value says so in its place. */
#ifndef RUSHLIGHT_DRAW_CHART_H
#define RUSHLIGHT_DRAW_CHART_H

#include "draw/pane.h"

struct chart {
    struct picture *picture;
    struct box box;     /* axes and their names included */
    const char *x_name; /* with the unit, "R after costs"; NULL: none */
    const char *y_name;
};

/* A rule at a value, with the words that say what it is. */
struct chart_mark {
    double value;
    const char *words;
    enum ink ink;
};

/* How often values came, in classes of equal width whose edges are round
 * numbers: the width of Freedman & Diaconis 1981 rounded up to 1, 2 or 5
 * times a power of ten. However narrow or low, no column vanishes. */
struct chart_values {
    const double *values;
    size_t count;
    double split; /* classes below are filled, the others hollow; NaN: all hollow */
    double apart; /* a whole number: values within 0.005 of it have a column of
                   * their own, and whole numbers are edges, unless the values
                   * reach over more than 80; NaN: none */
};
void chart_histogram(const struct chart *chart, const struct chart_values *values,
                     const struct chart_mark *marks, size_t mark_count);

/* A line through y[i] at x[i], ascending (x NULL: 1, 2, 3 …), and where `low`
 * and `high` are given the band between them. `cumulate`: y are steps, and
 * the line is their running sum from 0 on. */
struct chart_line {
    const double *x;
    const double *y;
    size_t count;
    bool cumulate;
    const double *low; /* NULL: no band */
    const double *high;
    const char *band_words;
};
void chart_cumulated(const struct chart *chart, const struct chart_line *line,
                     const struct chart_mark *marks, size_t mark_count);

/* Points; those of `marked` (NULL: none) as filled diamonds, the others as
 * hollow rings. Where points lie closer than they can be told apart one is
 * drawn. Hairlines at 0 where the axes pass it. */
void chart_scatter(const struct chart *chart, const double *x, const double *y, const bool *marked,
                   size_t count);

/* Rows from the top down: a dot at each value with a bar over its interval,
 * and both in figures at the right. */
struct chart_row {
    const char *label;
    double value;
    double low, high; /* NaN: no interval */
    bool faint;       /* too little behind it: hollow and dashed */
};
void chart_intervals(const struct chart *chart, const struct chart_row *rows, size_t count,
                     double reference, int decimals);

/* Rows of single values, each a stroke, their mean a diamond below. */
struct chart_strip {
    const char *label;
    const double *values;
    size_t count;
};
void chart_strips(const struct chart *chart, const struct chart_strip *strips, size_t count);

/* A table of values as squares, whose area is their size: filled above 0,
 * hollow below; the figure beneath each where there is room. Row by row. */
struct chart_map {
    const double *values;
    const char *const *row_names;
    const char *const *column_names;
    size_t rows, columns;
    int decimals;
};
void chart_map(const struct chart *chart, const struct chart_map *map);

/* What was said to be likely (0 to 1) against how often it came, with the
 * diagonal, intervals, and the number of cases beside each point. */
struct chart_bin {
    double forecast;
    double observed, low, high;
    size_t cases;
};
void chart_reliability(const struct chart *chart, const struct chart_bin *bins, size_t count);

/* Quantiles of paths: levels ascending and symmetric (0.05, 0.25, 0.5, 0.75,
 * 0.95), values[level * count + i] at x[i]. `actual` (NULL: none) is drawn
 * over them, up to actual_count. */
struct chart_fan {
    const double *x; /* NULL: 1, 2, 3 … */
    size_t count;
    const double *levels;
    size_t level_count;
    const double *values;
    const double *whole_low; /* NULL: none; dashed: whole paths stay between */
    const double *whole_high;
    const double *actual;
    size_t actual_count;
};
void chart_fan(const struct chart *chart, const struct chart_fan *fan);

#endif
