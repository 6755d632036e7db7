#include "trade/position.h"

#include "base/calendar.h"
#include "candles/anatomy.h"

#include <math.h>
#include <string.h>

static const double no_share = 1e-12; /* rounding left over of shares that sum to 1 */

static double tolerance_of(const struct position *position, size_t at)
{
    return price_tolerance(position->simulation->bars, at, at);
}

/* --- costs ---------------------------------------------------------------------- */

/* The share of the spread that an order pays: on bid prices the buy all of it. */
static double spread_share(const struct simulation *simulation, bool entry)
{
    if (simulation->terms->basis != PRICES_BID)
        return 0.5;
    return entry != simulation->short_side ? 1 : 0;
}

/* What a unit held from the entry to a bar was paid. */
static double flows_received(const struct position *position, size_t exit_bar)
{
    const struct simulation *simulation = position->simulation;
    double sum = 0;
    if (simulation->terms->flow_count == 0)
        return 0;
    int64_t entered = sheet_day(simulation->view->own, position->fill.bar);
    int64_t left = sheet_day(simulation->view->own, exit_bar);
    for (size_t i = 0; i < simulation->terms->flow_count; i++) {
        const struct cash_flow *flow = &simulation->terms->flows[i];
        int64_t day = day_of_time(flow->time);
        if (day > entered && day <= left)
            sum += simulation->short_side ? -flow->amount : flow->amount;
    }
    return sum;
}

/* Calendar days from the trading day of the entry to that of the exit. */
static double nights_held(const struct position *position, size_t exit_bar)
{
    struct sheet *sheet = position->simulation->view->own;
    return (double)(sheet_day(sheet, exit_bar) - sheet_day(sheet, position->fill.bar));
}

double order_costs(const struct simulation *simulation, size_t bar, double price, bool entry,
                   bool slips)
{
    const struct costs *costs = costs_of(simulation);
    const struct bars *bars = simulation->bars;
    double traded = costs->spread * spread_share(simulation, entry) +
                    (slips ? costs->slippage : 0) +
                    costs->commission_percent / 100 * fabs(bars_traded(bars, bar, price)) +
                    costs->commission_per_unit / simulation->terms->point_value;
    return bars_viewed_length(bars, bar, traded);
}

/* What it costs to hold the position until a bar. */
static double financing(const struct position *position, size_t exit_bar)
{
    const struct simulation *simulation = position->simulation;
    size_t bar = position->fill.bar;
    if (costs_of(simulation)->financing_percent_year == 0)
        return 0;
    double traded = costs_of(simulation)->financing_percent_year / 100 / 365 *
                    fabs(bars_traded(simulation->bars, bar, position->fill.price)) *
                    nights_held(position, exit_bar);
    return bars_viewed_length(simulation->bars, bar, traded);
}

/* --- steps ----------------------------------------------------------------------- */

/* There are fewer exits than steps, so some step is a moved stop. */
static void make_room(struct trade_path *path)
{
    size_t i = TRADE_STEP_LIMIT - 1;
    while (path->steps[i].share > 0)
        i--;
    for (; i + 1 < TRADE_STEP_LIMIT; i++)
        path->steps[i] = path->steps[i + 1];
    path->count--;
}

void position_note(struct position *position, size_t bar, double price, double share,
                   enum trade_reason reason)
{
    struct trade_path *path = position->path;
    if (path == NULL)
        return;
    if (path->count == TRADE_STEP_LIMIT)
        make_room(path);
    path->steps[path->count++] = (struct trade_step){bar, price, share, reason};
}

void position_reach(struct position *position, double price)
{
    position->lowest = price < position->lowest ? price : position->lowest;
    position->highest = price > position->highest ? price : position->highest;
}

double position_exit_costs(const struct position *position, size_t bar, double price, bool slips)
{
    return order_costs(position->simulation, bar, price, false, slips) + financing(position, bar) -
           flows_received(position, bar);
}

