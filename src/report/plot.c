#include "report/plot.h"

#include "draw/pane.h"
#include "draw/ticks.h"

#include <math.h>

enum {
    LABEL_SIZE = 12,
    MARGIN = 12,
    ROW_HEIGHT = 22,
    AXIS_ROOM = 40,
    LABEL_ROOM = 210,
    PANE_HEIGHT = 220,
    MARK_ROOM = 24
};

static const struct pen no_pen = {INK_MAIN, 0, DASH_NONE};

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
    word(picture, unit, INK_SOFT, PRIORITY_NOTE, (pane->box.left + pane->box.right) / 2,
         pane->box.bottom + 34, ALIGN_MIDDLE);
}

double plot_intervals_height(size_t count)
{
    return (double)count * ROW_HEIGHT + AXIS_ROOM;
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

void plot_intervals(struct picture *picture, struct box box, const char *unit,
                    const struct plot_row *rows, size_t count, double reference)
{
    struct pane pane = {.box = {box.left + LABEL_ROOM + 10, box.top, box.right - MARGIN,
                                box.top + (double)count * ROW_HEIGHT}};
    fit_rows(&pane, rows, count, reference);
    value_axis_below(picture, &pane, unit);
    double x = pane_x(&pane, reference);
    picture_line(picture, LAYER_MARKS, (struct pen){INK_MAIN, 1, DASH_SHORT}, x, pane.box.top, x,
                 pane.box.bottom);
    for (size_t i = 0; i < count; i++)
        draw_row(picture, &pane, &rows[i], pane.box.top + ((double)i + 0.5) * ROW_HEIGHT);
}

double plot_height(void)
{
    return MARK_ROOM + PANE_HEIGHT + AXIS_ROOM;
}

static struct pane plain_pane(struct box box)
{
    return (struct pane){.box = {box.left + 48, box.top + MARK_ROOM, box.right - MARGIN,
                                 box.top + MARK_ROOM + PANE_HEIGHT}};
}

enum { MOST_CLASSES = 60 };

/* Classes of 1, 2 or 5 times a power of ten, no more than there is room for. */
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

void plot_histogram(struct picture *picture, struct box box, const char *unit, const double *values,
                    size_t count, double mark, const char *mark_words)
{
    double classes[MOST_CLASSES];
    double width = 1;
    double most = 1;
    struct pane pane = plain_pane(box);
    size_t used = count > 0 ? count_classes(values, count, &pane, &width, classes) : 0;
    if (used == 0)
        return;
    for (size_t c = 0; c < used; c++)
        most = fmax(most, classes[c]);
    pane.low = 0;
    pane.high = most * 1.05;
    pane_value_axis(picture, &pane, &(struct value_axis){6, 1, true, "trades"});
    value_axis_below(picture, &pane, unit);
    for (size_t c = 0; c < used; c++) {
        double left = pane_x(&pane, pane.first + (double)c * width);
        double right = pane_x(&pane, pane.first + (double)(c + 1) * width);
        struct box column = {left + 0.5, pane_y(&pane, classes[c]), right - 0.5, pane.box.bottom};
        if (classes[c] > 0)
            picture_rectangle(picture, LAYER_MARKS, INK_BLUE, no_pen, column);
    }
    if (isfinite(mark)) {
        double x = pane_x(&pane, mark);
        picture_line(picture, LAYER_OVER, (struct pen){INK_MAIN, 1.5, DASH_NONE}, x,
                     pane.box.top - 4, x, pane.box.bottom);
        word(picture, mark_words, INK_MAIN, PRIORITY_ORDER, x, pane.box.top - 8, ALIGN_MIDDLE);
    }
}

void plot_cumulated(struct picture *picture, struct box box, const char *unit, const double *sums,
                    size_t count)
{
    struct pane pane = plain_pane(box);
    double low = 0;
    double high = 0;
    widen_range(sums, 0, count + 1, &low, &high);
    pane_fit(&pane, low, high, 0.05);
    pane.first = 0;
    pane.last = fmax(1, (double)count);
    pane_value_axis(picture, &pane, &(struct value_axis){7, 0, true, "R"});
    value_axis_below(picture, &pane, unit);
    /* Points stand at whole numbers of trades: bar i has its middle at i + 0.5. */
    pane.first += 0.5;
    pane.last += 0.5;
    pane_curve(picture, &pane, LAYER_MARKS, (struct pen){INK_BLUE, 2, DASH_NONE}, sums, 0,
               count + 1);
}
