#include "report/plot.h"

#include "base/array.h"
#include "draw/pane.h"
#include "draw/picture.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdlib.h>

enum { LABEL_SIZE = 12, MARGIN = 12, ROW_HEIGHT = 22, PANE_HEIGHT = 220, LABEL_ROOM = 210 };

static const struct pen no_pen = {INK_MAIN, 0, DASH_NONE};

static struct picture *begin(const struct plot *plot, double height)
{
    struct picture *picture = picture_new(plot->typesetter, plot->width, height, plot->prefix);
    if (picture != NULL)
        picture_describe(picture, plot->title, plot->description);
    return picture;
}

static int finish(struct picture *picture, const struct plot *plot, struct text *svg,
                  struct error *error)
{
    int code = picture == NULL ? error_memory(error)
                               : picture_write(picture, plot->theme, svg, error);
    picture_free(picture);
    return code;
}

static void word(struct picture *picture, const char *text, enum ink ink, enum priority priority,
                 double x, double y, enum align align)
{
    picture_word(picture, text, (struct type){FACE_REGULAR, LABEL_SIZE}, ink, priority,
                 (struct spot){x, y, align}, 0);
}

/* Ticks below the pane: values run to the right here. */
static void value_axis_below(struct picture *picture, const struct pane *pane, const char *unit)
{
    char text[TICK_TEXT_SIZE];
    struct value_ticks ticks = value_ticks(pane->first, pane->last, 8, 0);
    const struct pen hairline = {INK_FAINT, 1, DASH_NONE};
    for (size_t i = 0; i < ticks.count; i++) {
        double x = pane_x(pane, value_tick(&ticks, i));
        picture_line(picture, LAYER_GROUND, hairline, x, pane->box.top, x, pane->box.bottom);
        value_tick_text(&ticks, i, text);
        word(picture, text, INK_SOFT, PRIORITY_AXIS, x, pane->box.bottom + 16, ALIGN_MIDDLE);
    }
    if (unit != NULL)
        word(picture, unit, INK_SOFT, PRIORITY_NOTE, (pane->box.left + pane->box.right) / 2,
             pane->box.bottom + 34, ALIGN_MIDDLE);
}

/* The range of the axis: all values and intervals, and the reference. */
static void fit_rows(struct pane *pane, const struct plot_row *rows, size_t count, double reference)
{
    double low = reference;
    double high = reference;
    for (size_t i = 0; i < count; i++) {
        const double values[] = {rows[i].value, rows[i].low, rows[i].high};
        widen_range(values, 0, 3, &low, &high);
    }
    double room = high > low ? 0.06 * (high - low) : 1;
    pane->first = low - room;
    pane->last = high + room;
}

static void draw_row(struct picture *picture, const struct pane *pane, const struct plot_row *row,
                     double y)
{
    enum ink ink = row->faint ? INK_SOFT : INK_BLUE;
    picture_word(picture, row->label, (struct type){FACE_REGULAR, LABEL_SIZE},
                 row->faint ? INK_SOFT : INK_MAIN, PRIORITY_TABLE,
                 (struct spot){pane->box.left - 10, y + 4, ALIGN_END}, LABEL_ROOM);
    if (isfinite(row->low) && isfinite(row->high))
        picture_line(picture, LAYER_MARKS, (struct pen){ink, row->faint ? 1.5 : 3, DASH_NONE},
                     pane_x(pane, row->low), y, pane_x(pane, row->high), y);
    if (isfinite(row->value))
        picture_circle(picture, LAYER_OVER, row->faint ? INK_PAPER : INK_MAIN,
                       (struct pen){INK_MAIN, 1.5, DASH_NONE}, pane_x(pane, row->value), y, 4);
}

int plot_intervals(struct text *svg, const struct plot *plot, const struct plot_row *rows,
                   size_t count, double reference, struct error *error)
{
    double height = MARGIN + (double)count * ROW_HEIGHT + 48;
    struct picture *picture = begin(plot, height);
    struct pane pane = {.box = {LABEL_ROOM + MARGIN + 10, MARGIN, plot->width - 2 * MARGIN,
                                MARGIN + (double)count * ROW_HEIGHT}};
    if (picture == NULL)
        return error_memory(error);
    fit_rows(&pane, rows, count, reference);
    value_axis_below(picture, &pane, plot->unit);
    double x = pane_x(&pane, reference);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_MAIN, 1, DASH_SHORT}, x, pane.box.top, x,
                 pane.box.bottom);
    for (size_t i = 0; i < count; i++)
        draw_row(picture, &pane, &rows[i], pane.box.top + ((double)i + 0.5) * ROW_HEIGHT);
    return finish(picture, plot, svg, error);
}

