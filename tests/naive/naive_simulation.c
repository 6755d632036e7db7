/* The life of a trade from its fill to its end (sections 7 and 8), long side. */
#include "naive_internal.h"

#include <string.h>

struct target {
    double price, share;
    bool taken;
};

struct life {
    const struct side *side;
    const struct candle *candle;
    size_t s;
    const struct fill *fill;
    struct target targets[NAIVE_MOST];
    size_t target_count;
    double risk; /* fill less the initial stop */
    double stop;
    bool broke_even;  /* "`break_even` once that has raised the stop" */
    bool trailed;     /* "the reason is trail once it has raised the stop" */
    double top;       /* of a bar that came down to a limit: the highest price after the fill */
    bool leaves_next; /* `when` has spoken: out at the next open */
    bool cancelled;   /* the entry turned out never to have been filled */
    bool same_bar;
    double remaining;
    double lowest,
        highest; /* "excursions go no further than the path that the same-bar rule assumes" */
    /* what has left so far */
    double share_out, value_out, gain, costs;
    size_t last_bar;
    double last_price;
    const char *last_reason;
};

#define NOTHING_LEFT 1e-9 /* shares are sums of decimals */

static const struct naive_bars *bars_of(const struct life *life)
{
    return life->side->bars;
}

static double tolerance_at(const struct life *life, size_t bar)
{
    return naive_tolerance_of_bar(bars_of(life), bar);
}

/* --- targets ---------------------------------------------------------------------------------*/

/* "the n-th level of one's own above the fill", of those made before the candle's first bar and
 * not withdrawn before s, where each lies at s: the one
 * with n-1 others (of other prices) between it and the fill */
static double own_level_above(const struct life *life, size_t n)
{
    const struct naive_market *market = life->side->chart->market;
    double sign = life->side->setup->short_side ? -1.0 : 1.0;
    int64_t begins = bars_of(life)->time[life->candle->first];
    double floor_price = life->fill->price;
    for (size_t count = 0; count < n; count++) {
        double lowest = INFINITY;
        for (size_t i = 0; i < market->mark_count; i++) {
            const struct naive_mark *mark = &market->marks[i];
            double price = sign * (mark->price + ((double)life->s - mark->bar) * mark->slope);
            bool gone = mark->withdrawn && bars_of(life)->time[life->s] > mark->until;
            if (!gone && mark->made < begins && price > floor_price) {
                lowest = fmin(lowest, price);
            }
        }
        floor_price = lowest;
    }
    return isinf(floor_price) ? NAN : floor_price;
}

/* "A target of x R is at fill + x*(fill-stop)"; levels are of "the fall ... of the entry, or of 60
 * bars"; "a target up" */
static double target_price(const struct life *life, const struct target_rule *rule)
{
    const struct entry_rule *entry = &life->side->setup->entry;
    double price = life->fill->price + rule->number * life->risk;
    if (rule->kind == TARGET_SWING) {
        size_t swing = naive_newest_swing_high(bars_of(life), (size_t)rule->number, life->s);
        price = swing == NAIVE_NONE ? NAN : bars_of(life)->high[swing];
    } else if (rule->kind == TARGET_OWN_LEVEL) {
        price = own_level_above(life, (size_t)rule->number);
    } else if (rule->kind != TARGET_R) {
        bool entry_has_fall = strcmp(entry->on, "retest") == 0 &&
                              strcmp(entry->retest_of, "retracement") == 0;
        size_t window = entry_has_fall ? entry->bars : 60;
        struct measured_fall fall = naive_fall_before(bars_of(life), window, life->candle->t);
        price = naive_fall_level(&fall, rule->number);
    }
    return naive_round_up_to_tick(price, life->side->tick);
}

/* "one at or below the fill is not taken"; "nearest first" */
static void set_targets(struct life *life)
{
    const struct setup *setup = life->side->setup;
    for (size_t i = 0; i < setup->target_count; i++) {
        struct target target = {target_price(life, &setup->targets[i]), setup->targets[i].share,
                                false};
        if (!exceeds(target.price, life->fill->price, tolerance_at(life, life->fill->bar))) {
            continue;
        }
        size_t place = life->target_count;
        while (place > 0 && life->targets[place - 1].price > target.price) {
            life->targets[place] = life->targets[place - 1];
            place -= 1;
        }
        life->targets[place] = target;
        life->target_count += 1;
    }
}

