/* The axes of a pane. */
#include "draw/pane.h"
#include "draw/ticks.h"

#include <math.h>
#include <string.h>

static const struct pen hairline = {INK_FAINT, 1, DASH_NONE};
static const struct pen axis_pen = {INK_SOFT, 1, DASH_NONE};
static const struct type axis_type = {FACE_REGULAR, AXIS_SIZE};

/* The baseline that puts letters in the middle of a line. */
static double centred(double y)
{
    return y + 0.36 * AXIS_SIZE;
}

struct axis_ticks {
    size_t count;
    double values[TICK_LIMIT]; /* as written */
    int decimals[TICK_LIMIT];
    double divisor;
};

static void list_ticks(const struct pane *pane, const struct value_axis *axis,
                       struct axis_ticks *list)
{
    list->divisor = axis->divisor > 0 ? axis->divisor : 1;
    if (pane->logarithmic) {
        list->count = log_ticks(pane->low, pane->high, axis->most, axis->grid, list->values);
        for (size_t i = 0; i < list->count; i++)
            list->decimals[i] = decimals_of(list->values[i]);
        return;
    }
    struct value_ticks ticks = value_ticks(pane->low / list->divisor, pane->high / list->divisor,
                                           axis->most, axis->grid / list->divisor);
    list->count = ticks.count;
    for (size_t i = 0; i < ticks.count; i++) {
        list->values[i] = value_tick(&ticks, i);
        list->decimals[i] = ticks.decimals;
    }
}

/* Where a tick's line stands: on whole pixels. */
static double tick_y(const struct pane *pane, const struct axis_ticks *list, size_t index)
{
    return floor(pane_y(pane, list->values[index] * list->divisor)) + 0.5;
}

void pane_value_rules(struct picture *picture, const struct pane *pane,
                      const struct value_axis *axis, double left, double right)
{
    struct axis_ticks list;
    list_ticks(pane, axis, &list);
    for (size_t i = 0; i < list.count; i++) {
        double y = tick_y(pane, &list, i);
        picture_line(picture, LAYER_GROUND, hairline, left, y, right, y);
    }
}

/* A number above its rule, set off from what it may stand on. */
static void write_inside(struct picture *picture, const struct pane *pane, const char *text,
                         double y)
{
    picture_label(picture, &(struct label){.text = text,
                                           .type = axis_type,
                                           .ink = INK_SOFT,
                                           .priority = PRIORITY_AXIS,
                                           .spots = {{pane->box.left + 1, y - 3, ALIGN_START}},
                                           .spot_count = 1,
                                           .clear_of_marks = true});
}

void pane_value_axis(struct picture *picture, const struct pane *pane,
                     const struct value_axis *axis)
{
    struct axis_ticks list;
    list_ticks(pane, axis, &list);
    for (size_t i = 0; i < list.count; i++) {
        char text[TICK_TEXT_SIZE];
        double y = tick_y(pane, &list, i);
        if (axis->hairlines)
            picture_line(picture, LAYER_GROUND, hairline, pane->box.left, y, pane->box.right, y);
        number_text(list.values[i], list.decimals[i], text);
        if (axis->inside) {
            write_inside(picture, pane, text, y);
            continue;
        }
        picture_line(picture, LAYER_GROUND, axis_pen, pane->box.left - 4, y, pane->box.left, y);
        picture_word(picture, text, axis_type, INK_SOFT, PRIORITY_AXIS,
                     (struct spot){pane->box.left - 6, centred(y), ALIGN_END}, 0);
    }
    if (axis->unit != NULL)
        picture_word(picture, axis->unit, axis_type, INK_SOFT, PRIORITY_NOTE,
                     (struct spot){pane->box.left, pane->box.top - 5, ALIGN_START}, 0);
}

/* Ticks that the pane has room for; the widest name takes about five letters. */
static size_t find(const struct pane *pane, const int64_t *clock, size_t first, size_t last,
                   bool dated, struct time_tick ticks[TICK_LIMIT])
{
    double room = dated ? 32 : 46;
    double most = floor((pane->box.right - pane->box.left) / room);
    return time_ticks(clock, first, last, dated, most < 1 ? 1 : (size_t)most, ticks);
}