void position_leave(struct position *position, size_t bar, double price, double share,
                    enum trade_reason reason)
{
    bool whole = position->remaining - share < no_share;
    /* A person closes it later: the rest is held until then, whatever the rules say. */
    if (whole && position->closing != NULL && reason != TRADE_BY_HAND)
        return;
    position->proceeds += share * price;
    position->exit_costs += share *
                            position_exit_costs(position, bar, price, reason != TRADE_TARGET);
    position->remaining = whole ? 0 : position->remaining - share;
    position->exits++;
    position->exit_bar = bar;
    position->reason = reason;
    position_reach(position, price);
    position_note(position, bar, price, share, reason);
}

static enum trade_reason stop_reason(const struct position *position)
{
    if (position->trailed)
        return TRADE_TRAIL;
    return position->at_break_even ? TRADE_BREAK_EVEN : TRADE_STOP;
}

/* --- one bar ---------------------------------------------------------------------- */

/* Takes every target at or below `reached`; true if one was taken. `at` fills
 * it at its own price, or at the open where that is beyond. */
static bool take_targets(struct position *position, size_t bar, double reached, double open,
                         bool at_open)
{
    bool taken = false;
    double tolerance = tolerance_of(position, bar);
    while (position->target_next < position->target_count && position->remaining > 0) {
        const struct position_target *target = &position->targets[position->target_next];
        if (at_least(reached, target->price, tolerance) != TRUTH_YES)
            break;
        double share = target->share < position->remaining ? target->share : position->remaining;
        position->target_next++;
        position_leave(position, bar, at_open ? open : target->price, share, TRADE_TARGET);
        taken = true;
    }
    return taken;
}

/* The highest price of a bar that counts after the fill: of the bar that came
 * back to a limit order, as far as the same-bar rule has it. */
static double high_of(const struct position *position, size_t bar)
{
    return position->fill.pulled_back && bar == position->fill.bar
               ? position->entry_high
               : position->simulation->bars->high[bar];
}

/* A bar that the position lives through. Where it filled the entry within it and
 * reached the stop too, the rule has the low before the fill, and then only the
 * close is known to have followed; no lower than the stop, which stood. */
static void reach_whole(struct position *position, size_t bar, bool inside)
{
    const struct bars *bars = position->simulation->bars;
    bool low_before = inside && reaches_down(bars, bar, position->stop);
    position_reach(position, high_of(position, bar));
    position_reach(position, low_before ? fmax(bars->close[bar], position->stop) : bars->low[bar]);
}

/* The last exit was at a target within the bar. Its low counts unless the bar
 * reached the stop too: then the rule has the low after the target. */
static void reach_at_target(struct position *position, size_t bar, bool inside, bool stop_reached)
{
    const struct bars *bars = position->simulation->bars;
    if (!stop_reached)
        position_reach(position, bars->low[bar]);
    else if (!inside)
        position_reach(position, bars->open[bar]);
}

static bool when_leans_back(const struct simulation *simulation, size_t bar)
{
    const struct criteria *when = &simulation->setup->exit.when;
    for (size_t i = 0; i < when->count; i++)
        if (criterion_leans_back(simulation->view, &when->list[i], &simulation->signal.candle, bar))
            return true;
    return false;
}

/* The open of a bar: stop, targets, and the exit by conditions. */
static void process_open(struct position *position, size_t bar)
{
    const struct bars *bars = position->simulation->bars;
    double open = bars->open[bar];
    if (at_most(open, position->stop, tolerance_of(position, bar)) == TRUTH_YES) {
        position_leave(position, bar, open, position->remaining, stop_reason(position));
        return;
    }
    take_targets(position, bar, open, open, true);
    if (position->remaining <= 0 || !position->leave_at_open)
        return;
    position_leave(position, bar, open, position->remaining, TRADE_WHEN);
    position->leans_back = position->remaining == 0 &&
                           when_leans_back(position->simulation, bar - 1);
}