static bool is_open_target(const struct life *life, size_t which)
{
    return !life->targets[which].taken;
}

static bool reaches_a_target(const struct life *life, double high, double tolerance)
{
    for (size_t i = 0; i < life->target_count; i++) {
        if (is_open_target(life, i) && at_least(high, life->targets[i].price, tolerance)) {
            return true;
        }
    }
    return false;
}

/* --- excursions ------------------------------------------------------------------------------*/

static void reached(struct life *life, double price)
{
    life->lowest = fmin(life->lowest, price);
    life->highest = fmax(life->highest, price);
}

/* "its high counts only where the rule has it after the fill" */
static double top_of(const struct life *life, size_t bar)
{
    bool came_down = life->fill->came_down && bar == life->fill->bar;
    return came_down ? life->top : bars_of(life)->high[bar];
}

/* "A bar lived through counts whole"; of one that "filled the entry within it and reached the stop
 * too ... the close, no lower than the stop, in place of the low" */
static void lived_through(struct life *life, size_t bar)
{
    const struct naive_bars *bars = bars_of(life);
    bool inside = life->fill->inside && bar == life->fill->bar;
    bool stops = at_most(bars->low[bar], life->stop, tolerance_at(life, bar));
    reached(life, top_of(life, bar));
    reached(life, inside && stops ? fmax(bars->close[bar], life->stop) : bars->low[bar]);
}

/* "Out at a target, its low"; where it reached the stop too, "the open (not of a bar that filled the
 * entry within it)" in its place */
static void out_at_target(struct life *life, size_t bar)
{
    const struct naive_bars *bars = bars_of(life);
    bool inside = life->fill->inside && bar == life->fill->bar;
    if (!at_most(bars->low[bar], life->stop, tolerance_at(life, bar))) {
        reached(life, bars->low[bar]);
    } else if (!inside) {
        reached(life, bars->open[bar]);
    }
}

/* --- leaving ---------------------------------------------------------------------------------*/

/* "half each side. Slippage on every order but targets. commission_percent/100 of the fill's size
 * each side, commission_per_unit each side" */
static double costs_of_side(const struct cost_rule *costs, double price, bool is_target)
{
    return costs->spread / 2.0 + (is_target ? 0.0 : costs->slippage) + costs->commission_per_unit +
           costs->commission_percent / 100.0 * fabs(price);
}

/* "financing per cent a year of 365 days on |fill| per night held (calendar days between entry and
 * exit dates)" */
static double financing(const struct life *life, size_t bar)
{
    const int64_t *time = bars_of(life)->time;
    int64_t nights = naive_calendar_day(time[bar]) - naive_calendar_day(time[life->fill->bar]);
    return life->side->setup->costs.financing_percent_year / 100.0 / 365.0 *
           fabs(life->fill->price) * (double)nights;
}

/* "Every price at which something left counts." */
static void leave(struct life *life, size_t bar, double price, double share, const char *reason)
{
    reached(life, price);
    bool is_target = strcmp(reason, "target") == 0;
    life->share_out += share;
    life->value_out += share * price;
    life->gain += share * (price - life->fill->price);
    life->costs += share * (costs_of_side(&life->side->setup->costs, price, is_target) +
                            financing(life, bar));
    life->remaining -= share;
    if (life->remaining < NOTHING_LEFT) {
        life->remaining = 0.0;
    }
    life->last_bar = bar;
    life->last_price = price;
    life->last_reason = reason;
}

static const char *stop_reason(const struct life *life)
{
    if (life->trailed) {
        return "trail";
    }
    return life->broke_even ? "break_even" : "stop";
}

static void leave_by_stop(struct life *life, size_t bar)
{
    /* "at the stop: the open (not on the entry bar) and the exit" */
    if (bar != life->fill->bar) {
        reached(life, bars_of(life)->open[bar]);
    }
    leave(life, bar, life->stop, life->remaining, stop_reason(life));
}

/* Every open target that a price this high reaches, nearest first. */
static void take_targets(struct life *life, size_t bar, double high, double tolerance)
{
    for (size_t i = 0; i < life->target_count && life->remaining > 0.0; i++) {
        struct target *target = &life->targets[i];
        if (is_open_target(life, i) && at_least(high, target->price, tolerance)) {
            target->taken = true;
            leave(life, bar, target->price, fmin(target->share, life->remaining), "target");
        }
    }
}

