#include "evidence/collect.h"

#include "base/array.h"
#include "measures/series.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void list_init(struct list *list, size_t size)
{
    *list = (struct list){.size = size};
}

void list_free(struct list *list)
{
    free(list->items);
    list_init(list, list->size);
}

void *list_add(struct list *list)
{
    void *items = array_reserve(list->items, &list->room, list->count + 1, list->size);
    if (items == NULL)
        return NULL;
    list->items = items;
    return (char *)items + list->size * list->count++;
}

bool list_join(struct list *list, const struct list *more)
{
    if (more->count == 0)
        return true;
    void *items = array_reserve(list->items, &list->room, list->count + more->count, list->size);
    if (items == NULL)
        return false;
    list->items = items;
    memcpy((char *)items + list->size * list->count, more->items, list->size * more->count);
    list->count += more->count;
    return true;
}

/* The least range that all of the setup's shapes ask for, in ATR before. */
static double floor_range(const struct setup *setup)
{
    double least = INFINITY;
    for (size_t c = 0; c < setup->candle_count; c++)
        least = fmin(least, shape_least_range(&setup->candles[c]));
    return isfinite(least) ? least : 0;
}

static int leave_out(struct study_setups *setups, size_t k, struct error *error)
{
    const struct criteria *confirm = &setups->setup->confirm;
    struct criterion *kept = array_new(confirm->count, sizeof *kept);
    if (kept == NULL)
        return error_memory(error);
    size_t count = 0;
    for (size_t i = 0; i < confirm->count; i++)
        if (i != k)
            kept[count++] = confirm->list[i];
    setups->kept[k] = kept;
    setups->without[k] = *setups->setup;
    setups->without[k].confirm = (struct criteria){kept, count};
    if (setups->without[k].confirm_at_least > 0)
        setups->without[k].confirm_at_least--;
    return ERROR_NONE;
}

int study_setups_init(struct study_setups *setups, const struct setup *setup, struct error *error)
{
    static const enum same_bar_rule rules[SAME_BAR_COUNT] = {SAME_BAR_NEAREST, SAME_BAR_WORST,
                                                             SAME_BAR_BEST};
    *setups = (struct study_setups){.setup = setup, .floor_atr = floor_range(setup)};
    setups->without_targets = *setup;
    setups->without_targets.exit.target_count = 0;
    setups->without_targets.exit.break_even_at_r = NAN;
    setups->without_targets.exit.trail = NULL;
    setups->without_targets.exit.when = (struct criteria){NULL, 0};
    setups->without_place = *setup;
    setups->without_place.place = (struct criteria){NULL, 0};
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        setups->same_bar[i] = *setup;
        setups->same_bar[i].same_bar = rules[i];
    }
    int code = ERROR_NONE;
    for (size_t k = 0; k < setup->confirm.count && code == ERROR_NONE; k++)
        code = leave_out(setups, k, error);
    return code;
}

void study_setups_free(struct study_setups *setups)
{
    for (size_t k = 0; k < CONFIRM_LIMIT; k++)
        free(setups->kept[k]);
    *setups = (struct study_setups){0};
}

void collected_init(struct collected *collected)
{
    *collected = (struct collected){0};
    list_init(&collected->trades, sizeof(struct study_trade));
    for (size_t a = 0; a < ARM_COUNT; a++) {
        list_init(&collected->candle[a].trades, sizeof(struct control_trade));
        list_init(&collected->place[a].trades, sizeof(struct control_trade));
        list_init(&collected->followed[a], sizeof(struct followed_move));
        for (size_t k = 0; k < CONFIRM_LIMIT; k++)
            list_init(&collected->confirm[k][a].trades, sizeof(struct control_trade));
    }
}

void collected_free(struct collected *collected)
{
    list_free(&collected->trades);
    for (size_t a = 0; a < ARM_COUNT; a++) {
        list_free(&collected->candle[a].trades);
        list_free(&collected->place[a].trades);
        list_free(&collected->followed[a]);
        for (size_t k = 0; k < CONFIRM_LIMIT; k++)
            list_free(&collected->confirm[k][a].trades);
    }
}

enum { TREND_BARS = 100 };

