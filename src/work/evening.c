#include "work/evening.h"

#include "base/array.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The rows of one instrument. */
struct found {
    struct evening rows;
    struct newest_bar newest;
};

/* One setup over all instruments. */
struct looking {
    struct evening *evening;
    const struct nearly_wish *nearly; /* NULL: all kinds, of the newest bars */
    size_t instruments;
};

static struct evening_row *add(struct evening *evening, struct error *error)
{
    struct evening_row *list = array_reserve(evening->list, &evening->room, evening->count + 1,
                                             sizeof *list);
    if (list == NULL) {
        error_memory(error);
        return NULL;
    }
    evening->list = list;
    list[evening->count] = (struct evening_row){.stop = NAN, .away_atr = NAN};
    return &list[evening->count++];
}

static struct evening_row *begin_row(const struct rules_case *opened, enum evening_kind kind,
                                     size_t candle, size_t newest, struct evening *evening,
                                     struct error *error)
{
    struct evening_row *row = add(evening, error);
    const struct instrument *instrument = &opened->series.instrument;
    const struct bars *bars = &opened->series.bars;
    if (row == NULL)
        return NULL;
    row->kind = kind;
    row->setup = opened->view.setup;
    row->due = INT64_MAX;
    row->provisional = opened->provisional && newest + 1 == sheet_count(opened->sheet);
    memcpy(row->instrument, instrument->name, sizeof row->instrument);
    memcpy(row->zone, instrument->zone, sizeof row->zone);
    row->tick = opened->terms.tick;
    row->is_short = opened->view.setup->side == SIDE_SHORT;
    row->dated = interval_is_dated(bars->interval);
    row->candle_time = bars->time[candle];
    row->newest_time = bars->time[newest];
    row->close = bars->close[newest];
    return row;
}

static int add_signal(const struct rules_case *opened, const struct signal *signal, size_t newest,
                      struct evening *evening, struct error *error)
{
    struct trade_path path;
    bool is_new = signal->at == newest;
    const struct trade trade = trade_of_signal(&opened->view, &opened->terms, signal, &path);
    if (!is_new && trade.reason != TRADE_WAITING)
        return ERROR_NONE;
    struct evening_row *row = begin_row(opened, is_new ? EVENING_SIGNAL : EVENING_WAITING,
                                        signal->candle.at, newest, evening, error);
    if (row == NULL)
        return error->code;
    const double *atr = sheet_column(opened->sheet, MEASURE_ATR, 14, 0, 0);
    row->signal_time = opened->series.bars.time[signal->at];
    row->stop = path.stop;
    if (trade.reason != TRADE_WAITING)
        return ERROR_NONE;
    row->awaited = path.awaited;
    if (atr != NULL && atr[newest] > 0)
        row->away_atr = fabs(row->awaited.price - row->close) / atr[newest];
    return ERROR_NONE;
}

static int add_signals(const struct rules_case *opened, size_t newest, struct evening *evening,
                       struct error *error)
{
    struct trades trades;
    int code = trades_find(&opened->view, &opened->terms, opened->series.first, SIZE_MAX, true,
                           &trades, error);
    if (code != ERROR_NONE)
        return code;
    /* The list says which ones the setup was not too busy for. */
    for (size_t i = 0; code == ERROR_NONE && i < trades.count; i++) {
        const struct trade *trade = &trades.list[i];
        if (trade->reason == TRADE_BROKEN || trade->reason == TRADE_PASSED ||
            (trade->reason != TRADE_WAITING && trade->signal.at != newest))
            continue;
        code = add_signal(opened, &trade->signal, newest, evening, error);
    }
    trades_free(&trades);
    return code;
}

static int add_nearly(const struct rules_case *opened, const struct nearly_wish *wish, size_t first,
                      struct evening *evening, struct error *error)
{
    struct near_misses misses = {0};
    int code = near_misses_find(opened, first, wish->most, &misses, error);
    for (size_t i = 0; i < misses.count && code == ERROR_NONE; i++) {
        const struct near_miss *miss = &misses.list[i];
        struct evening_row *row = begin_row(opened, EVENING_NEARLY, miss->bar, miss->bar, evening,
                                            error);
        if (row == NULL)
            code = error->code;
        else {
            row->failed = miss->failed;
            row->missed_by = miss->missed_by;
        }
    }
    evening->untold += misses.untold;
    near_misses_free(&misses);
    return code;
}