/* The bar that filled the entry opened before it, or at it. */
static void stop_out(struct position *position, size_t bar)
{
    if (bar != position->fill.bar)
        position_reach(position, position->simulation->bars->open[bar]);
    position_leave(position, bar, position->stop, position->remaining, stop_reason(position));
}

/* One finer bar: its open is certain, and what reaches both sides after it is
 * decided as `worst`. Its range counts no further than that of its bar. */
static void process_finer(struct position *position, size_t bar, const struct bar *finer)
{
    const struct bars *bars = position->simulation->bars;
    double tolerance = tolerance_of(position, bar);
    if (finer->open > position->stop + tolerance)
        take_targets(position, bar, finer->open, NAN, false);
    if (position->remaining == 0)
        return;
    if (finer->low <= position->stop + tolerance) {
        stop_out(position, bar);
        return;
    }
    position_reach(position, fmax(finer->low, bars->low[bar]));
    take_targets(position, bar, finer->high, NAN, false);
    if (position->remaining > 0)
        position_reach(position, fmin(finer->high, bars->high[bar]));
}

/* A finer bar while a limit order waits; true once it has filled it. Of one that
 * comes back to the order within it the low and the close are known to follow. */
static bool pull_back(struct position *position, size_t bar, const struct bar *finer)
{
    const struct bars *bars = position->simulation->bars;
    double tolerance = tolerance_of(position, bar);
    if (finer->low > position->fill.price + tolerance)
        return false;
    bool at_open = finer->open <= position->fill.price + tolerance;
    struct bar after = *finer;
    after.high = at_open ? finer->high : finer->close;
    after.open = fmin(finer->open, position->fill.price);
    position->entry_high = fmin(after.high, bars->high[bar]);
    process_finer(position, bar, &after);
    return true;
}

/* Walks the finer bars to settle what came first, from the one on that fills an
 * order within this bar: those before it reached neither the order nor the
 * stop. Returns false where the finer bars cannot tell. */
static bool walk_finer(struct position *position, size_t bar, bool inside)
{
    const struct bars *bars = position->simulation->bars;
    size_t first = 0;
    size_t last = 0;
    bool filled = !inside;
    if (!finer_range(position->simulation, bar, &first, &last))
        return false;
    for (size_t i = first; i < last && position->remaining > 0; i++) {
        struct bar finer = finer_bar(position->simulation, i);
        if (!filled && position->fill.pulled_back) {
            filled = pull_back(position, bar, &finer);
            continue;
        }
        filled = filled || finer.high >= position->fill.price - tolerance_of(position, bar);
        if (!filled)
            continue;
        process_finer(position, bar, &finer);
        position->entry_high = fmax(position->entry_high, fmin(finer.high, bars->high[bar]));
    }
    return true;
}

/* A bar that reached the stop and a target, or the stop and the entry. */
static void process_both(struct position *position, size_t bar, bool inside)
{
    const struct bars *bars = position->simulation->bars;
    enum same_bar_rule rule = position->simulation->setup->same_bar;
    bool good_first = rule == SAME_BAR_BEST ||
                      (rule == SAME_BAR_NEAREST &&
                       (inside || nearest_order(bars, bar) == ORDER_GOOD_FIRST));
    position->same_bar = true;
    if (rule == SAME_BAR_FINER && walk_finer(position, bar, inside))
        return;
    position->finer_missing = position->finer_missing || rule == SAME_BAR_FINER;
    if (!good_first) {
        stop_out(position, bar);
        return;
    }
    take_targets(position, bar, bars->high[bar], NAN, false);
    if (position->remaining == 0)
        reach_at_target(position, bar, inside, true);
    else if (rule != SAME_BAR_BEST || !inside)
        stop_out(position, bar);
}

/* Whether something of the position depends on when the high of the bar came that
 * filled a limit order. */
static bool high_in_doubt(const struct position *position, size_t bar, bool stop_reached)
{
    const struct bars *bars = position->simulation->bars;
    for (size_t i = position->target_next; i < position->target_count; i++)
        if (reaches_up(bars, bar, position->targets[i].price) &&
            (stop_reached || at_least(bars->close[bar], position->targets[i].price,
                                      tolerance_of(position, bar)) != TRUTH_YES))
            return true;
    return false;
}

