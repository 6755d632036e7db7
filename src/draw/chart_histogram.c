#include "base/array.h"
#include "draw/chart_parts.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FEWEST_CLASSES = 5, MOST_CLASSES = 80 };

static const double MARK_ROW = 15;

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
    size_t highest;
};

static void fill_classes(struct classes *classes, const double *sorted, size_t count)
{
    *classes = (struct classes){.width = class_width(sorted, count)};
    classes->first = floor(sorted[0] / classes->width + 1e-9);
    for (size_t i = 0; i < count; i++) {
        double number = floor(sorted[i] / classes->width + 1e-9) - classes->first;
        size_t at = (size_t)fmin(fmax(number, 0), MOST_CLASSES * 2 + 3);
        classes->counts[at]++;
        classes->count = at + 1;
        if (classes->counts[at] > classes->highest)
            classes->highest = classes->counts[at];
    }
}

static void draw_class(const struct chart *chart, const struct pane *pane,
                       const struct classes *classes, size_t i, bool filled)
{
    if (classes->counts[i] == 0)
        return;
    double left = (classes->first + (double)i) * classes->width;
    struct box bar = {pane_x(pane, left) + 0.5, pane_y(pane, (double)classes->counts[i]),
                      pane_x(pane, left + classes->width) - 0.5, pane->box.bottom};
    picture_rectangle(chart->picture, LAYER_BARS, INK_MAIN, (struct pen){0}, bar);
    if (!filled && bar.right - bar.left > 2 && bar.bottom - bar.top > 1)
        picture_rectangle(chart->picture, LAYER_BARS, INK_PAPER, (struct pen){0},
                          (struct box){bar.left + 1, bar.top + 1, bar.right - 1, bar.bottom});
    picture_block(chart->picture, bar);
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

void chart_histogram(const struct chart *chart, const double *values, size_t count, double split,
                     const struct chart_mark *marks, size_t mark_count)
{
    double *sorted = array_new(count, sizeof *sorted);
    size_t kept = sorted != NULL ? copy_finite(sorted, values, count) : 0;
    if (kept == 0) {
        chart_empty(chart);
        free(sorted);
        return;
    }
    struct classes classes;
    fill_classes(&classes, sorted, kept);
    free(sorted);
    struct chart_range range = {classes.first * classes.width,
                                (classes.first + (double)classes.count) * classes.width};
    for (size_t i = 0; i < mark_count; i++)
        chart_range_add(&range, marks[i].value);
    struct pane pane = chart_pane(chart, range.low, range.high, 0, (double)classes.highest, 0);
    /* Words of the marks stand above the bars, each in a row of its own. */
    double rows = (double)mark_count * MARK_ROW;
    double height = pane.box.bottom - pane.box.top;
    pane.high *= height / fmax(height - rows, height / 3);
    chart_axes(chart, &pane, true);
    for (size_t i = 0; i < classes.count; i++) {
        double middle = (classes.first + (double)i + 0.5) * classes.width;
        draw_class(chart, &pane, &classes, i, middle < split);
    }
    for (size_t i = 0; i < mark_count; i++)
        chart_mark_x(chart, &pane, &marks[i],
                     pane.box.top + AXIS_SIZE + MARK_ROW * (double)rank_of(marks, mark_count, i));
}
