#include "draw/chart_parts.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Room for names of rows: as much as they need, up to a share of the chart. */
static double names_width(const struct chart *chart, const char *(*name)(const void *, size_t),
                          const void *rows, size_t count)
{
    double widest = 0;
    for (size_t i = 0; i < count; i++) {
        char *clean = text_clean(name(rows, i));
        if (clean == NULL)
            continue;
        widest = fmax(widest,
                      typesetter_measure(picture_typesetter(chart->picture), CHART_TYPE, clean)
                          .width);
        free(clean);
    }
    return fmin(widest + 12, (chart->box.right - chart->box.left) * 0.4);
}

static void row_name(const struct chart *chart, const struct pane *pane, const char *name, double y,
                     enum ink ink)
{
    picture_word(chart->picture, name, CHART_TYPE, ink, PRIORITY_TABLE,
                 (struct spot){chart->box.left, y + 0.36 * AXIS_SIZE, ALIGN_START},
                 pane->box.left - chart->box.left - 8);
    picture_line(chart->picture, LAYER_GROUND, (struct pen){INK_FAINT, 1, DASH_DOTS},
                 pane->box.left, y, pane->box.right, y);
}

static double row_y(const struct pane *pane, size_t row, size_t count)
{
    return pane->box.top + (pane->box.bottom - pane->box.top) * ((double)row + 0.5) / (double)count;
}

/* --- intervals ---------------------------------------------------------------------- */

static const char *interval_name(const void *rows, size_t i)
{
    return ((const struct chart_row *)rows)[i].label;
}

static void interval_figures(const struct chart_row *row, int decimals, char text[160])
{
    char value[TICK_TEXT_SIZE];
    char low[TICK_TEXT_SIZE];
    char high[TICK_TEXT_SIZE];
    number_text(row->value, decimals, value);
    if (!isfinite(row->low) || !isfinite(row->high)) {
        snprintf(text, 160, "%s", value);
        return;
    }
    number_text(row->low, decimals, low);
    number_text(row->high, decimals, high);
    snprintf(text, 160, "%s  (%s to %s)", value, low, high);
}

static double figures_width(const struct chart *chart, const struct chart_row *rows, size_t count,
                            int decimals)
{
    double widest = 0;
    for (size_t i = 0; i < count; i++) {
        char text[160];
        interval_figures(&rows[i], decimals, text);
        widest = fmax(widest,
                      typesetter_measure(picture_typesetter(chart->picture), CHART_TYPE, text)
                          .width);
    }
    return fmin(widest + 8, (chart->box.right - chart->box.left) * 0.35);
}

static void draw_interval(const struct chart *chart, const struct pane *pane,
                          const struct chart_row *row, double y)
{
    struct pen pen = {row->faint ? INK_SOFT : INK_MAIN, 1.6, row->faint ? DASH_SHORT : DASH_NONE};
    if (isfinite(row->low) && isfinite(row->high)) {
        double left = pane_x(pane, row->low);
        double right = pane_x(pane, row->high);
        struct pen cap = {pen.ink, 1.2, DASH_NONE};
        picture_line(chart->picture, LAYER_MARKS, pen, left, y, right, y);
        picture_line(chart->picture, LAYER_MARKS, cap, left, y - 3, left, y + 3);
        picture_line(chart->picture, LAYER_MARKS, cap, right, y - 3, right, y + 3);
    }
    double x = pane_x(pane, row->value);
    picture_circle(chart->picture, LAYER_OVER, row->faint ? INK_PAPER : INK_MAIN, (struct pen){0},
                   x, y, 3.8);
    picture_circle(chart->picture, LAYER_OVER, INK_COUNT, (struct pen){pen.ink, 1.2, DASH_NONE}, x,
                   y, 3.4);
}