/* --- one bar ---------------------------------------------------------------------------------*/

/* "A bar that opens beyond the stop fills it at the open; beyond the target, the target at the
 * open"; after those the rest leaves where `when` has spoken. */
static void at_the_open(struct life *life, size_t bar)
{
    double open = bars_of(life)->open[bar];
    double tolerance = tolerance_at(life, bar);
    if (at_most(open, life->stop, tolerance)) {
        leave(life, bar, open, life->remaining, stop_reason(life));
        return;
    }
    for (size_t i = 0; i < life->target_count && life->remaining > 0.0; i++) {
        struct target *target = &life->targets[i];
        if (is_open_target(life, i) && at_least(open, target->price, tolerance)) {
            target->taken = true;
            leave(life, bar, open, fmin(target->share, life->remaining), "target");
        }
    }
    if (life->leaves_next && life->remaining > 0.0) {
        leave(life, bar, open, life->remaining, "condition");
    }
}

/* "nearest: the extreme nearer to the open came first, the adverse one on a tie" */
static void decide_nearest(struct life *life, size_t bar, bool inside)
{
    const struct naive_bars *bars = bars_of(life);
    double tolerance = tolerance_at(life, bar);
    double down = bars->open[bar] - bars->low[bar];
    double up = bars->high[bar] - bars->open[bar];
    if (at_most(down, up, tolerance)) {
        /* "a working buy stop whose bar reaches the protective stop first is cancelled" */
        if (inside) {
            life->cancelled = true;
        } else {
            leave_by_stop(life, bar);
        }
        return;
    }
    /* "the good extreme first: every target reached, the rest the stop" */
    take_targets(life, bar, bars->high[bar], tolerance);
    if (life->remaining > 0.0) {
        leave_by_stop(life, bar);
    } else {
        out_at_target(life, bar);
    }
}

/* "best takes every target the bar reaches; the rest lives on after a fill inside the bar, else
 * leaves by the stop" */
static void decide_best(struct life *life, size_t bar, bool inside)
{
    take_targets(life, bar, bars_of(life)->high[bar], tolerance_at(life, bar));
    if (life->remaining <= 0.0) {
        out_at_target(life, bar);
    } else if (!inside) {
        leave_by_stop(life, bar);
    }
}

/* The finer bars of a bar's time are there if together they have its high and its low. */
static bool finer_bars_of(const struct life *life, size_t bar, size_t *first, size_t *after)
{
    const struct naive_bars *bars = bars_of(life);
    const struct naive_bars *finer = life->side->finer;
    if (finer == NULL) {
        return false;
    }
    int64_t end = naive_bucket_end(bars->time[bar], bars->interval);
    double high = -INFINITY;
    double low = INFINITY;
    *first = NAIVE_NONE;
    *after = 0;
    for (size_t i = 0; i < finer->count; i++) {
        if (finer->time[i] < bars->time[bar] || finer->time[i] >= end) {
            continue;
        }
        *first = *first == NAIVE_NONE ? i : *first;
        *after = i + 1;
        high = fmax(high, finer->high[i]);
        low = fmin(low, finer->low[i]);
    }
    double tolerance = tolerance_at(life, bar);
    return *first != NAIVE_NONE && at_least(high, bars->high[bar], tolerance) &&
           at_most(low, bars->low[bar], tolerance);
}

/* "Of finer bars the low counts, and the high of those that do not end it": within the bar's own. */
static void finer_range_lived(struct life *life, size_t bar, size_t i, double tolerance)
{
    const struct naive_bars *finer = life->side->finer;
    reached(life, fmax(finer->low[i], bars_of(life)->low[bar]));
    take_targets(life, bar, finer->high[i], tolerance);
    if (life->remaining > 0.0) {
        reached(life, fmin(finer->high[i], bars_of(life)->high[bar]));
    }
}

/* A finer bar while the buy stop still works.  True once the bar has filled it. */
static bool finer_bar_before_fill(struct life *life, size_t bar, size_t i)
{
    const struct naive_bars *finer = life->side->finer;
    double tolerance = naive_tolerance_of_bar(finer, i);
    bool fills = at_least(finer->high[i], life->fill->price, tolerance);
    bool stops = at_most(finer->low[i], life->stop, tolerance);
    bool fills_at_open = at_least(finer->open[i], life->fill->price, tolerance);
    if (at_most(finer->open[i], life->stop, tolerance) || (stops && !fills)) {
        life->cancelled = true;
        return false;
    }
    if (fills && stops && !fills_at_open) {
        leave_by_stop(life, bar); /* in doubt: as `worst` */
        return true;
    }
    if (fills) {
        finer_range_lived(life, bar, i, tolerance);
    }
    return fills;
}

