/* The figures of a report: intervals, a histogram, a cumulated line. Each is
 * one SVG element with title and description. */
#ifndef RUSHLIGHT_REPORT_PLOT_H
#define RUSHLIGHT_REPORT_PLOT_H

#include "base/error.h"
#include "base/text.h"
#include "draw/theme.h"
#include "draw/typesetter.h"

#include <stdbool.h>
#include <stddef.h>

/* What all figures have in common. */
struct plot {
    struct typesetter *typesetter;
    enum theme theme;
    const char *prefix;      /* of ids: unique in the document */
    const char *title;       /* for a screen reader */
    const char *description;
    const char *unit;        /* below the axis */
    double width;
};

/* One row of an interval plot; low and high may be NaN: no interval. */
struct plot_row {
    const char *label;
    double value; /* NaN: the row is drawn empty */
    double low;
    double high;
    bool faint;   /* too little behind it to be read like the others */
};

/* Rows from the top down, a dot at each value, a bar over its interval, a
 * hairline through all at `reference`. */
int plot_intervals(struct text *svg, const struct plot *plot, const struct plot_row *rows,
                   size_t count, double reference, struct error *error);

/* How often each value came, in classes of equal width, with a rule at `mark`
 * (NaN: none) and the words that belong to it. */
int plot_histogram(struct text *svg, const struct plot *plot, const double *values, size_t count,
                   double mark, const char *mark_words, struct error *error);

/* The running sum of the values, which starts at 0, over their number. */
int plot_cumulated(struct text *svg, const struct plot *plot, const double *values, size_t count,
                   struct error *error);

#endif
