#include "base/array.h"
#include "draw/chart_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* The running sum, with its 0 before the first step. */
static size_t cumulate(const struct chart_line *line, double *x, double *y)
{
    double sum = 0;
    x[0] = line->x != NULL && line->count > 0 ? line->x[0] : 0;
    y[0] = 0;
    for (size_t i = 0; i < line->count; i++) {
        sum += isfinite(line->y[i]) ? line->y[i] : 0;
        x[i + 1] = chart_x(line->x, i);
        y[i + 1] = sum;
    }
    return line->count + 1;
}

static void add_values(struct chart_range *range, const double *values, size_t count)
{
    for (size_t i = 0; values != NULL && i < count; i++)
        chart_range_add(range, values[i]);
}

static void draw_line(const struct chart *chart, const struct chart_line *line, const double *x,
                      const double *y, size_t count, const struct chart_mark *marks,
                      size_t mark_count)
{
    struct chart_range across = chart_range_none();
    struct chart_range up = chart_range_none();
    for (size_t i = 0; i < count; i++)
        chart_range_add(&across, chart_x(x, i));
    add_values(&up, y, count);
    if (chart_range_empty(&up) || chart_range_empty(&across)) {
        chart_empty(chart);
        return;
    }
    add_values(&up, line->low, line->count);
    add_values(&up, line->high, line->count);
    for (size_t i = 0; i < mark_count; i++)
        chart_range_add(&up, marks[i].value);
    struct pane pane = chart_pane(chart, across.low, across.high, up.low, up.high, 0);
    if (line->low != NULL && line->high != NULL) {
        chart_band(chart, &pane, INK_WASH, line->x, line->low, line->high, line->count);
        size_t last = line->count - 1;
        if (line->band_words != NULL)
            chart_word(chart, line->band_words, INK_SOFT, pane_x(&pane, chart_x(line->x, last)),
                       pane_y(&pane, line->high[last]), true);
    }
    chart_axes(chart, &pane, true);
    chart_polyline(chart, &pane, (struct pen){INK_MAIN, 1.4, DASH_NONE}, x, y, count);
    for (size_t i = 0; i < mark_count; i++)
        chart_mark_y(chart, &pane, &marks[i]);
}

void chart_cumulated(const struct chart *chart, const struct chart_line *line,
                     const struct chart_mark *marks, size_t mark_count)
{
    if (!line->cumulate) {
        draw_line(chart, line, line->x, line->y, line->count, marks, mark_count);
        return;
    }
    double *x = array_new(line->count + 1, sizeof *x);
    double *y = array_new(line->count + 1, sizeof *y);
    if (x != NULL && y != NULL && line->count > 0)
        draw_line(chart, line, x, y, cumulate(line, x, y), marks, mark_count);
    else
        chart_empty(chart);
    free(x);
    free(y);
}

/* --- fan ---------------------------------------------------------------------------- */

static const double *level_values(const struct chart_fan *fan, size_t level)
{
    return fan->values + level * fan->count;
}

/* Quantiles in words at the right end, each where there is room. */
static void fan_word(const struct chart *chart, const struct pane *pane,
                     const struct chart_fan *fan, size_t level)
{
    char text[32];
    double value = level_values(fan, level)[fan->count - 1];
    if (!isfinite(value))
        return;
    double y = pane_y(pane, value) + 0.36 * AXIS_SIZE;
    if (fan->levels[level] == 0.5)
        snprintf(text, sizeof text, "median");
    else
        snprintf(text, sizeof text, "%.3g %%", fan->levels[level] * 100);
    picture_label(chart->picture,
                  &(struct label){.text = text,
                                  .type = CHART_TYPE,
                                  .ink = INK_SOFT,
                                  .priority = PRIORITY_NOTE,
                                  .spots = {{pane->box.right - 2, y, ALIGN_START},
                                            {pane->box.right - 2, y - 7, ALIGN_START},
                                            {pane->box.right - 2, y + 7, ALIGN_START}},
                                  .spot_count = 3});
}

void chart_fan(const struct chart *chart, const struct chart_fan *fan)
{
    struct chart_range across = chart_range_none();
    struct chart_range up = chart_range_none();
    for (size_t i = 0; i < fan->count; i++)
        chart_range_add(&across, chart_x(fan->x, i));
    add_values(&up, fan->values, fan->count * fan->level_count);
    add_values(&up, fan->whole_low, fan->count);
    add_values(&up, fan->whole_high, fan->count);
    add_values(&up, fan->actual, fan->actual_count);
    if (chart_range_empty(&up) || chart_range_empty(&across)) {
        chart_empty(chart);
        return;
    }
    struct chart narrow = *chart;
    narrow.box.right -= 30;
    struct pane pane = chart_pane(&narrow, across.low, across.high, up.low, up.high, 0);
    for (size_t i = 0; i < fan->level_count / 2; i++)
        chart_band(chart, &pane, i % 2 == 0 ? INK_WASH : INK_FAINT, fan->x, level_values(fan, i),
                   level_values(fan, fan->level_count - 1 - i), fan->count);
    chart_axes(&narrow, &pane, true);
    if (fan->level_count % 2 == 1)
        chart_polyline(chart, &pane, (struct pen){INK_SOFT, 1.2, DASH_NONE}, fan->x,
                       level_values(fan, fan->level_count / 2), fan->count);
    const double *const whole[] = {fan->whole_low, fan->whole_high};
    for (size_t i = 0; i < 2; i++)
        if (whole[i] != NULL)
            chart_polyline(chart, &pane, (struct pen){INK_MAIN, 1.2, DASH_SHORT}, fan->x, whole[i],
                           fan->count);
    for (size_t i = 0; i < fan->level_count; i++)
        fan_word(chart, &pane, fan, i);
    if (fan->actual != NULL)
        chart_polyline(chart, &pane, (struct pen){INK_ACCENT, 2, DASH_NONE}, fan->x, fan->actual,
                       fan->actual_count);
}
