#include "trade/trade.h"

#include "base/array.h"
#include "trade/position.h"

#include <math.h>
#include <stdlib.h>

/* Prices of a short trade back to those of the chart. */
static double chart_price(const struct simulation *simulation, double price)
{
    return simulation->short_side && price != 0 ? -price : price;
}

static void fill_trade(struct trade *trade, const struct simulation *simulation,
                       const struct position *position)
{
    bool closed = position->remaining == 0;
    double gross = position->proceeds - position->fill.price;
    double costs = order_costs(simulation, position->fill.bar, position->fill.price, true, true) +
                   position->exit_costs;
    trade->reason = position->reason;
    trade->exit_bar = position->exit_bar;
    trade->bars = position->exit_bar - position->fill.bar;
    trade->exits = position->exits;
    trade->same_bar = position->same_bar;
    trade->finer_missing = position->finer_missing;
    trade->risk = position->risk;
    trade->mae_r = (position->lowest - position->fill.price) / position->risk;
    trade->mfe_r = (position->highest - position->fill.price) / position->risk;
    if (position->target_count > 0)
        trade->target = chart_price(simulation, position->targets[0].price);
    if (!closed)
        return;
    trade->exit = chart_price(simulation, position->proceeds);
    trade->r_before_costs = gross / position->risk;
    trade->r = (gross - costs) / position->risk;
}

static void fill_path(struct trade_path *path, const struct simulation *simulation,
                      const struct position *position)
{
    for (size_t i = 0; i < path->count; i++)
        path->steps[i].price = chart_price(simulation, path->steps[i].price);
    path->target_count = position->target_count;
    for (size_t i = 0; i < position->target_count; i++)
        path->targets[i] = chart_price(simulation, position->targets[i].price);
}

static struct trade no_trade(const struct signal *signal, enum trade_reason reason, size_t bar,
                             const char *note)
{
    return (struct trade){.signal = *signal,
                          .reason = reason,
                          .note = note,
                          .entry_bar = bar,
                          .exit_bar = bar,
                          .entry = NAN,
                          .stop = NAN,
                          .target = NAN,
                          .exit = NAN,
                          .risk = NAN,
                          .r = NAN,
                          .r_before_costs = NAN,
                          .mae_r = NAN,
                          .mfe_r = NAN};
}

/* The level that an entry waits for, NaN where it has none. */
static double level_at(const struct simulation *simulation, size_t bar)
{
    const struct entry *entry = simulation->setup->entry.entry;
    return entry->level != NULL ? chart_price(simulation, entry->level(&simulation->entry, bar))
                                : NAN;
}

struct trade trade_of_signal(const struct setup_view *view, const struct trade_terms *terms,
                             const struct signal *signal, struct trade_path *path)
{
    return trade_follow(view, terms, signal, NULL, path, NULL);
}

struct trade trade_follow(const struct setup_view *view, const struct trade_terms *terms,
                          const struct signal *signal, const struct trade_words *words,
                          struct trade_path *path, struct trade_standing *standing)
{
    struct simulation simulation = {.view = view,
                                    .terms = terms,
                                    .setup = view->setup,
                                    .bars = sheet_bars(view->own),
                                    .count = sheet_count(view->own),
                                    .atr = sheet_atr(view->own, 14),
                                    .signal = *signal,
                                    .short_side = view->setup->side == SIDE_SHORT,
                                    .finer = terms->finer,
                                    .words = words};
    if (standing != NULL)
        *standing = (struct trade_standing){.stop = NAN, .open_r = NAN};
    if (path != NULL)
        *path = (struct trade_path){.order_price = NAN, .stop = NAN, .level = NAN};
    if (simulation.atr == NULL)
        return no_trade(signal, TRADE_UNFILLED, signal->at, "out of memory");
    struct fill fill = find_fill(&simulation);
    fill_by_word(&simulation, &fill);
    if (path != NULL)
        path->stop = chart_price(&simulation, simulation.planned_stop);
    if (path != NULL && entry_rests(view->setup->entry.entry))
        path->order_price = chart_price(&simulation,
                                        view->setup->entry.entry->level(&simulation.entry,
                                                                        signal->at));
    if (path != NULL) {
        path->awaited = fill.awaited;
        path->awaited.price = chart_price(&simulation, fill.awaited.price);
    }
    struct trade trade = no_trade(signal, fill.outcome, fill.bar, fill.note);
    trade.same_bar = fill.same_bar;
    trade.finer_missing = fill.finer_missing;
    trade.stop = chart_price(&simulation, fill.stop);
    if (path != NULL && fill.broke > 0) {
        path->broke = fill.broke;
        path->returned = fill.returned;
        path->level = level_at(&simulation, fill.broke);
    }
    if (fill.outcome != TRADE_OPEN)
        return trade;
    struct position position;
    position_run(&position, &simulation, &fill, path);
    trade.signal.dated_back = trade.signal.dated_back || position.leans_back;
    trade.entry = chart_price(&simulation, fill.price);
    fill_trade(&trade, &simulation, &position);
    if (path != NULL)
        fill_path(path, &simulation, &position);
    if (standing != NULL)
        position_stand(&position, standing);
    return trade;
}

