/* What all charts share. Private to the charts. */
#ifndef RUSHLIGHT_DRAW_CHART_PARTS_H
#define RUSHLIGHT_DRAW_CHART_PARTS_H

#include "draw/chart.h"

extern const struct type CHART_TYPE;

/* The pane that the axes of a chart leave over these ranges, with some air (a
 * y_low of exactly 0 stays the edge). `left` > 0: that much room for names of
 * rows instead of an upright axis. */
struct pane chart_pane(const struct chart *chart, double x_low, double x_high, double y_low,
                       double y_high, double left);
/* Draws the axes round it; bands go before. `numbers`: the upright one, too. */
void chart_axes(const struct chart *chart, const struct pane *pane, bool numbers);
/* A range grown by finite values only; begins as INFINITY, -INFINITY. */
struct chart_range {
    double low, high;
};
struct chart_range chart_range_none(void);
void chart_range_add(struct chart_range *range, double value);
bool chart_range_empty(const struct chart_range *range);
/* "nothing to show", in the middle. */
void chart_empty(const struct chart *chart);

/* A rule across the pane at a value of x, from the baseline y of its words
 * down, or at a value of y, with its words. */
void chart_mark_x(const struct chart *chart, const struct pane *pane, const struct chart_mark *mark,
                  double y);
void chart_mark_y(const struct chart *chart, const struct pane *pane,
                  const struct chart_mark *mark);

/* x of the i-th point where x may be NULL. */
double chart_x(const double *x, size_t i);
/* A line through the points, thinned to what can be told apart. */
void chart_polyline(const struct chart *chart, const struct pane *pane, struct pen pen,
                    const double *x, const double *y, size_t count);
void chart_band(const struct chart *chart, const struct pane *pane, enum ink fill, const double *x,
                const double *low, const double *high, size_t count);
/* A word with several places to stand. */
void chart_word(const struct chart *chart, const char *text, enum ink ink, double x, double y,
                bool above);

#endif