/* A finer bar of a position that is open when the finer bar begins. */
static void finer_bar_in_trade(struct life *life, size_t bar, size_t i)
{
    const struct naive_bars *finer = life->side->finer;
    double tolerance = naive_tolerance_of_bar(finer, i);
    if (at_most(finer->open[i], life->stop, tolerance)) {
        leave_by_stop(life, bar);
        return;
    }
    take_targets(life, bar, finer->open[i], tolerance);
    if (life->remaining <= 0.0) {
        return;
    }
    if (at_most(finer->low[i], life->stop, tolerance)) {
        leave_by_stop(life, bar); /* alone, or in doubt with a target: as `worst` */
        return;
    }
    finer_range_lived(life, bar, i, tolerance);
}

/* "finer walks through finer bars of the instrument, and decides as worst where one is in doubt or
 * missing": they settle the order of things; prices stay those of the bar itself. */
static void decide_finer(struct life *life, size_t bar, bool inside)
{
    size_t first = 0;
    size_t after = 0;
    if (!finer_bars_of(life, bar, &first, &after)) {
        leave_by_stop(life, bar);
        return;
    }
    bool filled = !inside;
    for (size_t i = first; i < after && life->remaining > 0.0 && !life->cancelled; i++) {
        bool fills_at_open = !filled && at_least(life->side->finer->open[i], life->fill->price,
                                                 naive_tolerance_of_bar(life->side->finer, i));
        if (filled || fills_at_open) {
            filled = true;
            finer_bar_in_trade(life, bar, i);
        } else {
            filled = finer_bar_before_fill(life, bar, i);
        }
    }
}

static void decide_same_bar(struct life *life, size_t bar, bool inside)
{
    life->same_bar = true;
    switch (life->side->setup->same_bar) {
    case SAME_NEAREST: decide_nearest(life, bar, inside); break;
    case SAME_WORST:
        leave_by_stop(life, bar); /* "worst takes the stop for all that is left" */
        break;
    case SAME_BEST: decide_best(life, bar, inside); break;
    case SAME_FINER: decide_finer(life, bar, inside); break;
    }
}

/* The finer bars of a bar that came down to a limit, from the one that reaches it on. */
static void came_down_finer(struct life *life, size_t bar, size_t first, size_t after)
{
    const struct naive_bars *finer = life->side->finer;
    double most = bars_of(life)->high[bar];
    bool filled = false;
    for (size_t i = first; i < after && life->remaining > 0.0; i++) {
        double tolerance = naive_tolerance_of_bar(finer, i);
        bool at_open = filled || at_most(finer->open[i], life->fill->price, tolerance);
        if (!filled && !at_most(finer->low[i], life->fill->price, tolerance)) {
            continue;
        }
        filled = true;
        double top = fmin(most, at_open ? finer->high[i] : finer->close[i]);
        life->top = isnan(life->top) ? top : fmax(life->top, top);
        if (at_open) {
            finer_bar_in_trade(life, bar, i);
        } else if (at_most(finer->low[i], life->stop, tolerance)) {
            leave_by_stop(life, bar);
        } else {
            reached(life, fmax(finer->low[i], bars_of(life)->low[bar]));
            take_targets(life, bar, finer->close[i], tolerance);
            if (life->remaining > 0.0) {
                reached(life, top);
            }
        }
    }
}