/* The bar that came back to a limit order: its low and its close came after the
 * fill, its high only where the rule has it so. */
static void process_pulled_back(struct position *position, size_t bar)
{
    const struct bars *bars = position->simulation->bars;
    enum same_bar_rule rule = position->simulation->setup->same_bar;
    bool stop_reached = reaches_down(bars, bar, position->stop);
    bool doubt = high_in_doubt(position, bar, stop_reached);
    bool after = rule == SAME_BAR_BEST ||
                 (rule == SAME_BAR_NEAREST && nearest_order(bars, bar) == ORDER_ADVERSE_FIRST);
    position->same_bar = position->same_bar || doubt;
    position->entry_high = after ? bars->high[bar] : bars->close[bar];
    if (rule == SAME_BAR_FINER && walk_finer(position, bar, true))
        return;
    position->finer_missing = position->finer_missing || (doubt && rule == SAME_BAR_FINER);
    if (!stop_reached || rule == SAME_BAR_BEST)
        take_targets(position, bar, position->entry_high, NAN, false);
    if (position->remaining == 0)
        reach_at_target(position, bar, true, stop_reached);
    else if (stop_reached)
        stop_out(position, bar);
}

/* Stop and targets within a bar. `inside`: the entry was filled within it. */
static void process_range(struct position *position, size_t bar, bool inside)
{
    const struct bars *bars = position->simulation->bars;
    bool stop_reached = reaches_down(bars, bar, position->stop);
    bool target_reached = position->target_next < position->target_count &&
                          reaches_up(bars, bar, position->targets[position->target_next].price);
    if (inside && position->fill.pulled_back) {
        process_pulled_back(position, bar);
    } else if (stop_reached && (target_reached || inside)) {
        process_both(position, bar, inside);
    } else if (stop_reached) {
        stop_out(position, bar);
    } else if (target_reached) {
        take_targets(position, bar, bars->high[bar], NAN, false);
        if (position->remaining == 0)
            reach_at_target(position, bar, inside, false);
    }
}

/* --- after the close --------------------------------------------------------------- */

/* `reason`: which rule raises it, and names the exit from then on. */
static void raise_stop(struct position *position, size_t bar, double price,
                       enum trade_reason reason)
{
    double rounded = order_round_down(position->simulation, bar, price);
    if (above(rounded, position->stop, tolerance_of(position, bar)) != TRUTH_YES)
        return;
    position->stop = rounded;
    position->trailed |= reason == TRADE_TRAIL;
    position->at_break_even |= reason == TRADE_BREAK_EVEN;
    position_note(position, bar, rounded, 0, reason);
}

static double trail_price(const struct position *position, size_t bar)
{
    const struct simulation *simulation = position->simulation;
    const struct exit_rule *exit = &simulation->setup->exit;
    struct trail_view view = {.sheet = simulation->view->own,
                              .at = bar,
                              .highest_close = position->highest_close,
                              .value = exit->trail_value};
    return exit->trail->price(&view);
}

static void process_close(struct position *position, size_t bar)
{
    const struct simulation *simulation = position->simulation;
    const struct exit_rule *exit = &simulation->setup->exit;
    const struct bars *bars = simulation->bars;
    bool own_range = !(bar == position->fill.bar && position->fill.at_close);
    double even = position->fill.price + exit->break_even_at_r * position->risk;
    if (own_range &&
        at_least(high_of(position, bar), even, tolerance_of(position, bar)) == TRUTH_YES)
        raise_stop(position, bar, position->fill.price, TRADE_BREAK_EVEN);
    if (bars->close[bar] > position->highest_close)
        position->highest_close = bars->close[bar];
    if (exit->trail != NULL) {
        double price = order_round_down(simulation, bar, trail_price(position, bar));
        if (above(bars->close[bar], price, tolerance_of(position, bar)) == TRUTH_YES)
            raise_stop(position, bar, price, TRADE_TRAIL);
    }
    position->leave_at_open = exit->when.count > 0;
    for (size_t i = 0; i < exit->when.count && position->leave_at_open; i++)
        position->leave_at_open = criterion_holds(simulation->view, &exit->when.list[i],
                                                  &simulation->signal.candle, bar) == TRUTH_YES;
}

