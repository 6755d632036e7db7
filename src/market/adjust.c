#include "market/adjust.h"

#include <math.h>
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

/* price * factor + shift of the bars before `end`. */
static void change(struct bars *bars, size_t end, double factor, double shift, double volume)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    for (int c = 0; c < 4; c++)
        for (size_t i = 0; i < end; i++)
            columns[c][i] = columns[c][i] * factor + shift;
    for (size_t i = 0; i < end && volume != 1; i++)
        bars->volume[i] *= volume;
}

void bars_adjust(struct bars *bars, const struct action *actions, size_t count,
                 enum adjustment adjustment, int64_t view)
{
    /* From the oldest on, each sees the traded price of its own day. */
    for (size_t i = 0; i < count && adjustment != ADJUST_NONE; i++) {
        const struct action *action = &actions[i];
        size_t end = bars_find(bars, action->date);
        if (action->date > view || end == 0)
            continue;
        double close = bars->close[end - 1];
        if (action->kind == ACTION_SPLIT)
            change(bars, end, 1 / action->value, 0, action->value);
        else if (action->kind == ACTION_ROLL)
            change(bars, end, 1, action->value, 1);
        else if (adjustment == ADJUST_ALL && close > action->value)
            change(bars, end, 1 - action->value / close, 0, 1);
        else if (adjustment == ADJUST_ALL)
            change(bars, end, 1, -action->value, 1);
    }
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
