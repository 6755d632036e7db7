#include "base/array.h"
#include "draw/chart_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double RADIUS = 2.4;

static void diamond(struct text *path, double x, double y, double size)
{
    path_move(path, x, y - size);
    path_line(path, x + size, y);
    path_line(path, x, y + size);
    path_line(path, x - size, y);
    path_close(path);
}

/* Which cells of 2 by 2 units have a point already, per kind of point. */
struct cells {
    unsigned char *taken;
    size_t across, down;
};

static bool take_cell(struct cells *cells, const struct pane *pane, double x, double y,
                      unsigned char kind)
{
    size_t column = (size_t)fmax((x - pane->box.left) / 2, 0);
    size_t row = (size_t)fmax((y - pane->box.top) / 2, 0);
    if (column >= cells->across || row >= cells->down)
        return true;
    unsigned char *cell = &cells->taken[row * cells->across + column];
    bool free_cell = (*cell & kind) == 0;
    *cell |= kind;
    return free_cell;
}

static void draw_points(const struct chart *chart, const struct pane *pane, const double *x,
                        const double *y, const bool *marked, size_t count, struct cells *cells)
{
    struct text rings;
    struct text diamonds;
    text_init(&rings);
    text_init(&diamonds);
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i]))
            continue;
        bool is_marked = marked != NULL && marked[i];
        double at = pane_x(pane, x[i]);
        double up = pane_y(pane, y[i]);
        if (!take_cell(cells, pane, at, up, is_marked ? 2 : 1))
            continue;
        if (is_marked) {
            diamond(&diamonds, at, up, RADIUS + 1.2);
            continue;
        }
        path_move(&rings, at - RADIUS, up);
        text_append_format(&rings, "a%g %g 0 1 0 %g 0a%g %g 0 1 0 %g 0", RADIUS, RADIUS, 2 * RADIUS,
                           RADIUS, RADIUS, -2 * RADIUS);
    }
    picture_path(chart->picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_MAIN, 0.8, DASH_NONE},
                 &rings);
    picture_path(chart->picture, LAYER_OVER, INK_ACCENT, (struct pen){0}, &diamonds);
    text_free(&rings);
    text_free(&diamonds);
}

static void zero_lines(const struct chart *chart, const struct pane *pane)
{
    struct pen pen = {INK_SOFT, 1, DASH_NONE};
    if (pane->low < 0 && pane->high > 0)
        pane_rule(chart->picture, pane, LAYER_GROUND, pen, 0, pane->box.left, pane->box.right);
    if (pane->first < 0 && pane->last > 0)
        picture_line(chart->picture, LAYER_GROUND, pen, pane_x(pane, 0), pane->box.top,
                     pane_x(pane, 0), pane->box.bottom);
}

void chart_scatter(const struct chart *chart, const double *x, const double *y, const bool *marked,
                   size_t count)
{
    struct chart_range across = chart_range_none();
    struct chart_range up = chart_range_none();
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i]))
            continue;
        chart_range_add(&across, x[i]);
        chart_range_add(&up, y[i]);
    }
    if (chart_range_empty(&across)) {
        chart_empty(chart);
        return;
    }
    struct pane pane = chart_pane(chart, across.low, across.high, up.low, up.high, 0);
    chart_axes(chart, &pane, true);
    struct cells cells = {.across = (size_t)(pane.box.right - pane.box.left) / 2 + 2,
                          .down = (size_t)(pane.box.bottom - pane.box.top) / 2 + 2};
    zero_lines(chart, &pane);
    cells.taken = calloc(cells.across, cells.down);
    if (cells.taken == NULL) {
        chart_empty(chart);
        return;
    }
    draw_points(chart, &pane, x, y, marked, count, &cells);
    free(cells.taken);
}

static void draw_bin(const struct chart *chart, const struct pane *pane,
                     const struct chart_bin *bin)
{
    if (!isfinite(bin->forecast) || !isfinite(bin->observed))
        return;
    char cases[32];
    double x = pane_x(pane, bin->forecast);
    double y = pane_y(pane, bin->observed);
    struct pen pen = {INK_MAIN, 1.2, DASH_NONE};
    if (isfinite(bin->low) && isfinite(bin->high))
        picture_line(chart->picture, LAYER_MARKS, pen, x, pane_y(pane, fmax(bin->low, 0)), x,
                     pane_y(pane, fmin(bin->high, 1)));
    picture_circle(chart->picture, LAYER_OVER, INK_MAIN, (struct pen){0}, x, y, 3.2);
    picture_block(chart->picture, (struct box){x - 3, y - 3, x + 3, y + 3});
    snprintf(cases, sizeof cases, "%zu", bin->cases);
    /* On the side away from the diagonal. */
    bool above = bin->observed > bin->forecast;
    struct spot near = {x + 6, y + 4, ALIGN_START};
    struct spot far = {x - 6, y + 4, ALIGN_END};
    struct label label = {.text = cases,
                          .type = CHART_TYPE,
                          .ink = INK_SOFT,
                          .priority = PRIORITY_NOTE,
                          .spots = {above ? far : near,
                                    above ? near : far,
                                    {x + 6, y - 8, ALIGN_START},
                                    {x + 6, y + 16, ALIGN_START}},
                          .spot_count = 4,
                          .gap = 2,
                          .clear_of_marks = true};
    picture_label(chart->picture, &label);
}

void chart_reliability(const struct chart *chart, const struct chart_bin *bins, size_t count)
{
    struct pane pane = chart_pane(chart, 0, 1, 0, 1, 0);
    chart_axes(chart, &pane, true);
    picture_line(chart->picture, LAYER_GROUND, (struct pen){INK_SOFT, 1, DASH_SHORT},
                 pane_x(&pane, 0), pane_y(&pane, 0), pane_x(&pane, 1), pane_y(&pane, 1));
    for (size_t i = 0; i < count; i++)
        draw_bin(chart, &pane, &bins[i]);
}