/* "A bar that comes down to the limit": low and close after the fill, the high as the rule has it */
static void came_down_on(struct life *life, size_t bar, bool stops)
{
    const struct naive_bars *bars = bars_of(life);
    enum same_bar_rule rule = life->side->setup->same_bar;
    double tolerance = tolerance_at(life, bar);
    size_t first = 0;
    size_t after = 0;
    bool low_first = at_most(bars->open[bar] - bars->low[bar], bars->high[bar] - bars->open[bar],
                             tolerance);
    bool high_after = rule == SAME_BEST || (rule == SAME_NEAREST && low_first);
    for (size_t i = 0; i < life->target_count; i++) {
        double price = life->targets[i].price;
        life->same_bar |= at_least(bars->high[bar], price, tolerance) &&
                          (stops || !at_least(bars->close[bar], price, tolerance));
    }
    if (rule == SAME_FINER && finer_bars_of(life, bar, &first, &after)) {
        life->top = NAN;
        came_down_finer(life, bar, first, after);
        return;
    }
    life->top = high_after ? bars->high[bar] : bars->close[bar];
    if (rule == SAME_BEST || !stops) {
        take_targets(life, bar, life->top, tolerance);
    }
    if (life->remaining > 0.0 && stops) {
        leave_by_stop(life, bar);
    } else if (life->remaining <= 0.0 && !stops) {
        reached(life, bars->low[bar]);
    }
}

/* "One bar that reaches both stop and target, or that fills an entry inside the bar and also reaches
 * the stop"; "An inside fill that reaches only the target takes it." */
static void within_the_bar(struct life *life, size_t bar)
{
    const struct naive_bars *bars = bars_of(life);
    double tolerance = tolerance_at(life, bar);
    bool inside = life->fill->inside && bar == life->fill->bar;
    bool stops = at_most(bars->low[bar], life->stop, tolerance);
    if (life->fill->came_down && bar == life->fill->bar) {
        came_down_on(life, bar, stops);
        return;
    }
    bool targets = reaches_a_target(life, bars->high[bar], tolerance);
    if (stops && (targets || inside)) {
        decide_same_bar(life, bar, inside);
    } else if (stops) {
        leave_by_stop(life, bar);
    } else if (targets) {
        take_targets(life, bar, bars->high[bar], tolerance);
        if (life->remaining <= 0.0) {
            out_at_target(life, bar);
        }
    }
}

/* --- after the close -------------------------------------------------------------------------*/

/* "when a high reaches fill + x*(fill-stop), from the next bar the stop is the fill rounded down,
 * never lower" (the first stop) */
static void break_even(struct life *life, size_t bar)
{
    double x = life->side->setup->break_even_at_r;
    double threshold = life->fill->price + x * life->risk;
    if (!isnan(x) && at_least(top_of(life, bar), threshold, tolerance_at(life, bar))) {
        double even = naive_round_down_to_tick(life->fill->price, life->side->tick);
        if (even > life->stop) {
            life->stop = even;
            life->broke_even = true;
        }
    }
}

/* "the lowest low of bars j-n+1 .. j, or the average of the closes of those bars" */
static double trailing_window(const struct life *life, size_t bar)
{
    const struct naive_bars *bars = bars_of(life);
    size_t n = life->side->setup->trail_bars;
    double lowest = INFINITY;
    if (bar + 1 < n) {
        return NAN;
    }
    if (life->side->setup->trail == TRAIL_AVERAGE) {
        return naive_mean_of_closes(bars, n, bar);
    }
    for (size_t i = bar + 1 - n; i <= bar; i++) {
        lowest = fmin(lowest, bars->low[i]);
    }
    return lowest;
}

/* "newest swing low(k) known at j, or highest close since entry less a*ATR[j], rounded down"; "with
 * at: close the firing bar's close is the first" */
static double trailing_price(const struct life *life, size_t bar)
{
    const struct setup *setup = life->side->setup;
    const struct naive_bars *bars = bars_of(life);
    if (setup->trail == TRAIL_SWING_LOW) {
        size_t swing = naive_newest_swing_low(bars, setup->trail_swing, bar);
        return swing == NAIVE_NONE ? NAN
                                   : naive_round_down_to_tick(bars->low[swing], life->side->tick);
    }
    if (setup->trail == TRAIL_LOWEST_LOW || setup->trail == TRAIL_AVERAGE) {
        return naive_round_down_to_tick(trailing_window(life, bar), life->side->tick);
    }
    double highest = bars->close[life->fill->bar];
    for (size_t i = life->fill->bar; i <= bar; i++) {
        highest = fmax(highest, bars->close[i]);
    }
    return naive_round_down_to_tick(highest - setup->trail_times * naive_atr14(bars, bar),
                                    life->side->tick);
}