static int add_trade(struct trades *trades, const struct trade *trade, struct error *error)
{
    struct trade *list = array_reserve(trades->list, &trades->room, trades->count + 1,
                                       sizeof *list);
    if (list == NULL)
        return error_memory(error);
    trades->list = list;
    list[trades->count++] = *trade;
    return ERROR_NONE;
}

/* The first bar on which a new signal is taken again. */
static size_t free_again(const struct trade *trade)
{
    bool busy_to_the_end = trade->reason == TRADE_OPEN || trade->reason == TRADE_WAITING;
    return busy_to_the_end ? SIZE_MAX : trade->exit_bar;
}

/* A walk over signals in their order. */
struct following {
    const struct setup_view *view;
    const struct trade_terms *terms;
    bool all;
    size_t busy_until;
    struct trades *trades;
};

/* What becomes of one signal; it is kept and counted where `wanted`. */
static int follow_signal(struct following *following, const struct signal *signal, bool wanted,
                         struct error *error)
{
    bool given = signal->state == SIGNAL_GIVEN;
    struct trade trade;
    if (signal->state == SIGNAL_BROKEN) {
        trade = no_trade(signal, TRADE_BROKEN, signal->at, "a low below the candle came first");
    } else if (!given) {
        return ERROR_NONE;
    } else if (following->view->setup->overlap == OVERLAP_ONE &&
               signal->at < following->busy_until) {
        trade = no_trade(signal, TRADE_PASSED, signal->at, "the setup was busy");
    } else {
        trade = trade_of_signal(following->view, following->terms, signal, NULL);
        following->busy_until = free_again(&trade);
    }
    following->trades->signals += given && wanted;
    return wanted && (following->all || trade_filled(trade.reason))
               ? add_trade(following->trades, &trade, error)
               : ERROR_NONE;
}

static bool comes_before(const struct signal *a, const struct signal *b)
{
    return a->at != b->at ? a->at < b->at : a->candle.at < b->candle.at;
}

/* The signals asked for, and between them, in their order, those of earlier
 * candles, which only make the setup busy. */
static int follow_signals(struct following *following, const struct signals *earlier,
                          const struct signals *signals, struct error *error)
{
    size_t e = 0;
    size_t s = 0;
    int code = ERROR_NONE;
    while (code == ERROR_NONE && s < signals->count) {
        bool is_earlier = e < earlier->count && comes_before(&earlier->list[e], &signals->list[s]);
        code = follow_signal(following, is_earlier ? &earlier->list[e++] : &signals->list[s++],
                             !is_earlier, error);
    }
    return code;
}

int trades_find(const struct setup_view *view, const struct trade_terms *terms, size_t first,
                size_t last, bool all, struct trades *trades, struct error *error)
{
    struct signals earlier = {0};
    struct signals signals = {0};
    struct following following = {view, terms, all, 0, trades};
    *trades = (struct trades){0};
    int code = signals_find(view, first, last, false, &signals, error);
    if (code == ERROR_NONE && view->setup->overlap == OVERLAP_ONE)
        code = signals_find(view, 0, first, true, &earlier, error);
    trades->candidates = signals.candidates;
    trades->untold = signals.untold;
    if (code == ERROR_NONE)
        code = follow_signals(&following, &earlier, &signals, error);
    signals_free(&earlier);
    signals_free(&signals);
    if (code == ERROR_NONE && sheet_failed(view->plain))
        code = error_memory(error);
    if (code != ERROR_NONE)
        trades_free(trades);
    return code;
}

void trades_free(struct trades *trades)
{
    free(trades->list);
    *trades = (struct trades){0};
}