/* --- from fill to exit -------------------------------------------------------------- */

/* Price of a target; NaN where what it is measured on is not there. */
static double target_price(const struct position *position, const struct target *target)
{
    const struct simulation *simulation = position->simulation;
    struct target_view view = {.sheet = simulation->view->own,
                               .sheet_is_mirror = simulation->short_side,
                               .first = simulation->signal.candle.first,
                               .candle = simulation->signal.candle.at,
                               .signal = simulation->signal.at,
                               .fill = position->fill.price,
                               .risk = position->risk,
                               .fall_bars = setup_fall_bars(simulation->setup),
                               .around = simulation->view->around,
                               .value = target->value};
    return target->kind->price(&view);
}

/* Rounded up, nearest first; those at or below the fill are not taken. */
static void place_targets(struct position *position)
{
    const struct simulation *simulation = position->simulation;
    const struct exit_rule *exit = &simulation->setup->exit;
    double tolerance = tolerance_of(position, position->fill.bar);
    for (size_t i = 0; i < exit->target_count; i++) {
        double price = order_round_up(simulation, position->fill.bar,
                                      target_price(position, &exit->targets[i]));
        if (above(price, position->fill.price, tolerance) != TRUTH_YES)
            continue;
        size_t place = position->target_count++;
        for (; place > 0 && position->targets[place - 1].price > price; place--)
            position->targets[place] = position->targets[place - 1];
        position->targets[place] = (struct position_target){price, exit->targets[i].share};
    }
}

static void process_bar(struct position *position, size_t bar)
{
    const struct simulation *simulation = position->simulation;
    const struct bars *bars = simulation->bars;
    size_t limit = simulation->setup->exit.time_stop;
    bool inside = bar == position->fill.bar && position->fill.inside;
    if (!inside)
        process_open(position, bar);
    if (position->remaining > 0)
        process_range(position, bar, inside);
    if (position->remaining > 0 && limit > 0 && bar == position->fill.bar + limit) {
        reach_whole(position, bar, inside);
        position_leave(position, bar, bars->close[bar], position->remaining, TRADE_TIME);
    }
    if (position->remaining == 0)
        return;
    reach_whole(position, bar, inside);
    process_close(position, bar);
}

void position_begin(struct position *position, const struct simulation *simulation,
                    const struct fill *fill, struct trade_path *path)
{
    *position = (struct position){.simulation = simulation,
                                  .fill = *fill,
                                  .risk = fill->price - fill->stop,
                                  .stop = fill->stop,
                                  .remaining = 1,
                                  .highest_close = -INFINITY,
                                  .lowest = fill->price,
                                  .highest = fill->price,
                                  .exit_bar = fill->bar,
                                  .same_bar = fill->same_bar,
                                  .finer_missing = fill->finer_missing,
                                  .closing = words_last(simulation->words, WORD_CLOSED),
                                  .path = path};
    place_targets(position);
}

void position_run(struct position *position, const struct simulation *simulation,
                  const struct fill *fill, struct trade_path *path)
{
    position_begin(position, simulation, fill, path);
    size_t bar = fill->bar;
    if (fill->at_close)
        process_close(position, bar++);
    for (; bar < simulation->count && position->remaining > 0; bar++)
        if (!position_hear(position, bar))
            process_bar(position, bar);
    position_hear_rest(position);
    if (position->remaining == 0)
        return;
    size_t last = simulation->count - 1;
    if (simulation->terms->ended) {
        position_leave(position, last, simulation->bars->close[last], position->remaining,
                       TRADE_ENDED);
    } else {
        position->exit_bar = last;
        position->reason = TRADE_OPEN;
    }
}