enum { MOST_CLASSES = 60 };

/* Classes of 1, 2 or 5 times a power of ten, some 20 to 40 of them. */
static size_t count_classes(const double *values, size_t count, struct pane *pane, double *width,
                            double classes[MOST_CLASSES])
{
    double low = INFINITY;
    double high = -INFINITY;
    widen_range(values, 0, count, &low, &high);
    struct value_ticks ticks = value_ticks(low, high, MOST_CLASSES / 2 - 2, 0);
    *width = ticks.count > 1 ? ticks.step : 1;
    double first = floor(low / *width) * *width;
    size_t used = (size_t)fmin(floor((high - first) / *width) + 1, MOST_CLASSES);
    for (size_t c = 0; c < used; c++)
        classes[c] = 0;
    for (size_t i = 0; i < count; i++) {
        double place = floor((values[i] - first) / *width + 1e-9);
        classes[(size_t)fmin(fmax(place, 0), (double)used - 1)]++;
    }
    pane->first = first;
    pane->last = first + (double)used * *width;
    return used;
}

int plot_histogram(struct text *svg, const struct plot *plot, const double *values, size_t count,
                   double mark, const char *mark_words, struct error *error)
{
    double classes[MOST_CLASSES];
    double width = 1;
    double most = 1;
    struct picture *picture = begin(plot, PANE_HEIGHT + 2 * MARGIN + 44);
    struct pane pane = {.box = {60, 2 * MARGIN + 8, plot->width - 2 * MARGIN,
                                MARGIN + PANE_HEIGHT}};
    if (picture == NULL)
        return error_memory(error);
    size_t used = count > 0 ? count_classes(values, count, &pane, &width, classes) : 0;
    for (size_t c = 0; c < used; c++)
        most = fmax(most, classes[c]);
    pane.low = 0;
    pane.high = most * 1.05;
    pane_value_axis(picture, &pane, &(struct value_axis){6, 1, true, "trades"});
    value_axis_below(picture, &pane, plot->unit);
    for (size_t c = 0; c < used; c++) {
        double left = pane_x(&pane, pane.first + (double)c * width);
        double right = pane_x(&pane, pane.first + (double)(c + 1) * width);
        struct box box = {left + 0.5, pane_y(&pane, classes[c]), right - 0.5, pane.box.bottom};
        if (classes[c] > 0)
            picture_rectangle(picture, LAYER_MARKS, INK_BLUE, no_pen, box);
    }
    if (isfinite(mark) && used > 0) {
        double x = pane_x(&pane, mark);
        picture_line(picture, LAYER_OVER, (struct pen){INK_MAIN, 1.5, DASH_NONE}, x,
                     pane.box.top - 4, x, pane.box.bottom);
        word(picture, mark_words, INK_MAIN, PRIORITY_ORDER, x, pane.box.top - 8, ALIGN_MIDDLE);
    }
    return finish(picture, plot, svg, error);
}

int plot_cumulated(struct text *svg, const struct plot *plot, const double *values, size_t count,
                   struct error *error)
{
    struct picture *picture = begin(plot, PANE_HEIGHT + 2 * MARGIN + 44);
    struct pane pane = {.box = {60, 2 * MARGIN + 8, plot->width - 2 * MARGIN,
                                MARGIN + PANE_HEIGHT},
                        .first = 0,
                        .last = (double)count};
    double *sums = array_new(count + 1, sizeof *sums);
    double low = 0;
    double high = 0;
    if (picture == NULL || sums == NULL) {
        picture_free(picture);
        free(sums);
        return error_memory(error);
    }
    sums[0] = 0;
    for (size_t i = 0; i < count; i++)
        sums[i + 1] = sums[i] + values[i];
    widen_range(sums, 0, count + 1, &low, &high);
    pane_fit(&pane, low, high, 0.05);
    pane_value_axis(picture, &pane, &(struct value_axis){7, 0, true, "R"});
    value_axis_below(picture, &pane, plot->unit);
    /* Points stand at whole numbers of trades: bar i has its middle at i + 0.5. */
    pane.first += 0.5;
    pane.last += 0.5;
    pane_curve(picture, &pane, LAYER_MARKS, (struct pen){INK_BLUE, 2, DASH_NONE}, sums, 0,
               count + 1);
    free(sums);
    return finish(picture, plot, svg, error);
}
