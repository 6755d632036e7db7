#include "draw/chart_parts.h"
#include "draw/ticks.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* The most of a chart's width that the names of its rows may have. */
static double most_for_names(const struct chart *chart)
{
    return (chart->box.right - chart->box.left) * 0.4;
}

/* What names of rows need, with a gap behind them. */
static double names_need(const struct chart *chart, const char *(*name)(const void *, size_t),
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
    return widest + 12;
}

/* Room for names of rows: as much as they need, up to a share of the chart. */
static double names_width(const struct chart *chart, const char *(*name)(const void *, size_t),
                          const void *rows, size_t count)
{
    return fmin(names_need(chart, name, rows, count), most_for_names(chart));
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

enum { NAME_ABOVE = 4, INTERVAL_BELOW = 6 };

/* `name_width` > 0: the name, of so much width, is too long to stand beside its interval,
 * which is drawn below it over the whole width. */
static void write_interval_row(const struct chart *chart, const struct pane *pane,
                               const struct chart_row *row, double y, int decimals,
                               double name_width)
{
    char text[160];
    double baseline = y + 0.36 * AXIS_SIZE;
    enum ink ink = row->faint ? INK_SOFT : INK_MAIN;
    if (name_width > 0)
        picture_word(chart->picture, row->label, CHART_TYPE, ink, PRIORITY_TABLE,
                     (struct spot){chart->box.left, baseline - NAME_ABOVE, ALIGN_START},
                     name_width);
    else
        row_name(chart, pane, row->label, y, ink);
    if (!isfinite(row->value))
        return;
    draw_interval(chart, pane, row, name_width > 0 ? y + INTERVAL_BELOW : y);
    interval_figures(row, decimals, text);
    picture_word(chart->picture, text, CHART_TYPE, ink, PRIORITY_TABLE,
                 (struct spot){chart->box.right, baseline - (name_width > 0 ? NAME_ABOVE : 0),
                               ALIGN_END},
                 0);
}

/* Through the whole pane or, where names stand `above` so many rows, through the intervals
 * alone. */
static void draw_reference(const struct chart *chart, const struct pane *pane, double reference,
                           size_t above)
{
    const struct pen pen = {INK_SOFT, 1.2, DASH_SHORT};
    double x = pane_x(pane, reference);
    if (!isfinite(reference))
        return;
    if (above == 0)
        picture_line(chart->picture, LAYER_GROUND, pen, x, pane->box.top, x, pane->box.bottom);
    for (size_t i = 0; i < above; i++) {
        double y = row_y(pane, i, above) + INTERVAL_BELOW;
        picture_line(chart->picture, LAYER_GROUND, pen, x, y - 5, x, y + 5);
    }
}

static struct chart_range intervals_range(const struct chart_row *rows, size_t count)
{
    struct chart_range range = chart_range_none();
    for (size_t i = 0; i < count; i++) {
        chart_range_add(&range, rows[i].value);
        chart_range_add(&range, rows[i].low);
        chart_range_add(&range, rows[i].high);
    }
    return range;
}

void chart_intervals(const struct chart *chart, const struct chart_row *rows, size_t count,
                     double reference, int decimals)
{
    struct chart_range range = intervals_range(rows, count);
    if (chart_range_empty(&range)) {
        chart_empty(chart);
        return;
    }
    chart_range_add(&range, reference);
    struct chart narrow = *chart;
    double figures = figures_width(chart, rows, count, decimals);
    double names = names_need(chart, interval_name, rows, count);
    bool above = names > most_for_names(chart);
    if (!above)
        narrow.box.right -= figures - 14;
    struct pane pane = chart_pane(&narrow, range.low, range.high, 0, 1, above ? 14 : names);
    chart_axes(&narrow, &pane, false);
    draw_reference(chart, &pane, reference, above ? count : 0);
    for (size_t i = 0; i < count; i++)
        write_interval_row(chart, &pane, &rows[i], row_y(&pane, i, count), decimals,
                           above ? chart->box.right - chart->box.left - figures : 0);
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
