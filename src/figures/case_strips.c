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

static bool any_of(const double *values, size_t first, size_t end, double *low, double *high)
{
    *low = INFINITY;
    *high = -INFINITY;
    if (values != NULL)
        widen_range(values, first, end, low, high);
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

/* Bars of a strip, and the one with a dot: that of the signal. */
struct stretch {
    size_t first, end, dot;
};

static void name_limits(const struct case_momentum *momentum, struct picture *picture,
                        const struct pane *strip)
{
    for (size_t i = 0; i < momentum->limit_count; i++) {
        char name[TICK_TEXT_SIZE];
        double limit = momentum->limits[i];
        snprintf(name, sizeof name, "limit %g", limit);
        picture_word(picture, name, (struct type){FACE_REGULAR, NOTE_SIZE}, INK_SOFT, PRIORITY_NOTE,
                     (struct spot){strip->box.right + 6, pane_y(strip, limit) + 4, ALIGN_START}, 0);
    }
}

static void draw_rsi(const struct case_momentum *momentum, struct picture *picture,
                     struct pane *strip, const struct stretch *stretch, bool with_average)
{
    double low;
    double high;
    any_of(momentum->rsi, stretch->first, stretch->end, &low, &high);
    widen_range(momentum->limits, 0, momentum->limit_count, &low, &high);
    pane_fit(strip, low, high, 0.08);
    pane_value_axis(picture, strip, &(struct value_axis){.most = 4});
    for (size_t i = 0; i < momentum->limit_count; i++)
        pane_rule(picture, strip, LAYER_GROUND, (struct pen){INK_SOFT, 0.7, DASH_NONE},
                  momentum->limits[i], strip->box.left, strip->box.right);
    if (with_average)
        pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_BLUE, 1, DASH_SHORT},
                   momentum->rsi_average, stretch->first, stretch->end);
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_MAIN, 1.3, DASH_NONE}, momentum->rsi,
               stretch->first, stretch->end);
    if (!isnan(momentum->rsi[stretch->dot]))
        picture_circle(picture, LAYER_OVER, INK_ACCENT, (struct pen){0},
                       pane_bar_x(strip, stretch->dot), pane_y(strip, momentum->rsi[stretch->dot]),
                       2.5);
}

static void draw_divergence(const struct case_facts *facts, struct picture *picture,
                            const struct pane *strip)
{
    const double *rsi = facts->momentum.rsi;
    if (!facts->diverges || facts->older < facts->first)
        return;
    double left = pane_bar_x(strip, facts->older);
    double from = pane_y(strip, rsi[facts->older]);
    double right = pane_bar_x(strip, facts->newer);
    double to = pane_y(strip, rsi[facts->newer]);
    picture_line(picture, LAYER_OVER, (struct pen){INK_BLUE, 1.2, DASH_NONE}, left, from, right,
                 to);
    case_note(picture, strip, facts->is_short ? "lower RSI" : "higher RSI", INK_BLUE,
              (left + right) / 2, (from + to) / 2, facts->is_short);
}

static void draw_macd(const struct case_momentum *momentum, struct picture *picture,
                      struct pane *strip, const struct stretch *stretch, const char *name)
{
    double low;
    double high;
    any_of(momentum->macd, stretch->first, stretch->end, &low, &high);
    widen_range(momentum->macd_signal, stretch->first, stretch->end, &low, &high);
    widen_range(momentum->macd_histogram, stretch->first, stretch->end, &low, &high);
    pane_fit(strip, low, high, 0.06);
    pane_value_axis(picture, strip, &(struct value_axis){.most = 3});
    pane_columns(picture, strip, INK_FAINT, momentum->macd_histogram, 0, stretch->first,
                 stretch->end);
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_BLUE, 1, DASH_SHORT},
               momentum->macd_signal, stretch->first, stretch->end);
    pane_curve(picture, strip, LAYER_MARKS, (struct pen){INK_MAIN, 1.3, DASH_NONE}, momentum->macd,
               stretch->first, stretch->end);
    name_strip(picture, strip, name);
}

/* The column has no room beside the strip: the limits stand in its name. */
static void name_longer(const struct case_momentum *momentum, struct picture *picture,
                        const struct pane *strip)
{
    char name[160];
    int used = snprintf(name, sizeof name, "RSI(%zu)", momentum->length);
    for (size_t i = 0; i < momentum->limit_count; i++)
        used += snprintf(name + used, sizeof name - (size_t)used, "%s %g",
                         i == 0 ? ", limit" : " and", momentum->limits[i]);
    if (momentum->average_asked)
        snprintf(name + used, sizeof name - (size_t)used, ", average of %zu broken",
                 momentum->average);
    name_strip(picture, strip, name);
}

double case_draw_longer_strips(const struct case_momentum *momentum, struct picture *picture,
                               const struct pane *above, size_t first, size_t at)
{
    struct pane strip = *above;
    struct stretch stretch = {first, at + 1, at};
    double low;
    double high;
    if (momentum->rsi_asked && any_of(momentum->rsi, first, at + 1, &low, &high)) {
        strip = strip_of(above, strip.box.bottom + STRIP_GAP, 48);
        draw_rsi(momentum, picture, &strip, &stretch, momentum->average_asked);
        name_longer(momentum, picture, &strip);
    }
    if (momentum->macd_asked && any_of(momentum->macd, first, at + 1, &low, &high)) {
        strip = strip_of(above, strip.box.bottom + STRIP_GAP, 48);
        draw_macd(momentum, picture, &strip, &stretch, "MACD, its signal broken, their difference");
    }
    return strip.box.bottom;
}

bool case_has_strips(const struct case_facts *facts)
{
    size_t first = facts->first;
    size_t end = facts->bar_count;
    double low;
    double high;
    return any_of(facts->momentum.rsi, first, end, &low, &high) ||
           any_of(facts->momentum.macd, first, end, &low, &high) ||
           (any_of(facts->bars->volume, first, end, &low, &high) && high > 0);
}

double case_draw_strips(const struct case_facts *facts, struct picture *picture,
                        const struct pane *above, double y)
{
    const struct case_momentum *momentum = &facts->momentum;
    struct stretch stretch = {facts->first, facts->bar_count, facts->signal};
    struct pane strip = *above;
    char name[96];
    double low;
    double high;
    if (any_of(facts->bars->volume, stretch.first, stretch.end, &low, &high) && high > 0) {
        strip = strip_of(above, y + STRIP_GAP, 38);
        draw_volume(facts, picture, &strip, high);
    }
    if (any_of(momentum->rsi, stretch.first, stretch.end, &low, &high)) {
        strip = strip_of(above, strip.box.bottom + STRIP_GAP, 86);
        draw_rsi(momentum, picture, &strip, &stretch, true);
        name_limits(momentum, picture, &strip);
        snprintf(name, sizeof name, "RSI(%zu), and its average of %zu, broken line",
                 momentum->length, momentum->average);
        name_strip(picture, &strip, name);
        draw_divergence(facts, picture, &strip);
    }
    if (any_of(momentum->macd, stretch.first, stretch.end, &low, &high)) {
        strip = strip_of(above, strip.box.bottom + STRIP_GAP, 62);
        draw_macd(momentum, picture, &strip, &stretch,
                  "MACD, its signal, broken line, and their difference, columns");
    }
    pane_time_axis(picture, &strip, facts->times, facts->first, facts->bar_count, facts->dated);
    return strip.box.bottom + 40;
}
