/* The strips of a chart window: volume and measures with a scale of their own;
 * and the dates below the last. */
#include "figures/chart_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- drawing ------------------------------------------------------------------------ */

static void widen(const struct draft *draft, const double *column, double *low, double *high)
{
    size_t end = draft->seen_to < draft->complete ? draft->seen_to : draft->complete;
    if (column != NULL && draft->seen_from < end)
        widen_range(column, draft->seen_from, end, low, high);
}

static void fit(const struct draft *draft, const struct window_strip *strip,
                const struct window_columns *columns, struct pane *pane)
{
    double low = INFINITY;
    double high = -INFINITY;
    widen(draft, columns->main, &low, &high);
    widen(draft, columns->other, &low, &high);
    widen(draft, columns->third, &low, &high);
    widen(draft, columns->differences, &low, &high);
    widen_range(strip->limits, 0, strip->limit_count, &low, &high);
    if (columns->differences != NULL) {
        double base = 0;
        widen_range(&base, 0, 1, &low, &high);
    }
    pane_fit(pane, low, high, strip->kind == WINDOW_VOLUME ? 0 : 0.07);
}

/* Large volumes are counted in thousands or millions. */
static double divisor_of(const struct pane *pane, char *name, size_t room)
{
    static const struct {
        double value;
        const char *word;
    } units[] = {{1e9, "thousand millions"}, {1e6, "millions"}, {1e3, "thousands"}};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (pane->high >= 2 * units[i].value) {
            snprintf(name, room, "volume, %s", units[i].word);
            return units[i].value;
        }
    return 1;
}

static void draw_limits(const struct draft *draft, const struct window_strip *strip,
                        const struct pane *pane)
{
    struct picture *still = draft->window->still;
    for (size_t i = 0; i < strip->limit_count; i++) {
        char text[TICK_TEXT_SIZE];
        double y = pane_y(pane, strip->limits[i]);
        struct box clip = window_clip(draft, pane);
        snprintf(text, sizeof text, "limit %g", strip->limits[i]);
        pane_rule(draft->window->moving, pane, LAYER_GROUND, (struct pen){INK_SOFT, 0.7, DASH_NONE},
                  strip->limits[i], clip.left, clip.right);
        picture_word(still, text, (struct type){FACE_REGULAR, draft->size}, INK_SOFT, PRIORITY_NOTE,
                     (struct spot){pane->box.right + 8, y + 0.36 * draft->size, ALIGN_START},
                     picture_width(still) - pane->box.right - 8);
    }
}

static void draw_curve(const struct draft *draft, const struct pane *pane, const double *column,
                       struct pen pen)
{
    size_t end = draft->to < draft->complete ? draft->to : draft->complete;
    if (column != NULL && draft->from < end)
        pane_curve(draft->window->moving, pane, LAYER_MARKS, pen, column, draft->from, end);
}

/* A strip with nothing to show says so. */
static bool is_empty(const struct draft *draft, const struct window_columns *columns)
{
    double low = INFINITY;
    double high = -INFINITY;
    widen(draft, columns->main != NULL ? columns->main : columns->differences, &low, &high);
    return !(low <= high);
}

/* Where there is little room the name ends behind its numbers; which line is
 * which is then left to the table. */
static void shorten(char *name)
{
    char *end = strchr(name, ')');
    if (end != NULL)
        end[1] = '\0';
}