void pane_time_rules(struct picture *picture, const struct pane *pane, const int64_t *clock,
                     size_t first, size_t last, bool dated)
{
    struct time_tick ticks[TICK_LIMIT];
    size_t count = find(pane, clock, first, last, dated, ticks);
    for (size_t i = 0; i < count; i++) {
        double x = floor(pane_x(pane, (double)ticks[i].bar)) + 0.5;
        if (ticks[i].major[0] != '\0' && x > pane->box.left + 1)
            picture_line(picture, LAYER_GROUND, hairline, x, pane->box.top, x, pane->box.bottom);
    }
}

/* A name of the axis; within `visible` where its tick is. */
static void name_tick(struct picture *picture, const char *text, enum face face, double gap,
                      struct spot spot, const struct box *visible, double x)
{
    struct label label = {.text = text,
                          .type = {face, AXIS_SIZE},
                          .ink = INK_SOFT,
                          .priority = PRIORITY_AXIS,
                          .spots = {spot},
                          .spot_count = 1,
                          .gap = gap};
    if (visible != NULL && x >= visible->left && x <= visible->right) {
        label.bounds = *visible;
        if (spot.align == ALIGN_START)
            label.spots[0].x = fmax(spot.x, visible->left);
    }
    picture_label(picture, &label);
}

static void draw_time_ticks(struct picture *picture, const struct pane *pane,
                            const struct time_tick *ticks, size_t count, const struct box *visible)
{
    double y = floor(pane->box.bottom) + 0.5;
    for (size_t i = 0; i < count; i++) {
        double x = floor(pane_bar_x(pane, ticks[i].bar)) + 0.5;
        bool major = ticks[i].major[0] != '\0';
        picture_line(picture, LAYER_GROUND, axis_pen, x, y, x, y + (major ? 8 : 4));
        name_tick(picture, ticks[i].minor, FACE_REGULAR, 3,
                  (struct spot){x, y + 5 + AXIS_SIZE, ALIGN_MIDDLE}, visible, x);
        name_tick(picture, ticks[i].major, FACE_BOLD, 4,
                  (struct spot){x - 6, y + 8 + 2.2 * AXIS_SIZE, ALIGN_START}, visible, x);
    }
}

void pane_time_axis(struct picture *picture, const struct pane *pane, const int64_t *clock,
                    size_t first, size_t last, bool dated)
{
    struct time_tick ticks[TICK_LIMIT];
    size_t count = find(pane, clock, first, last, dated, ticks);
    double y = floor(pane->box.bottom) + 0.5;
    picture_line(picture, LAYER_GROUND, axis_pen, pane->box.left, y, pane->box.right, y);
    draw_time_ticks(picture, pane, ticks, count, NULL);
}

/* The division is that of the ticks on all bars from one absolute multiple of
 * the view's size to another, so that it changes rarely. */
static size_t find_steady(const struct pane *pane, const int64_t *clock, size_t first, size_t last,
                          bool dated, struct time_tick ticks[TICK_LIMIT])
{
    double room = dated ? 32 : 46;
    size_t block = 1;
    while ((double)block < pane->last - pane->first)
        block *= 2;
    double most = floor(pane_step(pane) * (double)(last - first) / room);
    size_t from = first - first % block;
    double share = (double)(last - from) / (double)(last - first);
    most = fmin(fmax(1, floor(most * share)), TICK_LIMIT);
    size_t whole = pane->first > (double)first ? (size_t)ceil(pane->first) : first;
    return time_ticks_shown(clock, from, last, dated, (size_t)most, first, whole, ticks);
}

void pane_time_axis_moving(struct picture *picture, const struct pane *pane, const int64_t *clock,
                           size_t first, size_t last, bool dated, const struct box *visible,
                           const struct box *ruled)
{
    struct time_tick ticks[TICK_LIMIT];
    if (last <= first)
        return;
    size_t count = find_steady(pane, clock, first, last, dated, ticks);
    for (size_t i = 0; i < count; i++) {
        double x = floor(pane_x(pane, (double)ticks[i].bar)) + 0.5;
        if (ticks[i].major[0] != '\0')
            picture_line(picture, LAYER_GROUND, hairline, x, ruled->top, x, ruled->bottom);
    }
    draw_time_ticks(picture, pane, ticks, count, visible);
}
