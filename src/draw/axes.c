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

void pane_value_axis(struct picture *picture, const struct pane *pane,
                     const struct value_axis *axis)
{
    struct value_ticks ticks = value_ticks(pane->low, pane->high, axis->most, axis->grid);
    for (size_t i = 0; i < ticks.count; i++) {
        char text[TICK_TEXT_SIZE];
        double y = floor(pane_y(pane, value_tick(&ticks, i))) + 0.5;
        if (axis->hairlines)
            picture_line(picture, LAYER_GROUND, hairline, pane->box.left, y, pane->box.right, y);
        picture_line(picture, LAYER_GROUND, axis_pen, pane->box.left - 4, y, pane->box.left, y);
        value_tick_text(&ticks, i, text);
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

void pane_time_axis(struct picture *picture, const struct pane *pane, const int64_t *clock,
                    size_t first, size_t last, bool dated)
{
    struct time_tick ticks[TICK_LIMIT];
    size_t count = find(pane, clock, first, last, dated, ticks);
    double y = floor(pane->box.bottom) + 0.5;
    picture_line(picture, LAYER_GROUND, axis_pen, pane->box.left, y, pane->box.right, y);
    for (size_t i = 0; i < count; i++) {
        double x = floor(pane_bar_x(pane, ticks[i].bar)) + 0.5;
        bool major = ticks[i].major[0] != '\0';
        picture_line(picture, LAYER_GROUND, axis_pen, x, y, x, y + (major ? 8 : 4));
        picture_label(picture, &(struct label){.text = ticks[i].minor,
                                               .type = axis_type,
                                               .ink = INK_SOFT,
                                               .priority = PRIORITY_AXIS,
                                               .spots = {{x, y + 5 + AXIS_SIZE, ALIGN_MIDDLE}},
                                               .spot_count = 1,
                                               .gap = 3});
        picture_label(picture,
                      &(struct label){.text = ticks[i].major,
                                      .type = {FACE_BOLD, AXIS_SIZE},
                                      .ink = INK_SOFT,
                                      .priority = PRIORITY_AXIS,
                                      .spots = {{x - 6, y + 8 + 2.2 * AXIS_SIZE, ALIGN_START}},
                                      .spot_count = 1,
                                      .gap = 4});
    }
}
