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

const char *const adjustment_names[] = {"none", "splits", "all", NULL};

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

const char *adjustment_name(enum adjustment adjustment)
{
    return adjustment_names[adjustment];
}

struct price_scale action_scale(const struct action *action, double close)
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

struct price_scale scale_then(const struct price_scale *scale, const struct price_scale *later)
{
    return (struct price_scale){.before = scale->before,
                                .shift = scale->shift + later->shift * scale->split / scale->share,
                                .share = scale->share * later->share,
                                .split = scale->split * later->split};
}

bool action_counts(const struct action *action, enum adjustment adjustment, int64_t view)
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
        if (end == 0 || !action_counts(&actions[i], adjustment, view))
            continue;
        close = end == last ? scale_to_view(&scales[kept - 1], close) : bars->close[end - 1];
        scales[kept++] = action_scale(&actions[i], close);
        last = end;
    }
    for (size_t i = kept; i-- > 1;)
        scales[i - 1] = scale_then(&scales[i - 1], &scales[i]);
    int code = bars_apply_scales(bars, scales, kept, error);
    free(scales);
    return code;
}
