#include "market/adjust.h"

#include "base/array.h"
#include "market/scale.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const kind_names[] = {"split", "dividend", "roll"};

const char *action_kind_name(enum action_kind kind)
{
    return kind_names[kind];
}

bool action_kind_parse(const char *name, enum action_kind *kind)
{
    for (int i = 0; i < 3; i++) {
        if (strcmp(name, kind_names[i]) == 0) {
            *kind = (enum action_kind)i;
            return true;
        }
    }
    return false;
}

/* What one action does to the prices before it; `close` is the last of them. */
static struct price_scale scale_of(const struct action *action, double close)
{
    struct price_scale scale = {action->date, 0, 1, 1};
    if (action->kind == ACTION_SPLIT)
        scale.split = action->value;
    else if (action->kind == ACTION_ROLL)
        scale.shift = action->value;
    else if (close > fmax(action->value, 0))
        scale.share = 1 - action->value / close;
    else
        scale.shift = -action->value;
    return scale;
}

/* `scale`, and what the actions after it do to its result. */
static struct price_scale with_later(const struct price_scale *scale,
                                     const struct price_scale *later)
{
    return (struct price_scale){.before = scale->before,
                                .shift = scale->shift + later->shift * scale->split / scale->share,
                                .share = scale->share * later->share,
                                .split = scale->split * later->split};
}

/* Whether an action changes the bars' prices. */
static bool counts(const struct action *action, enum adjustment adjustment, int64_t view)
{
    return action->date <= view && adjustment != ADJUST_NONE &&
           (adjustment == ADJUST_ALL || action->kind != ACTION_DIVIDEND);
}

int bars_adjust(struct bars *bars, const struct action *actions, size_t count,
                enum adjustment adjustment, int64_t view, struct error *error)
{
    struct price_scale *scales = array_new(count, sizeof *scales);
    size_t kept = 0;
    size_t last = 0;
    double close = NAN;
    if (scales == NULL)
        return error_memory(error);
    /* From the oldest on, each sees the traded price of its own day. */
    for (size_t i = 0; i < count; i++) {
        size_t end = bars_find(bars, actions[i].date);
        if (end == 0 || !counts(&actions[i], adjustment, view))
            continue;
        close = end == last ? scale_to_view(&scales[kept - 1], close) : bars->close[end - 1];
        scales[kept++] = scale_of(&actions[i], close);
        last = end;
    }
    for (size_t i = kept; i-- > 1;)
        scales[i - 1] = with_later(&scales[i - 1], &scales[i]);
    int code = bars_apply_scales(bars, scales, kept, error);
    free(scales);
    return code;
}

enum { LEAST_BARS = 5 };

/* Half of the last decimal place that the prices of a bar use. */
static double grain(const struct bars *bars, size_t i)
{
    const double prices[] = {bars->open[i], bars->high[i], bars->low[i], bars->close[i]};
    double scale = 1;
    for (int c = 0; c < 4; c++)
        while (scale < 1e9 && fabs(prices[c] * scale - round(prices[c] * scale)) > 1e-6)
            scale *= 10;
    return 0.5000001 / scale;
}

static bool same(const struct bars *a, const struct bars *b, size_t i)
{
    return a->open[i] == b->open[i] && a->high[i] == b->high[i] && a->low[i] == b->low[i] &&
           a->close[i] == b->close[i];
}

/* Whether one ratio (or one difference) explains the first `end` bars. */
static bool explains(const struct bars *stored, const struct bars *other, size_t end, bool ratio,
                     double half, double *value)
{
    const double *from[] = {stored->open, stored->high, stored->low, stored->close};
    const double *to[] = {other->open, other->high, other->low, other->close};
    double low = -INFINITY;
    double high = INFINITY;
    /* Rounding leaves each price a range of values; all must share one. */
    for (size_t i = 0; i < end; i++) {
        for (int c = 0; c < 4; c++) {
            double x = from[c][i];
            double y = to[c][i];
            double room = half + 1e-12 * fabs(y);
            if (ratio && x == 0)
                return false;
            double a = ratio ? (y - room) / x : y - room - x;
            double b = ratio ? (y + room) / x : y + room - x;
            low = fmax(low, fmin(a, b));
            high = fmin(high, fmax(a, b));
        }
    }
    *value = low + (high - low) / 2;
    return low <= high;
}

bool bars_readjusted(const struct bars *stored, const struct bars *other,
                     struct readjustment *found)
{
    size_t end = 0;
    for (size_t i = 0; i < stored->count; i++)
        if (!same(stored, other, i))
            end = i + 1;
    for (size_t i = 0; i < end; i++)
        if (same(stored, other, i))
            return false;
    if (end < LEAST_BARS)
        return false;
    double half = INFINITY;
    for (size_t i = 0; i < end; i++)
        half = fmin(half, grain(other, i));
    *found = (struct readjustment){.ratio = true};
    found->before = end < stored->count ? stored->time[end] : stored->time[end - 1] + 1;
    if (explains(stored, other, end, false, half, &found->value))
        found->ratio = false;
    else if (!explains(stored, other, end, true, half, &found->value) || found->value <= 0)
        return false;
    found->grain = 2.0000001 * (found->ratio ? half / fabs(found->value) : half);
    return true;
}

void bars_undo_readjustment(struct bars *bars, const struct readjustment *adjusted)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    for (size_t i = 0; i < bars->count && bars->time[i] < adjusted->before; i++) {
        for (int c = 0; c < 4; c++) {
            double *price = &columns[c][i];
            *price = adjusted->ratio ? *price / adjusted->value : *price - adjusted->value;
        }
    }
}
