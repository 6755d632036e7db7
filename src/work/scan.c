#include "work/scan.h"

#include "base/array.h"
#include "work/walk.h"

#include <stdlib.h>
#include <string.h>

/* A signal kept until all are looked at. */
struct held {
    struct scan_row row;
    struct checklist *checklist;
};

/* What one instrument gave. */
struct found {
    bool more; /* finds of the same instrument follow */
    struct signals signals;
    struct newest_bar newest;
};

struct scanning {
    const struct scan_wish *wish;
    int (*take)(void *context, const struct scan_row *row, struct error *error);
    void *context;
    struct scan_sum *sum;
    size_t instruments; /* of this setup */
    struct held *held;  /* of the newest bars */
    size_t held_count;
    size_t held_room;
};

static int find_signals(const struct rules_case *opened, const void *context, void *result,
                        struct error *error)
{
    const struct scanning *scanning = context;
    struct found *found = result;
    size_t count = sheet_count(opened->sheet);
    size_t wait = opened->view.setup->confirm_wait;
    size_t first = scanning->wish->history || count < wait + 1 ? 0 : count - 1 - wait;
    if (first < opened->series.first)
        first = opened->series.first;
    int code = signals_find(&opened->view, first, count, true, &found->signals, error);
    if (scanning->wish->history || code != ERROR_NONE)
        return code;
    code = newest_bar_read(opened, &found->newest, error);
    size_t kept = 0;
    for (size_t i = 0; i < found->signals.count; i++)
        if (found->signals.list[i].at + 1 == count)
            found->signals.list[kept++] = found->signals.list[i];
    found->signals.count = kept;
    return code;
}

static void fill_row(struct scan_row *row, const struct rules_case *opened,
                     const struct signal *signal, const struct found *found)
{
    const struct bars *bars = &opened->series.bars;
    bool is_last = !found->more && signal->at + 1 == bars->count;
    row->setup = opened->view.setup;
    memcpy(row->instrument, opened->series.instrument.name, sizeof row->instrument);
    row->dated = interval_is_dated(bars->interval);
    row->candle_time = bars->time[signal->candle.at];
    row->signal_time = bars->time[signal->at];
    row->state = is_last && opened->provisional ? BAR_PROVISIONAL : BAR_WHOLE;
    row->due = found->newest.due;
    candle_on_chart(opened, &signal->candle, &row->high, &row->low);
}

static int hold(struct scanning *scanning, const struct scan_row *row, struct error *error)
{
    struct held *list = array_reserve(scanning->held, &scanning->held_room,
                                      scanning->held_count + 1, sizeof *list);
    if (list == NULL)
        return error_memory(error);
    scanning->held = list;
    list[scanning->held_count] = (struct held){.row = *row};
    if (row->checklist != NULL) {
        struct checklist *copy = malloc(sizeof *copy);
        if (copy == NULL)
            return error_memory(error);
        *copy = *row->checklist;
        list[scanning->held_count].checklist = copy;
        list[scanning->held_count].row.checklist = copy;
    }
    scanning->held_count++;
    return ERROR_NONE;
}

static void count(struct scanning *scanning, const struct rules_case *opened,
                  const struct found *found)
{
    struct scan_sum *sum = scanning->sum;
    const struct bars *bars = &opened->series.bars;
    scanning->instruments += !found->more;
    if (bars->count > opened->series.first && bars->time[bars->count - 1] > sum->newest) {
        sum->newest = bars->time[bars->count - 1];
        sum->dated = interval_is_dated(bars->interval);
    }
    sum->found += found->signals.count;
    sum->untold += found->signals.untold;
    for (size_t i = 0; i < found->signals.count; i++)
        sum->dated_back += found->signals.list[i].dated_back;
}

static int take(const struct rules_case *opened, void *context, void *result, struct error *error)
{
    struct scanning *scanning = context;
    const struct found *found = result;
    count(scanning, opened, found);
    int code = newest_bars_add(&scanning->sum->bars, &found->newest, error);
    for (size_t i = 0; i < found->signals.count && code == ERROR_NONE; i++) {
        const struct signal *signal = &found->signals.list[i];
        struct scan_row row = {0};
        struct checklist checklist;
        fill_row(&row, opened, signal, found);
        if (scanning->wish->criteria) {
            checklist_read(&opened->view, &signal->candle, signal->at, &checklist);
            row.checklist = &checklist;
        }
        code = scanning->wish->history ? scanning->take(scanning->context, &row, error)
                                       : hold(scanning, &row, error);
    }
    return code;
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
}

/* Hands over the signals of the newest bars, now that it is known which are old. */
static int give_held(struct scanning *scanning, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < scanning->held_count && code == ERROR_NONE; i++) {
        struct scan_row *row = &scanning->held[i].row;
        row->state = newest_bar_state(&scanning->sum->bars, row->due,
                                      row->state == BAR_PROVISIONAL);
        scanning->sum->old += row->state == BAR_OLD;
        code = scanning->take(scanning->context, row, error);
    }
    return code;
}

int scan_each(struct work *work, const struct scan_wish *wish,
              int (*take_one)(void *context, const struct scan_row *row, struct error *error),
              void *context, struct scan_sum *sum, struct error *error)
{
    struct scanning scanning = {.wish = wish, .take = take_one, .context = context, .sum = sum};
    const struct rules_job job = {.result_size = sizeof(struct found),
                                  .work = find_signals,
                                  .take = take,
                                  .walk = wish->history ? walk : NULL,
                                  .clear = clear,
                                  .context = &scanning};
    *sum = (struct scan_sum){.newest = INT64_MIN};
    int code = ERROR_NONE;
    for (size_t i = 0; i < wish->setup_count && code == ERROR_NONE; i++) {
        scanning.instruments = 0;
        newest_bars_begin_pass(&sum->bars);
        code = rules_each(work, &wish->setups[i], &job, error);
        if (scanning.instruments > sum->instruments)
            sum->instruments = scanning.instruments;
    }
    if (code == ERROR_NONE)
        code = give_held(&scanning, error);
    for (size_t i = 0; i < scanning.held_count; i++)
        free(scanning.held[i].checklist);
    free(scanning.held);
    return code;
}

void scan_sum_free(struct scan_sum *sum)
{
    newest_bars_free(&sum->bars);
}

void candle_on_chart(const struct rules_case *opened, const struct candle *candle, double *high,
                     double *low)
{
    bool is_short = opened->view.setup->side == SIDE_SHORT;
    *high = is_short ? 0 - candle->low : candle->high;
    *low = is_short ? 0 - candle->high : candle->low;
}
