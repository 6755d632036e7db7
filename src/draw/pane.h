/* A pane: a rectangle of a picture in which bars run to the right and values
 * upwards, and the marks that can stand in it. */
#ifndef RUSHLIGHT_DRAW_PANE_H
#define RUSHLIGHT_DRAW_PANE_H

#include "draw/picture.h"

#include <stdint.h>

struct pane {
    struct box box;
    double first;     /* value of the left edge: bar i has the middle i + 0.5 */
    double last;      /* of the right edge */
    double low;       /* of the lower edge */
    double high;      /* of the upper edge */
    bool logarithmic; /* equal ratios take equal room; low is above 0 */
};

/* From values to the picture and back. */
double pane_x(const struct pane *pane, double value);
double pane_y(const struct pane *pane, double value);
double pane_x_value(const struct pane *pane, double x);
double pane_y_value(const struct pane *pane, double y);
/* The middle of a bar. */
double pane_bar_x(const struct pane *pane, size_t bar);
/* Picture units from one bar to the next. */
double pane_step(const struct pane *pane);
/* How many bars are drawn as one: so many that a group takes at least 1.5
 * units. Groups begin at absolute multiples of the bar's number, so that
 * nothing shimmers when the view moves. */
size_t pane_group(const struct pane *pane);

/* Takes the least and greatest of the values first..last-1 that are numbers
 * into *low and *high, which may be infinite to begin with. */
void widen_range(const double *values, size_t first, size_t last, double *low, double *high);
/* Sets the pane's range to low..high and a share of it more on each side; a
 * range that is none becomes one around the value. */
void pane_fit(struct pane *pane, double low, double high, double share);

/* A curve through the middles of the bars, broken where a value is NaN. Where
 * several bars are drawn as one it keeps the least and the greatest value of
 * each group. */
void pane_curve(struct picture *picture, const struct pane *pane, enum layer layer, struct pen pen,
                const double *values, size_t first, size_t last);
/* Thin columns from `base` to each value, none of another value too low to be
 * seen. Not crisp: scaled down, crisp ones would fall between pixels. */
void pane_columns(struct picture *picture, const struct pane *pane, enum ink ink,
                  const double *values, double base, size_t first, size_t last);
/* A rule at a value, from one x of the picture to another. */
void pane_rule(struct picture *picture, const struct pane *pane, enum layer layer, struct pen pen,
               double value, double left, double right);

/* Axes. Numbers stand to the left of the pane, right-aligned at box.left - 6;
 * hairlines at each tick where `hairlines`. */
struct value_axis {
    size_t most; /* ticks at most */
    double grid; /* least step of the values; 0: none */
    bool hairlines;
    bool inside;      /* the numbers stand in the pane, above their rules, where it is narrow */
    const char *unit; /* above the axis; NULL: none */
    double divisor;   /* values are divided by it before they are written; 0: as they are */
};

void pane_value_axis(struct picture *picture, const struct pane *pane,
                     const struct value_axis *axis);
/* Hairlines alone at the same ticks, from one x of the picture to another. */
void pane_value_rules(struct picture *picture, const struct pane *pane,
                      const struct value_axis *axis, double left, double right);
/* Two rows of dates below the pane, the second naming the larger unit once;
 * `clock` are the bars' clock times. */
void pane_time_axis(struct picture *picture, const struct pane *pane, const int64_t *clock,
                    size_t first, size_t last, bool dated);
/* The same for a view that moves: names are wholly in `visible` or wholly
 * outside, and the division is chosen so that it stays while the view moves.
 * Hairlines where the larger unit changes cross the box `ruled`. */
void pane_time_axis_moving(struct picture *picture, const struct pane *pane, const int64_t *clock,
                           size_t first, size_t last, bool dated, const struct box *visible,
                           const struct box *ruled);
/* Hairlines where the larger unit changes, without names. */
void pane_time_rules(struct picture *picture, const struct pane *pane, const int64_t *clock,
                     size_t first, size_t last, bool dated);

enum { AXIS_SIZE = 11 }; /* letters of the axes */

#endif
