/* Volume, momentum and MACD, each in a strip of its own under the prices. */
#include "figures/case_parts.h"

#include <math.h>
#include <stdio.h>

enum { STRIP_GAP = 24 };

static struct pane strip_of(const struct pane *above, double y, double height)
{
    struct pane strip = *above;
    strip.box.top = y;
    strip.box.bottom = y + height;
    return strip;
}

/* The name of a strip stands above its left corner. */
static void name_strip(struct picture *picture, const struct pane *strip, const char *name)
{
    picture_word(picture, name, (struct type){FACE_REGULAR, NOTE_SIZE}, INK_SOFT, PRIORITY_NOTE,
                 (struct spot){strip->box.left, strip->box.top - 5, ALIGN_START}, 0);
}

static bool any_of(const double *values, const struct case_facts *facts, double *low, double *high)
{
    *low = INFINITY;
    *high = -INFINITY;
    if (values != NULL)
        widen_range(values, facts->first, facts->bar_count, low, high);
    return *low <= *high;
}

static void draw_volume(const struct case_facts *facts, struct picture *picture, struct pane *strip,
                        double high)
{
    strip->low = 0;
    strip->high = high;
    pane_value_axis(picture, strip, &(struct value_axis){.most = 2});
    pane_columns(picture, strip, INK_SOFT, facts->bars->volume, 0, facts->first, facts->bar_count);
    name_strip(picture, strip, "volume");
}

static void draw_momentum(const struct case_facts *facts, struct picture *picture,
                          struct pane *strip, double low, double high)
{
    char name[96];
    for (size_t i = 0; i < facts->momentum_limit_count; i++)
        widen_range(facts->momentum_limits, i, i + 1, &low, &high);
    pane_fit(strip, low, high, 0.08);
    pane_value_axis(picture, strip, &(struct value_axis){.most = 4});
    for (size_t i = 0; i < facts->momentum_limit_count; i++) {
        double limit = facts->momentum_limits[i];
        pane_rule(picture, strip, LAYER_GROUND, (struct pen){INK_SOFT, 0.7, DASH_NONE}, limit,
                  strip->box.left, strip->box.right);
        snprintf(name, sizeof name, "limit %g", limit);
        picture_word(picture, name, (struct type){FACE_REGULAR, NOTE_SIZE}, INK_SOFT, PRIORITY_NOTE,
                     (struct spot){strip->box.right + 6, pane_y(strip, limit) + 4, ALIGN_START}, 0);
    }
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_BLUE, 1, DASH_SHORT},
               facts->momentum_mean, facts->first, facts->bar_count);
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_MAIN, 1.3, DASH_NONE}, facts->momentum,
               facts->first, facts->bar_count);
    snprintf(name, sizeof name, "RSI(%zu), and its average of %zu, broken line",
             facts->momentum_length, facts->momentum_average);
    name_strip(picture, strip, name);
    if (facts->diverges && facts->older >= facts->first) {
        double left = pane_bar_x(strip, facts->older);
        double from = pane_y(strip, facts->momentum[facts->older]);
        double right = pane_bar_x(strip, facts->newer);
        double to = pane_y(strip, facts->momentum[facts->newer]);
        picture_line(picture, LAYER_OVER, (struct pen){INK_BLUE, 1.2, DASH_NONE}, left, from, right,
                     to);
        case_note(picture, strip, facts->is_short ? "lower RSI" : "higher RSI", INK_BLUE,
                  (left + right) / 2, (from + to) / 2, facts->is_short);
    }
    if (!isnan(facts->momentum[facts->signal]))
        picture_circle(picture, LAYER_OVER, INK_ACCENT, (struct pen){0},
                       pane_bar_x(strip, facts->signal),
                       pane_y(strip, facts->momentum[facts->signal]), 2.5);
}

static void draw_macd(const struct case_facts *facts, struct picture *picture, struct pane *strip,
                      double low, double high)
{
    widen_range(facts->macd_signal, facts->first, facts->bar_count, &low, &high);
    widen_range(facts->macd_histogram, facts->first, facts->bar_count, &low, &high);
    pane_fit(strip, low, high, 0.06);
    pane_value_axis(picture, strip, &(struct value_axis){.most = 3});
    pane_columns(picture, strip, INK_FAINT, facts->macd_histogram, 0, facts->first,
                 facts->bar_count);
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_BLUE, 1, DASH_SHORT},
               facts->macd_signal, facts->first, facts->bar_count);
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_MAIN, 1.3, DASH_NONE}, facts->macd,
               facts->first, facts->bar_count);
    name_strip(picture, strip, "MACD, its signal, broken line, and their difference, columns");
}

bool case_has_strips(const struct case_facts *facts)
{
    double low;
    double high;
    return any_of(facts->momentum, facts, &low, &high) || any_of(facts->macd, facts, &low, &high) ||
           (any_of(facts->bars->volume, facts, &low, &high) && high > 0);
}

double case_draw_strips(const struct case_facts *facts, struct picture *picture,
                        const struct pane *above, double y)
{
    struct pane strip = *above;
    double low;
    double high;
    if (any_of(facts->bars->volume, facts, &low, &high) && high > 0) {
        strip = strip_of(above, y + STRIP_GAP, 38);
        draw_volume(facts, picture, &strip, high);
    }
    if (any_of(facts->momentum, facts, &low, &high)) {
        strip = strip_of(above, strip.box.bottom + STRIP_GAP, 86);
        draw_momentum(facts, picture, &strip, low, high);
    }
    if (any_of(facts->macd, facts, &low, &high)) {
        strip = strip_of(above, strip.box.bottom + STRIP_GAP, 62);
        draw_macd(facts, picture, &strip, low, high);
    }
    pane_time_axis(picture, &strip, facts->times, facts->first, facts->bar_count, facts->dated);
    return strip.box.bottom + 40;
}
