/* The figures of a report: intervals, a histogram, a cumulated line, each drawn
 * into a box of a picture. */
#ifndef RUSHLIGHT_REPORT_PLOT_H
#define RUSHLIGHT_REPORT_PLOT_H

#include "draw/picture.h"

#include <stdbool.h>
#include <stddef.h>

/* One row of an interval plot; low and high may be NaN: no interval. */
struct plot_row {
    const char *label;
    double value; /* NaN: the row is drawn empty */
    double low;
    double high;
    bool faint; /* too little behind it to be read like the others */
};

/* The height that a plot of so many rows wants, axis and unit included. */
double plot_intervals_height(size_t count);
/* Rows from the top down, a dot at each value, a bar over its interval, a
 * dashed line through all at `reference`; `unit` stands below the axis. */
void plot_intervals(struct picture *picture, struct box box, const char *unit,
                    const struct plot_row *rows, size_t count, double reference);

/* The height of the other two. */
double plot_height(void);
/* How often each value came, in classes of equal width, with a rule at `mark`
 * (NaN: none) and the words that belong to it. */
void plot_histogram(struct picture *picture, struct box box, const char *unit, const double *values,
                    size_t count, double mark, const char *mark_words);
/* The running sums 0, sums[1] … sums[count] over their number. */
void plot_cumulated(struct picture *picture, struct box box, const char *unit, const double *sums,
                    size_t count);

#endif