void window_draw_strip(struct draft *draft, const struct window_strip *strip, struct pane *pane)
{
    struct window_columns columns = window_columns_of(draft->request->sheet, strip);
    struct picture *moving = draft->window->moving;
    struct box clip = window_clip(draft, pane);
    bool volume = strip->kind == WINDOW_VOLUME;
    size_t end = draft->to < draft->complete || volume ? draft->to : draft->complete;
    fit(draft, strip, &columns, pane);
    struct value_axis axis = {.most = (size_t)fmax(2, (pane->box.bottom - pane->box.top) / 17),
                              .inside = draft->narrow};
    if (volume)
        axis.divisor = divisor_of(pane, columns.name, sizeof columns.name);
    if (is_empty(draft, &columns)) {
        size_t used = strlen(columns.name);
        snprintf(columns.name + used, sizeof columns.name - used, ": none here");
    } else {
        pane_value_axis(draft->window->still, pane, &axis);
    }
    if (draft->narrow)
        shorten(columns.name);
    picture_word(draft->window->still, columns.name, (struct type){FACE_REGULAR, draft->size},
                 INK_SOFT, PRIORITY_NOTE,
                 (struct spot){pane->box.left, pane->box.top - 6, ALIGN_START},
                 pane->box.right - pane->box.left);
    draw_limits(draft, strip, pane);
    picture_clip(moving, &clip);
    if (columns.differences != NULL && draft->from < end)
        pane_columns(moving, pane, volume ? INK_SOFT : INK_FAINT, columns.differences, 0,
                     draft->from, end);
    draw_curve(draft, pane, columns.third, (struct pen){INK_BLUE, 1, DASH_DOTS});
    draw_curve(draft, pane, columns.other, (struct pen){INK_BLUE, 1, DASH_SHORT});
    draw_curve(draft, pane, columns.main, (struct pen){INK_MAIN, 1.3, DASH_NONE});
    size_t asked = draft->request->asked;
    if (columns.main != NULL && asked >= draft->from && asked < end && !isnan(columns.main[asked]))
        picture_circle(moving, LAYER_OVER, INK_ACCENT, (struct pen){0}, pane_bar_x(pane, asked),
                       pane_y(pane, columns.main[asked]), 2.5);
    picture_clip(moving, NULL);
}

/* --- dates -------------------------------------------------------------------------- */

/* A dotted line down through all panes, and its date in bold. */
static void draw_asked(const struct draft *draft, const struct pane *price, const struct pane *last)
{
    const struct window_request *request = draft->request;
    struct picture *moving = draft->window->moving;
    char text[TICK_TEXT_SIZE];
    if (request->asked == SIZE_MAX || request->asked < draft->from || request->asked >= draft->to)
        return;
    double x = floor(pane_bar_x(price, request->asked) + 1e-6) + 0.5;
    double foot = floor(last->box.bottom) + 0.5;
    picture_line(moving, LAYER_GROUND, (struct pen){INK_SOFT, 1, DASH_DOTS}, x, price->box.top, x,
                 foot);
    picture_line(moving, LAYER_GROUND, (struct pen){INK_MAIN, 1, DASH_NONE}, x, foot, x, foot + 6);
    window_time(request, request->asked, text);
    struct label label = {.text = text,
                          .type = {FACE_BOLD, AXIS_SIZE},
                          .ink = INK_MAIN,
                          .priority = PRIORITY_ORDER,
                          .spots = {{x, foot + 5 + AXIS_SIZE, ALIGN_MIDDLE},
                                    {x + 8, foot + 5 + AXIS_SIZE, ALIGN_END},
                                    {x - 8, foot + 5 + AXIS_SIZE, ALIGN_START}},
                          .spot_count = 3};
    if (x >= price->box.left && x <= price->box.right)
        label.bounds = (struct box){price->box.left, foot, price->box.right,
                                    picture_height(moving)};
    picture_label(moving, &label);
}

void window_draw_dates(struct draft *draft, const struct pane *price, const struct pane *last)
{
    const struct chart_window *window = draft->window;
    struct box visible = {window->plot.left, last->box.bottom, window->plot.right,
                          picture_height(window->moving)};
    double y = floor(last->box.bottom) + 0.5;
    picture_line(window->still, LAYER_GROUND, (struct pen){INK_SOFT, 1, DASH_NONE}, visible.left, y,
                 visible.right, y);
    pane_time_axis_moving(window->moving, last, window_times(draft->request), draft->from,
                          draft->to, interval_is_dated(draft->bars->interval), &visible,
                          &price->box);
    draw_asked(draft, price, last);
}