void chart_intervals(const struct chart *chart, const struct chart_row *rows, size_t count,
                     double reference, int decimals)
{
    struct chart_range range = chart_range_none();
    for (size_t i = 0; i < count; i++) {
        chart_range_add(&range, rows[i].value);
        chart_range_add(&range, rows[i].low);
        chart_range_add(&range, rows[i].high);
    }
    if (chart_range_empty(&range)) {
        chart_empty(chart);
        return;
    }
    chart_range_add(&range, reference);
    struct chart narrow = *chart;
    narrow.box.right -= figures_width(chart, rows, count, decimals) - 14;
    struct pane pane = chart_pane(&narrow, range.low, range.high, 0, 1,
                                  names_width(chart, interval_name, rows, count));
    chart_axes(&narrow, &pane, false);
    if (isfinite(reference))
        picture_line(chart->picture, LAYER_GROUND, (struct pen){INK_SOFT, 1.2, DASH_SHORT},
                     pane_x(&pane, reference), pane.box.top, pane_x(&pane, reference),
                     pane.box.bottom);
    for (size_t i = 0; i < count; i++) {
        char text[160];
        double y = row_y(&pane, i, count);
        enum ink ink = rows[i].faint ? INK_SOFT : INK_MAIN;
        row_name(chart, &pane, rows[i].label, y, ink);
        if (!isfinite(rows[i].value))
            continue;
        draw_interval(chart, &pane, &rows[i], y);
        interval_figures(&rows[i], decimals, text);
        picture_word(chart->picture, text, CHART_TYPE, ink, PRIORITY_TABLE,
                     (struct spot){chart->box.right, y + 0.36 * AXIS_SIZE, ALIGN_END}, 0);
    }
}

/* --- strips ------------------------------------------------------------------------- */

static const char *strip_name(const void *strips, size_t i)
{
    return ((const struct chart_strip *)strips)[i].label;
}

static void draw_strip(const struct chart *chart, const struct pane *pane,
                       const struct chart_strip *strip, double y, double half)
{
    struct text path;
    double sum = 0;
    size_t kept = 0;
    long last = -1000000;
    text_init(&path);
    for (size_t i = 0; i < strip->count; i++) {
        if (!isfinite(strip->values[i]))
            continue;
        double x = pane_x(pane, strip->values[i]);
        sum += strip->values[i];
        kept++;
        if (lround(x * 10) == last)
            continue;
        last = lround(x * 10);
        path_move(&path, x, y - half);
        path_line(&path, x, y + half);
    }
    picture_path(chart->picture, LAYER_MARKS, INK_COUNT, (struct pen){INK_MAIN, 0.7, DASH_NONE},
                 &path);
    text_clear(&path);
    if (kept > 0) {
        double x = pane_x(pane, sum / (double)kept);
        path_move(&path, x, y + half + 1);
        path_line(&path, x + 3.5, y + half + 5);
        path_line(&path, x, y + half + 9);
        path_line(&path, x - 3.5, y + half + 5);
        path_close(&path);
        picture_path(chart->picture, LAYER_OVER, INK_ACCENT, (struct pen){0}, &path);
    }
    text_free(&path);
}

void chart_strips(const struct chart *chart, const struct chart_strip *strips, size_t count)
{
    struct chart_range range = chart_range_none();
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < strips[i].count; k++)
            chart_range_add(&range, strips[i].values[k]);
    if (chart_range_empty(&range)) {
        chart_empty(chart);
        return;
    }
    struct pane pane = chart_pane(chart, range.low, range.high, 0, 1,
                                  names_width(chart, strip_name, strips, count));
    chart_axes(chart, &pane, false);
    double half = fmin((pane.box.bottom - pane.box.top) / (double)count * 0.28, 9);
    for (size_t i = 0; i < count; i++) {
        double y = row_y(&pane, i, count);
        row_name(chart, &pane, strips[i].label, y, INK_MAIN);
        draw_strip(chart, &pane, &strips[i], y - 2, half);
    }
}
