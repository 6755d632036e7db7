#include "work/scan.h"

#include "work/nearly.h"
#include "work/walk.h"

#include <stdlib.h>

struct scanning {
    const struct scan_wish *wish;
    int (*take)(void *context, const struct rules_case *opened, const struct found *found,
                struct error *error);
    void *context;
    struct scan_sum *sum;
};

static int compare_misses(const void *a, const void *b)
{
    const struct near_miss *x = a;
    const struct near_miss *y = b;
    if (x->missed_by != y->missed_by)
        return x->missed_by < y->missed_by ? -1 : 1;
    return x->bar < y->bar ? -1 : x->bar > y->bar;
}

static int find_misses(const struct rules_case *opened, size_t wanted, struct found *found,
                       struct error *error)
{
    size_t count = sheet_count(opened->sheet);
    found->misses = malloc((wanted + 1) * sizeof *found->misses);
    if (found->misses == NULL)
        return error_memory(error);
    for (size_t bar = opened->series.first; bar < count; bar++) {
        struct near_bar near;
        bool nearly = nearly_at(&opened->view, bar, &near);
        found->untold += near.untold;
        if (!nearly)
            continue;
        /* The list stays sorted and as long as wanted; one more is cut off. */
        found->misses[found->miss_count++] = (struct near_miss){bar, near.missed_by, near.failed};
        qsort(found->misses, found->miss_count, sizeof *found->misses, compare_misses);
        if (found->miss_count > wanted)
            found->miss_count = wanted;
    }
    return sheet_failed(opened->sheet) ? error_memory(error) : ERROR_NONE;
}

static int find_signals(const struct rules_case *opened, const void *context, void *result,
                        struct error *error)
{
    const struct scanning *scanning = context;
    struct found *found = result;
    size_t count = sheet_count(opened->sheet);
    size_t wait = opened->view.setup->confirm_wait;
    if (scanning->wish->nearly > 0)
        return find_misses(opened, scanning->wish->nearly, found, error);
    size_t first = scanning->wish->history || count < wait + 1 ? 0 : count - 1 - wait;
    if (first < opened->series.first)
        first = opened->series.first;
    int code = signals_find(&opened->view, first, count, true, &found->signals, error);
    if (scanning->wish->history || code != ERROR_NONE)
        return code;
    size_t kept = 0;
    for (size_t i = 0; i < found->signals.count; i++)
        if (found->signals.list[i].at + 1 == count)
            found->signals.list[kept++] = found->signals.list[i];
    found->signals.count = kept;
    return ERROR_NONE;
}

static int take(const struct rules_case *opened, void *context, void *result, struct error *error)
{
    struct scanning *scanning = context;
    struct scan_sum *sum = scanning->sum;
    const struct found *found = result;
    const struct bars *bars = &opened->series.bars;
    sum->instruments += !found->more;
    if (bars->count > opened->series.first && bars->time[bars->count - 1] > sum->newest) {
        sum->newest = bars->time[bars->count - 1];
        sum->dated = interval_is_dated(bars->interval);
    }
    sum->found += found->signals.count + found->miss_count;
    sum->untold += found->signals.untold + found->untold;
    for (size_t i = 0; i < found->signals.count; i++)
        sum->dated_back += found->signals.list[i].dated_back;
    return scanning->take(scanning->context, opened, found, error);
}

static int take_part(void *context, const struct rules_case *window, const struct signals *signals,
                     bool more, struct error *error)
{
    struct found found = {.more = more, .signals = *signals};
    return take(window, context, &found, error);
}

static int walk(struct work *work, const struct rules_case *opened, void *context,
                struct error *error)
{
    return rules_walk(work, opened, take_part, context, error);
}

static void clear(void *result)
{
    struct found *found = result;
    signals_free(&found->signals);
    free(found->misses);
}

int scan_each(struct work *work, const struct setup *setup, const struct scan_wish *wish,
              int (*take_one)(void *context, const struct rules_case *opened,
                              const struct found *found, struct error *error),
              void *context, struct scan_sum *sum, struct error *error)
{
    struct scanning scanning = {wish, take_one, context, sum};
    const struct rules_job job = {.result_size = sizeof(struct found),
                                  .work = find_signals,
                                  .take = take,
                                  .walk = wish->history && wish->nearly == 0 ? walk : NULL,
                                  .clear = clear,
                                  .context = &scanning};
    *sum = (struct scan_sum){.newest = INT64_MIN};
    return rules_each(work, setup, &job, error);
}

void candle_on_chart(const struct rules_case *opened, const struct candle *candle, double *high,
                     double *low)
{
    bool is_short = opened->view.setup->side == SIDE_SHORT;
    *high = is_short ? 0 - candle->low : candle->high;
    *low = is_short ? 0 - candle->high : candle->low;
}