static int look(const struct rules_case *opened, const void *context, void *result,
                struct error *error)
{
    static const struct nearly_wish newest_only = {.most = 1};
    const struct looking *looking = context;
    const struct nearly_wish *wish = looking->nearly;
    struct found *found = result;
    size_t count = sheet_count(opened->sheet);
    size_t first = wish != NULL && wish->history ? opened->series.first : count - 1;
    bool given = false;
    int code = newest_bar_read(opened, &found->newest, error);
    if (count <= opened->series.first || code != ERROR_NONE)
        return code;
    /* What has ended fills no entry any more, and has no evening. */
    if (found->newest.ended && (wish == NULL || !wish->history))
        return ERROR_NONE;
    if (wish == NULL)
        code = add_signals(opened, count - 1, &found->rows, error);
    for (size_t i = 0; i < found->rows.count; i++)
        given |= found->rows.list[i].kind == EVENING_SIGNAL;
    if (code == ERROR_NONE && !given)
        code = add_nearly(opened, wish != NULL ? wish : &newest_only, first, &found->rows, error);
    for (size_t i = 0; i < found->rows.count; i++)
        if (wish == NULL || !wish->history)
            found->rows.list[i].due = found->newest.due;
    if (code == ERROR_NONE && sheet_failed(opened->sheet))
        code = error_memory(error);
    return code;
}

static int take(const struct rules_case *opened, void *context, void *result, struct error *error)
{
    struct looking *looking = context;
    struct evening *evening = looking->evening;
    struct found *found = result;
    (void)opened;
    looking->instruments++;
    evening->untold += found->rows.untold;
    for (size_t i = 0; i < found->rows.count; i++) {
        struct evening_row *row = add(evening, error);
        if (row == NULL)
            return error->code;
        *row = found->rows.list[i];
    }
    return newest_bars_add(&evening->newest, &found->newest, error);
}

static void clear(void *result)
{
    struct found *found = result;
    evening_free(&found->rows);
}

static int find(struct work *work, const struct setup *setup, struct looking *looking,
                struct error *error)
{
    const struct rules_job job = {.result_size = sizeof(struct found),
                                  .work = look,
                                  .take = take,
                                  .clear = clear,
                                  .context = looking};
    struct evening *evening = looking->evening;
    size_t before = evening->count;
    newest_bars_begin_pass(&evening->newest);
    int code = rules_each(work, setup, &job, error);
    if (code != ERROR_NONE)
        evening->count = before;
    if (looking->instruments > evening->instruments)
        evening->instruments = looking->instruments;
    return code;
}

int evening_find(struct work *work, const struct setup *setup, struct evening *evening,
                 struct error *error)
{
    struct looking looking = {.evening = evening};
    return find(work, setup, &looking, error);
}

int evening_find_nearly(struct work *work, const struct setup *setup,
                        const struct nearly_wish *wish, struct evening *evening,
                        struct error *error)
{
    struct looking looking = {.evening = evening, .nearly = wish};
    return find(work, setup, &looking, error);
}

void evening_free(struct evening *evening)
{
    newest_bars_free(&evening->newest);
    free(evening->list);
    *evening = (struct evening){0};
}

/* --- their order ---------------------------------------------------------------------- */

static double rank_of(const struct evening_row *row)
{
    double rank = row->kind == EVENING_NEARLY ? row->missed_by : row->away_atr;
    return isnan(rank) ? INFINITY : rank;
}

static int compare(const void *a, const void *b)
{
    const struct evening_row *x = a;
    const struct evening_row *y = b;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    if (rank_of(x) < rank_of(y) || rank_of(y) < rank_of(x))
        return rank_of(x) < rank_of(y) ? -1 : 1;
    int by_name = strcmp(x->instrument, y->instrument);
    if (by_name != 0)
        return by_name;
    if (x->candle_time != y->candle_time)
        return x->candle_time < y->candle_time ? -1 : 1;
    return strcmp(x->setup->name, y->setup->name);
}

void evening_sort(struct evening *evening)
{
    if (evening->count > 0)
        qsort(evening->list, evening->count, sizeof *evening->list, compare);
}

void evening_keep_open(struct evening *evening)
{
    size_t kept = 0;
    for (size_t i = 0; i < evening->count; i++) {
        if (evening->list[i].awaited.what == AWAITS_NOTHING)
            continue;
        evening->list[kept] = evening->list[i];
        evening->list[kept++].kind = EVENING_WAITING;
    }
    evening->count = kept;
}

enum bar_state evening_state(const struct evening *evening, const struct evening_row *row)
{
    return newest_bar_state(&evening->newest, row->due, row->provisional);
}