/* One instrument being gathered. */
struct gathering {
    struct collected *collected;
    const struct study_setups *setups;
    const struct study_series *series;
    size_t index;
    const struct date_grid *grid;
    struct sheet *sheet;
    struct setup_view view; /* the setup as it is */
    struct setup_view no_targets;
    struct setup_view no_place;
    const double *atr;
    const double *slow_atr;
    struct error *error;
};

static size_t date_of(const struct gathering *gathering, size_t bar)
{
    return date_grid_find(gathering->grid, gathering->series->bars->time[bar]);
}

static double direction(const struct gathering *gathering)
{
    return gathering->setups->setup->side == SIDE_LONG ? 1 : -1;
}

static double at_bar(const double *column, size_t bar)
{
    return column != NULL ? column[bar] : NAN;
}

/* Adds what became of a signal to one arm; false without memory. */
static bool add_to_arm(struct gathering *gathering, struct collected_arm *arm,
                       const struct setup_view *view, const struct signal *signal)
{
    struct trade trade = trade_of_signal(view, &gathering->series->terms, signal, NULL);
    arm->signals++;
    if (!trade_filled(trade.reason))
        return true;
    struct control_trade *added = list_add(&arm->trades);
    if (added == NULL)
        return false;
    *added = (struct control_trade){
        .instrument = gathering->index,
        .date = date_of(gathering, trade.entry_bar),
        .r = trade_closed(trade.reason) ? trade.r : NAN,
        .risk_atr = trade.risk / at_bar(gathering->atr, signal->at),
    };
    return true;
}

static bool add_followed(struct gathering *gathering, size_t arm, size_t t)
{
    const struct bars *bars = gathering->series->bars;
    struct followed_move *added = list_add(&gathering->collected->followed[arm]);
    if (added == NULL)
        return false;
    added->instrument = gathering->index;
    added->date = date_of(gathering, t);
    double atr = at_bar(gathering->atr, t);
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        size_t later = t + followed_bars[h];
        bool known = later < sheet_count(gathering->sheet) && atr > 0;
        added->move[h] = known ? direction(gathering) * (bars->close[later] - bars->close[t]) / atr
                               : NAN;
    }
    return true;
}

/* A candle of the setup's shape at t, in its place or not. */
static bool add_candle(struct gathering *gathering, const struct candle *candle, bool in_place)
{
    struct collected *collected = gathering->collected;
    const struct setup_view *view = in_place ? &gathering->view : &gathering->no_place;
    struct signal signal = signal_of(view, candle);
    bool given = signal.state == SIGNAL_GIVEN;
    collected->shapes++;
    collected->shape_signals += given;
    if (in_place) {
        collected->candidates++;
        collected->signals += given;
        if (!add_followed(gathering, ARM_SETUP, candle->at))
            return false;
        if (given && !add_to_arm(gathering, &collected->candle[ARM_SETUP], view, &signal))
            return false;
    }
    if (given && gathering->setups->setup->place.count > 0)
        return add_to_arm(gathering, &collected->place[in_place ? ARM_SETUP : ARM_OTHERS], view,
                          &signal);
    return true;
}

/* For each confirmation: the signal of the others alone, sorted by whether
 * this one held at it. Decided on bars up to the signal, so nothing is known
 * beforehand. */
static bool add_confirmations(struct gathering *gathering, const struct candle *candle)
{
    const struct setup *setup = gathering->setups->setup;
    for (size_t k = 0; k < setup->confirm.count; k++) {
        struct setup_view view = gathering->view;
        view.setup = &gathering->setups->without[k];
        struct signal signal = signal_of(&view, candle);
        if (signal.state != SIGNAL_GIVEN)
            continue;
        bool held = criterion_holds(&gathering->view, &setup->confirm.list[k], candle, signal.at) ==
                    TRUTH_YES;
        if (!add_to_arm(gathering, &gathering->collected->confirm[k][held ? ARM_SETUP : ARM_OTHERS],
                        &view, &signal))
            return false;
    }
    return true;
}

/* Another bar of the place: no candidate, and not smaller than the shape may
 * be. */