/* "counts only while below the close; works from j+1, never lower" */
static void trail(struct life *life, size_t bar)
{
    double tolerance = tolerance_at(life, bar);
    if (life->side->setup->trail == TRAIL_NONE) {
        return;
    }
    double price = trailing_price(life, bar);
    if (falls_short(price, bars_of(life)->close[bar], tolerance) &&
        exceeds(price, life->stop, tolerance)) {
        life->stop = price;
        life->trailed = true;
    }
}

/* "read at each close from the entry bar's on, all must hold; out at the next open" */
static void ask_when(struct life *life, size_t bar)
{
    const struct condition_list *when = &life->side->setup->when;
    bool all = when->count > 0;
    for (size_t i = 0; i < when->count && all; i++) {
        all = naive_condition_at(life->side->chart, &when->items[i], life->candle->first,
                                 life->candle->t, bar) == YES;
    }
    life->leaves_next = all;
}

/* --- the row ---------------------------------------------------------------------------------*/

/* "R = share-weighted (exit - fill) less all costs, over initial risk" */
static void put_result(const struct life *life, struct naive_row *row)
{
    double entry_costs = costs_of_side(&life->side->setup->costs, life->fill->price, false);
    row->exited = true;
    row->exit_bar = life->last_bar;
    row->exit = life->value_out / life->share_out;
    row->bars_held = life->last_bar - life->fill->bar;
    row->r = (life->gain - life->costs - entry_costs) / life->risk;
    strcpy(row->reason, life->last_reason);
}

/* "With several targets the columns show the first target, the average exit, the last time and
 * reason, the initial stop." */
static void put_row(const struct life *life, struct naive_row *row)
{
    row->same_bar = life->same_bar ? 1 : 0;
    if (life->cancelled) {
        strcpy(row->reason, "unfilled");
        return;
    }
    row->entered = true;
    row->entry_bar = life->fill->bar;
    row->entry = life->fill->price;
    row->stop = life->fill->stop;
    row->target = life->target_count > 0 ? life->targets[0].price : NAN;
    if (life->remaining > 0.0) {
        strcpy(row->reason, "open");
        row->bars_held = bars_of(life)->count - 1 - life->fill->bar;
    } else {
        put_result(life, row);
    }
    row->mae_r = (life->lowest - life->fill->price) / life->risk;
    row->mfe_r = (life->highest - life->fill->price) / life->risk;
}

/* --- from the fill to the end ----------------------------------------------------------------*/

static bool is_over(const struct life *life)
{
    return life->remaining <= 0.0 || life->cancelled;
}

/* "On one bar the order is: open, then stop or target, then time." */
static void live_one_bar(struct life *life, size_t bar)
{
    size_t limit = life->side->setup->time_stop;
    bool is_entry_bar = bar == life->fill->bar;
    bool has_range = !(is_entry_bar && life->fill->at_close);
    if (!is_entry_bar) {
        at_the_open(life, bar);
    }
    if (!is_over(life) && has_range) {
        within_the_bar(life, bar);
    }
    /* "the close of the n-th bar after the entry bar" */
    if (!is_over(life) && has_range) {
        lived_through(life, bar);
    }
    if (!is_over(life) && limit > 0 && bar == life->fill->bar + limit) {
        leave(life, bar, bars_of(life)->close[bar], life->remaining, "time");
    }
    if (is_over(life)) {
        return;
    }
    if (has_range) {
        break_even(life, bar);
    }
    trail(life, bar);
    ask_when(life, bar);
}

size_t naive_live_through(const struct side *side, const struct candle *candle, size_t s,
                          const struct fill *fill, struct naive_row *row)
{
    struct life life = {.side = side,
                        .candle = candle,
                        .s = s,
                        .fill = fill,
                        .risk = fill->price - fill->stop,
                        .stop = fill->stop,
                        .remaining = 1.0,
                        .lowest = fill->price,
                        .highest = fill->price,
                        .last_reason = ""};
    size_t last = side->bars->count - 1;
    set_targets(&life);
    for (size_t bar = fill->bar; bar <= last && !is_over(&life); bar++) {
        live_one_bar(&life, bar);
        life.last_bar = bar;
    }
    /* "where the instrument itself has ended, it closes at the last close" */
    if (!is_over(&life) && side->chart->market->ended) {
        leave(&life, last, side->bars->close[last], life.remaining, "ended");
    }
    put_row(&life, row);
    return life.remaining > 0.0 && !life.cancelled ? NAIVE_NONE : life.last_bar;
}
