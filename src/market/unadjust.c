#include "market/unadjust.h"

#include "base/array.h"
#include "market/readjust.h"
#include "market/scale.h"

#include <math.h>
#include <stdlib.h>

struct last_close {
    int64_t time; /* INT64_MIN: none was seen */
    double price;
};

int unadjust_begin(struct unadjust *unadjust, const struct action *actions, size_t count,
                   enum adjustment adjustment, struct error *error)
{
    *unadjust = (struct unadjust){.adjustment = adjustment, .last = INT64_MIN};
    unadjust->actions = array_new(count, sizeof *unadjust->actions);
    unadjust->closes = array_new(count, sizeof *unadjust->closes);
    unadjust->scales = array_new(count, sizeof *unadjust->scales);
    if (unadjust->actions == NULL || unadjust->closes == NULL || unadjust->scales == NULL)
        return error_memory(error);
    for (size_t i = 0; i < count; i++) {
        if (!action_counts(&actions[i], adjustment, INT64_MAX))
            continue;
        unadjust->closes[unadjust->count] = (struct last_close){INT64_MIN, NAN};
        unadjust->actions[unadjust->count++] = actions[i];
    }
    return ERROR_NONE;
}

void unadjust_look(struct unadjust *unadjust, const struct bars *block)
{
    for (size_t i = 0; i < block->count; i++) {
        struct bar bar = bars_at(block, i);
        unadjust->places = prices_places(&bar, unadjust->places);
    }
    if (block->count > 0 && block->time[block->count - 1] > unadjust->last)
        unadjust->last = block->time[block->count - 1];
    for (size_t a = 0; a < unadjust->count; a++) {
        size_t end = bars_find(block, unadjust->actions[a].date);
        if (end > 0 && block->time[end - 1] >= unadjust->closes[a].time)
            unadjust->closes[a] = (struct last_close){block->time[end - 1], block->close[end - 1]};
    }
}

/* From the newest on: the file's close before an action, later ones taken back,
 * is what the action left of the close that was traded. */
void unadjust_settle(struct unadjust *unadjust)
{
    struct price_scale later = {INT64_MAX, 0, 1, 1};
    while (unadjust->count > 0 && unadjust->actions[unadjust->count - 1].date > unadjust->last)
        unadjust->count--;
    unadjust->scale_count = unadjust->count;
    unadjust->traded_places = unadjust->places;
    for (size_t i = unadjust->count; i-- > 0;) {
        const struct action *action = &unadjust->actions[i];
        /* What a roll took off in decimals of its own comes back with them. */
        if (action->kind == ACTION_ROLL)
            unadjust->traded_places = price_places(action->value, unadjust->traded_places);
        double close = scale_to_traded(&later, unadjust->closes[i].price) + action->value;
        struct price_scale scale = action_scale(action, close);
        later = unadjust->scales[i] = scale_then(&scale, &later);
    }
}

double unadjust_room(const struct unadjust *unadjust, size_t index)
{
    const struct price_scale *scale = &unadjust->scales[index];
    return 0.5000001 * pow(10, -unadjust->places) * scale->split / scale->share;
}

static double take_back(const struct unadjust *unadjust, size_t index, double price)
{
    double room = unadjust_room(unadjust, index);
    double traded = scale_to_traded(&unadjust->scales[index], price);
    if (unadjust->tick != NULL) {
        double ticks = round(traded / unadjust->tick->value);
        double rounded = tick_multiple(unadjust->tick, ticks);
        if (fabs(rounded - traded) <= room)
            return rounded;
    }
    return price_to_places(traded, unadjust->traded_places, room);
}

void unadjust_bars(const struct unadjust *unadjust, struct bars *block)
{
    double *columns[] = {block->open, block->high, block->low, block->close};
    size_t first = 0;
    for (size_t s = 0; s < unadjust->scale_count; s++) {
        size_t end = bars_find(block, unadjust->scales[s].before);
        for (size_t i = first; i < end; i++) {
            for (int c = 0; c < 4; c++)
                columns[c][i] = take_back(unadjust, s, columns[c][i]);
            block->volume[i] /= unadjust->scales[s].split;
        }
        first = end > first ? end : first;
    }
}

void unadjust_free(struct unadjust *unadjust)
{
    free(unadjust->actions);
    free(unadjust->closes);
    free(unadjust->scales);
    *unadjust = (struct unadjust){.count = 0};
}