static bool add_other(struct gathering *gathering, size_t t)
{
    const struct bars *bars = gathering->series->bars;
    double range = bars->high[t] - bars->low[t];
    double floor_atr = gathering->setups->floor_atr;
    if (!(range > 0) || t == 0)
        return true;
    if (floor_atr > 0 && !(range >= floor_atr * at_bar(gathering->atr, t - 1)))
        return true;
    struct candle candle = candle_of_bar(&gathering->view, t);
    if (!place_holds(&gathering->view, &candle))
        return true;
    if (!add_followed(gathering, ARM_OTHERS, t))
        return false;
    struct signal signal = signal_of(&gathering->view, &candle);
    return signal.state != SIGNAL_GIVEN ||
           add_to_arm(gathering, &gathering->collected->candle[ARM_OTHERS], &gathering->view,
                      &signal);
}

static int gather_bars(struct gathering *gathering)
{
    size_t count = sheet_count(gathering->sheet);
    for (size_t t = gathering->series->first; t < count; t++) {
        struct candle candle;
        bool whole = true;
        bool shape = candle_at(&gathering->view, t, &candle);
        bool in_place = shape && place_holds(&gathering->view, &candle);
        if (shape)
            whole = add_candle(gathering, &candle, in_place);
        if (whole && in_place)
            whole = add_confirmations(gathering, &candle);
        if (whole && !in_place)
            whole = add_other(gathering, t);
        if (!whole)
            return error_memory(gathering->error);
    }
    return ERROR_NONE;
}

/* Read at the few bars that signal: a column of it would be the dearest of
 * all. */
static double slope_at(const struct gathering *gathering, size_t bar)
{
    return bar + 1 >= TREND_BARS
               ? window_slope(gathering->series->bars->close + bar + 1 - TREND_BARS, TREND_BARS)
               : NAN;
}

static double reach_of(struct gathering *gathering, const struct trade *trade)
{
    struct trade free_run = trade_of_signal(&gathering->no_targets, &gathering->series->terms,
                                            &trade->signal, NULL);
    return trade_filled(free_run.reason) ? free_run.mfe_r : NAN;
}

static bool add_trade(struct gathering *gathering, const struct trade *trade)
{
    struct study_trade *added = list_add(&gathering->collected->trades);
    if (added == NULL)
        return false;
    size_t s = trade->signal.at;
    double atr = at_bar(gathering->atr, s);
    bool closed = trade_closed(trade->reason);
    bool stopped = trade->reason == TRADE_STOP;
    *added = (struct study_trade){
        .instrument = gathering->index,
        .signal = s,
        .entry = trade->entry_bar,
        .exit = trade->exit_bar,
        .exit_time = gathering->series->bars->time[trade->exit_bar],
        .date = date_of(gathering, trade->entry_bar),
        .r = closed ? trade->r : NAN,
        .r_before_costs = closed ? trade->r_before_costs : NAN,
        .mae_r = trade->mae_r,
        .mfe_r = trade->mfe_r,
        .reach_r = reach_of(gathering, trade),
        .stop_excess_r = stopped ? fmax(0, -1 - trade->r_before_costs) : NAN,
        .volatility = atr / at_bar(gathering->slow_atr, s),
        .trend = direction(gathering) * slope_at(gathering, s) * (TREND_BARS - 1) / atr,
        .bars = trade->bars,
        .reason = trade->reason,
        .same_bar = trade->same_bar,
    };
    return true;
}

static int gather_trades(struct gathering *gathering, bool *in_doubt)
{
    struct trades trades;
    struct collected *collected = gathering->collected;
    int code = trades_find(&gathering->view, &gathering->series->terms, gathering->series->first,
                           sheet_count(gathering->sheet), true, &trades, gathering->error);
    collected->untold += code == ERROR_NONE ? trades.untold : 0;
    for (size_t i = 0; code == ERROR_NONE && i < trades.count; i++) {
        const struct trade *trade = &trades.list[i];
        *in_doubt = *in_doubt || trade->same_bar;
        collected->passed_over += trade->reason == TRADE_PASSED;
        collected->dated_back += trade_filled(trade->reason) && trade->signal.dated_back;
        collected->unfilled += trade->reason == TRADE_UNFILLED || trade->reason == TRADE_LATE;
        if (trade_filled(trade->reason) && !add_trade(gathering, trade))
            code = error_memory(gathering->error);
    }
    trades_free(&trades);
    return code;
}

/* The sum of R of closed trades and their number; *hung: how many hung on the
 * order of prices within one bar. All three are added to. */
