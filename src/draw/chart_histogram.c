#include "base/array.h"
#include "draw/chart_parts.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FEWEST_CLASSES = 5, MOST_CLASSES = 80 };

static const double MARK_ROW = 15;
static const double APART = 0.005; /* so near to the value set apart is that value */

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* The least of 1, 2, 5 times a power of ten that is not below `least`. */
static double round_up(double least)
{
    static const double leads[] = {1, 2, 5};
    double power = pow(10, floor(log10(least)));
    for (size_t i = 0; i < 3; i++)
        if (leads[i] * power >= least * (1 - 1e-9))
            return leads[i] * power;
    return 10 * power;
}

/* Freedman & Diaconis 1981: twice the distance of the quartiles over the cube
 * root of the number. */
static double class_width(const double *sorted, size_t count)
{
    double span = sorted[count - 1] - sorted[0];
    double quartiles = sorted[count - 1 - count / 4] - sorted[count / 4];
    double size = fmax(fabs(sorted[0]), fabs(sorted[count - 1]));
    if (!(span > size * 1e-12))
        return round_up(size > 0 ? size * 0.01 : 1);
    double width = 2 * quartiles / cbrt((double)count);
    /* Two heaps far apart fool the quartiles; then the root of the number says
     * how many classes are the fewest. */
    double fewest = fmin(fmax(sqrt((double)count), FEWEST_CLASSES), MOST_CLASSES / 2);
    width = fmin(fmax(width, span / MOST_CLASSES), span / fewest);
    return round_up(width);
}

struct classes {
    double width;
    double first; /* lower edge of the first, in widths */
    size_t counts[MOST_CLASSES * 2 + 4];
    size_t count;
    double apart; /* a value with a column of its own; NaN: none */
    size_t apart_count;
    size_t highest;
};

/* A width of at most 1, so that the value set apart and every whole number are
 * edges, unless that took more classes than can be shown. */
static double width_of(const double *sorted, size_t count, double apart)
{
    double width = class_width(sorted, count);
    return width > 1 && !isnan(apart) && sorted[count - 1] - sorted[0] <= MOST_CLASSES ? 1 : width;
}

static void fill_classes(struct classes *classes, const double *sorted, size_t count, double apart)
{
    *classes = (struct classes){.width = width_of(sorted, count, apart), .apart = apart};
    if (classes->width > 1)
        classes->apart = NAN;
    classes->first = floor(sorted[0] / classes->width + 1e-9);
    for (size_t i = 0; i < count; i++) {
        if (fabs(sorted[i] - classes->apart) <= APART) {
            classes->apart_count++;
            continue;
        }
        double number = floor(sorted[i] / classes->width + 1e-9) - classes->first;
        size_t at = (size_t)fmin(fmax(number, 0), MOST_CLASSES * 2 + 3);
        classes->counts[at]++;
        classes->count = at + 1;
        if (classes->counts[at] > classes->highest)
            classes->highest = classes->counts[at];
    }
    if (classes->apart_count > classes->highest)
        classes->highest = classes->apart_count;
}

/* On whole units, and never so narrow or low that it vanishes. */
static void draw_column(const struct chart *chart, const struct pane *pane, double left,
                        double right, size_t count, bool filled)
{
    if (count == 0)
        return;
    struct box bar = {.left = round(left), .bottom = round(pane->box.bottom)};
    bar.right = fmax(round(right) - 1, bar.left + 1);
    bar.top = fmin(round(pane_y(pane, (double)count)), bar.bottom - 1);
    picture_rectangle(chart->picture, LAYER_MARKS, INK_MAIN, (struct pen){0}, bar);
    if (!filled && bar.right - bar.left > 2 && bar.bottom - bar.top > 1)
        picture_rectangle(chart->picture, LAYER_MARKS, INK_PAPER, (struct pen){0},
                          (struct box){bar.left + 1, bar.top + 1, bar.right - 1, bar.bottom});
    picture_block(chart->picture, bar);
}

/* Half the width of the column set apart, in units; its neighbours make room. */
static double half_apart(const struct pane *pane, const struct classes *classes)
{
    double width = pane_x(pane, classes->width) - pane_x(pane, 0);
    return classes->apart_count > 0 ? fmin(fmax(width / 4, 2), 8) : 0;
}

static void draw_classes(const struct chart *chart, const struct pane *pane,
                         const struct classes *classes, double split)
{
    double half = half_apart(pane, classes);
    for (size_t i = 0; i < classes->count; i++) {
        double low = (classes->first + (double)i) * classes->width;
        double left = pane_x(pane, low);
        double right = pane_x(pane, low + classes->width);
        if (fabs(low - classes->apart) < APART)
            left += half;
        if (fabs(low + classes->width - classes->apart) < APART)
            right -= half;
        draw_column(chart, pane, left, right, classes->counts[i], low + classes->width / 2 < split);
    }
    if (classes->apart_count > 0) {
        double x = pane_x(pane, classes->apart);
        draw_column(chart, pane, x - half, x + half, classes->apart_count, classes->apart < split);
    }
}

/* The leftmost mark stands highest: its words pass over the rules of the
 * others, which begin farther down. */
static size_t rank_of(const struct chart_mark *marks, size_t count, size_t mark)
{
    size_t rank = 0;
    for (size_t i = 0; i < count; i++)
        rank += marks[i].value < marks[mark].value ||
                (i < mark && marks[i].value == marks[mark].value);
    return rank;
}

static size_t copy_finite(double *sorted, const double *values, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++)
        if (isfinite(values[i]))
            sorted[kept++] = values[i];
    if (kept > 0)
        qsort(sorted, kept, sizeof *sorted, ascending);
    return kept;
}

void chart_histogram(const struct chart *chart, const struct chart_values *values,
                     const struct chart_mark *marks, size_t mark_count)
{
    double *sorted = array_new(values->count, sizeof *sorted);
    size_t kept = sorted != NULL ? copy_finite(sorted, values->values, values->count) : 0;
    if (kept == 0) {
        chart_empty(chart);
        free(sorted);
        return;
    }
    struct classes classes;
    fill_classes(&classes, sorted, kept, values->apart);
    free(sorted);
    struct chart_range range = {classes.first * classes.width,
                                (classes.first + (double)classes.count) * classes.width};
    for (size_t i = 0; i < mark_count; i++)
        chart_range_add(&range, marks[i].value);
    if (classes.apart_count > 0) { /* half of its column lies beyond an edge */
        chart_range_add(&range, classes.apart - classes.width / 2);
        chart_range_add(&range, classes.apart + classes.width / 2);
    }
    struct pane pane = chart_pane(chart, range.low, range.high, 0, (double)classes.highest, 0);
    /* Words of the marks stand above the bars, each in a row of its own. */
    double rows = (double)mark_count * MARK_ROW;
    double height = pane.box.bottom - pane.box.top;
    pane.high *= height / fmax(height - rows, height / 3);
    chart_axes(chart, &pane, true);
    draw_classes(chart, &pane, &classes, values->split);
    for (size_t i = 0; i < mark_count; i++)
        chart_mark_x(chart, &pane, &marks[i],
                     pane.box.top + AXIS_SIZE + MARK_ROW * (double)rank_of(marks, mark_count, i));
}