static int sum_trades(const struct setup_view *view, const struct study_series *series, double *sum,
                      size_t *closed, size_t *hung, struct error *error)
{
    struct trades trades;
    int code = trades_find(view, &series->terms, series->first, sheet_count(view->plain), false,
                           &trades, error);
    for (size_t i = 0; code == ERROR_NONE && i < trades.count; i++) {
        *hung += trade_filled(trades.list[i].reason) && trades.list[i].same_bar;
        if (!trade_closed(trades.list[i].reason))
            continue;
        *sum += trades.list[i].r;
        ++*closed;
    }
    trades_free(&trades);
    return code;
}

/* Where no bar was in doubt every rule gives the same trades. */
static void repeat_same_bar(struct collected *collected)
{
    const struct study_trade *trades = collected->trades.items;
    for (size_t i = 0; i < collected->trades.count; i++) {
        if (isnan(trades[i].r))
            continue;
        for (size_t rule = 0; rule < SAME_BAR_COUNT; rule++) {
            collected->same_bar_sum[rule] += trades[i].r;
            collected->same_bar_closed[rule]++;
        }
    }
}

static int gather_same_bar(struct gathering *gathering, bool in_doubt)
{
    int code = ERROR_NONE;
    if (!in_doubt) {
        repeat_same_bar(gathering->collected);
        return code;
    }
    for (size_t i = 0; i < SAME_BAR_COUNT && code == ERROR_NONE; i++) {
        struct setup_view view = gathering->view;
        size_t hung = 0;
        view.setup = &gathering->setups->same_bar[i];
        code = sum_trades(&view, gathering->series, &gathering->collected->same_bar_sum[i],
                          &gathering->collected->same_bar_closed[i], &hung, gathering->error);
        /* Of one rule always, whatever the setup's own is: `nearest` cancels
         * some of these entries, and each rule lets other trades follow. */
        if (i == SAME_BAR_WORST)
            gathering->collected->hung = hung;
    }
    return code;
}

static int open_views(struct gathering *gathering)
{
    gathering->sheet = sheet_of_instrument(gathering->series->bars, gathering->series->instrument);
    if (gathering->sheet == NULL)
        return error_memory(gathering->error);
    int code = setup_view_init(&gathering->view, gathering->setups->setup, gathering->sheet,
                               gathering->series->around, gathering->error);
    if (code != ERROR_NONE)
        return code;
    gathering->no_targets = gathering->view;
    gathering->no_targets.setup = &gathering->setups->without_targets;
    gathering->no_place = gathering->view;
    gathering->no_place.setup = &gathering->setups->without_place;
    gathering->atr = sheet_atr(gathering->sheet, 14);
    gathering->slow_atr = sheet_atr(gathering->sheet, 100);
    return sheet_failed(gathering->sheet) ? error_memory(gathering->error) : ERROR_NONE;
}

int collect_series(struct collected *collected, const struct study_setups *setups,
                   const struct study_series *series, size_t index, const struct date_grid *grid,
                   struct error *error)
{
    struct gathering gathering = {.collected = collected,
                                  .setups = setups,
                                  .series = series,
                                  .index = index,
                                  .grid = grid,
                                  .error = error};
    bool in_doubt = false;
    int code = open_views(&gathering);
    if (code == ERROR_NONE)
        code = gather_trades(&gathering, &in_doubt);
    if (code == ERROR_NONE)
        code = gather_same_bar(&gathering, in_doubt);
    if (code == ERROR_NONE)
        code = gather_bars(&gathering);
    if (code == ERROR_NONE && sheet_failed(gathering.sheet))
        code = error_memory(error);
    sheet_free(gathering.sheet);
    return code;
}

int collect_sum(const struct setup *setup, const struct study_series *series, double *sum,
                size_t *closed, struct error *error)
{
    struct setup_view view;
    struct sheet *sheet = sheet_of_instrument(series->bars, series->instrument);
    if (sheet == NULL)
        return error_memory(error);
    size_t hung = 0;
    int code = setup_view_init(&view, setup, sheet, series->around, error);
    if (code == ERROR_NONE)
        code = sum_trades(&view, series, sum, closed, &hung, error);
    if (code == ERROR_NONE && sheet_failed(sheet))
        code = error_memory(error);
    sheet_free(sheet);
    return code;
}
