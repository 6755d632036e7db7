#include "trade/orders.h"

#include "candles/anatomy.h"
#include "structure/zones.h"

#include <math.h>

/* Fixed numbers of the zones that least_room_r looks for (method page 7). */
enum { ROOM_BARS = 250, ROOM_SWING = 3, ROOM_TOUCHES = 2 };
static const double room_width_atr = 0.5;

static double tolerance_at(const struct bars *bars, size_t at)
{
    return price_tolerance(bars, at, at);
}

bool reaches_up(const struct bars *bars, size_t at, double price)
{
    return at_least(bars->high[at], price, tolerance_at(bars, at)) == TRUTH_YES;
}

bool reaches_down(const struct bars *bars, size_t at, double price)
{
    return at_most(bars->low[at], price, tolerance_at(bars, at)) == TRUTH_YES;
}

enum bar_order nearest_order(const struct bars *bars, size_t at)
{
    double up = bars->high[at] - bars->open[at];
    double down = bars->open[at] - bars->low[at];
    return below(up, down, tolerance_at(bars, at)) == TRUTH_YES ? ORDER_GOOD_FIRST
                                                                : ORDER_ADVERSE_FIRST;
}

static const struct tick *tick_at(const struct simulation *simulation, size_t bar)
{
    return terms_tick(simulation->terms, simulation->bars->time[bar]);
}

double order_round_up(const struct simulation *simulation, size_t bar, double price)
{
    return bars_round_up(simulation->bars, bar, tick_at(simulation, bar), price);
}

double order_round_down(const struct simulation *simulation, size_t bar, double price)
{
    return bars_round_down(simulation->bars, bar, tick_at(simulation, bar), price);
}

double order_ticks(const struct simulation *simulation, size_t bar, double ticks)
{
    return bars_viewed_length(simulation->bars, bar, ticks * tick_at(simulation, bar)->value);
}

static struct fill lapsed(size_t bar, const char *note)
{
    return (struct fill){.outcome = TRADE_UNFILLED,
                         .note = note,
                         .bar = bar,
                         .price = NAN,
                         .stop = NAN};
}

/* `last` is the last bar, counted from the first there is, on which it may happen. */
static struct fill waiting(const struct simulation *simulation, double stop, enum trade_awaits what,
                           double price, size_t last)
{
    return (struct fill){.outcome = TRADE_WAITING,
                         .note = "the data end before the entry is decided",
                         .bar = simulation->count - 1,
                         .price = NAN,
                         .stop = stop,
                         .awaited = {what, price, last + 1 - simulation->count}};
}

/* What a close has to exceed on the coming bar: the level, or without one the
 * candle's close. */
static double awaited_close(const struct simulation *simulation)
{
    const struct entry *entry = simulation->setup->entry.entry;
    return entry->level != NULL ? entry->level(&simulation->entry, simulation->count)
                                : simulation->bars->close[simulation->signal.candle.at];
}

/* --- stops --------------------------------------------------------------------- */

/* The last stage that any member of the stop waits for. */
static enum stop_stage stop_stage(const struct simulation *simulation)
{
    enum stop_stage last = STOP_AT_SIGNAL;
    enum entry_kind kind = simulation->setup->entry.entry->kind;
    bool resting = entry_rests(simulation->setup->entry.entry);
    for (size_t i = 0; i < simulation->setup->stop.count; i++) {
        enum stop_stage stage = simulation->setup->stop.members[i].stop->stage;
        if (resting && (stage == STOP_AT_ORDER || stage == STOP_AT_FIRING))
            stage = STOP_AT_SIGNAL;
        if (stage == STOP_AT_FIRING && kind == ENTRY_MARKET)
            stage = STOP_AT_SIGNAL;
        last = stage > last ? stage : last;
    }
    return last;
}

/* A stop so many ATR away has its distance already: the buffer is for stops at
 * prices seen on the chart, and for several together. `bar` sets the stop. */
static double stop_buffer(const struct simulation *simulation, size_t bar)
{
    const struct stop_rule *rule = &simulation->setup->stop;
    const struct buffer *buffer = &rule->buffer;
    if (!rule->several && !stop_takes_buffer(rule->members[0].stop))
        return 0;
    return buffer->atr > 0 ? buffer->atr * simulation->atr[simulation->signal.at]
                           : order_ticks(simulation, bar, buffer->ticks);
}

/* The stop as set on `bar`, buffered and rounded down; NaN where a member has no
 * price. */
static double stop_price(const struct simulation *simulation, const struct stop_view *where,
                         size_t bar)
{
    const struct stop_rule *rule = &simulation->setup->stop;
    double lowest = INFINITY;
    for (size_t i = 0; i < rule->count; i++) {
        struct stop_view view = *where;
        view.sheet = simulation->view->own;
        view.candle = simulation->signal.candle.at;
        view.signal = simulation->signal.at;
        view.candle_low = simulation->signal.candle.low;
        view.values = rule->members[i].values;
        double price = rule->members[i].stop->price(&view);
        if (isnan(price))
            return NAN;
        lowest = price < lowest ? price : lowest;
    }
    return order_round_down(simulation, bar, lowest - stop_buffer(simulation, bar));
}

/* Whether every member that is known at the signal has a price there. */
static bool stop_possible(const struct simulation *simulation)
{
    const struct stop_rule *rule = &simulation->setup->stop;
    if (isnan(stop_buffer(simulation, simulation->signal.at)))
        return false;
    for (size_t i = 0; i < rule->count; i++) {
        enum stop_stage stage = rule->members[i].stop->stage;
        struct stop_view view = {.sheet = simulation->view->own,
                                 .candle = simulation->signal.candle.at,
                                 .signal = simulation->signal.at,
                                 .candle_low = simulation->signal.candle.low,
                                 .values = rule->members[i].values};
        if ((stage == STOP_AT_SIGNAL || stage == STOP_AT_FIRING) &&
            isnan(rule->members[i].stop->price(&view)))
            return false;
    }
    return true;
}

/* --- what a fill must pass ------------------------------------------------------ */

static bool gap_too_large(const struct simulation *simulation, double fill, double reference,
                          size_t bar)
{
    double most = simulation->setup->entry.largest_gap_atr;
    if (isnan(most))
        return false;
    double atr = simulation->atr[simulation->signal.at];
    return at_most(fill - reference, most * atr, tolerance_at(simulation->bars, bar)) != TRUTH_YES;
}

/* Whether the next resistance leaves too little room, or none can be told. */
static bool room_too_small(const struct simulation *simulation, double fill, double stop,
                           size_t bar)
{
    double least = simulation->setup->entry.least_room_r;
    struct zone zones[ZONE_LIMIT];
    if (isnan(least))
        return false;
    struct sheet *mirror = sheet_mirror(simulation->view->own);
    if (mirror == NULL)
        return true;
    size_t count = zones_at(mirror, ROOM_BARS, ROOM_SWING, room_width_atr, ROOM_TOUCHES,
                            simulation->signal.at, zones);
    if (count == SIZE_MAX)
        return true;
    double tolerance = tolerance_at(simulation->bars, bar);
    double nearest = INFINITY;
    for (size_t i = 0; i < count; i++) {
        /* On the mirror a zone's upper edge is the lower edge of resistance. */
        double edge = -zones[i].high;
        if (above(edge, fill, tolerance) == TRUTH_YES && edge < nearest)
            nearest = edge;
    }
    return at_least(nearest - fill, least * (fill - stop), tolerance) != TRUTH_YES;
}

/* A fill at `price` on `bar`, or why it is not taken. `reference` is the order
 * price, or the close of the signal. */
static struct fill take(const struct simulation *simulation, size_t bar, double price, double stop,
                        double reference)
{
    if (isnan(stop))
        return lapsed(bar, "no stop can be placed yet");
    if (above(price, stop, tolerance_at(simulation->bars, bar)) != TRUTH_YES)
        return lapsed(bar, "the fill would be at or beyond the stop");
    if (gap_too_large(simulation, price, reference, bar))
        return lapsed(bar, "the gap to the fill was too large");
    if (room_too_small(simulation, price, stop, bar))
        return lapsed(bar, "too little room to the next level");
    return (
        struct fill){.outcome = TRADE_OPEN, .note = "", .bar = bar, .price = price, .stop = stop};
}

/* --- finer bars ------------------------------------------------------------------ */

struct bar finer_bar(const struct simulation *simulation, size_t index)
{
    struct bar bar = bars_at(simulation->finer, index);
    if (!simulation->short_side)
        return bar;
    return (struct bar){bar.time, -bar.open, -bar.low, -bar.high, -bar.close, bar.volume};
}

bool finer_range(const struct simulation *simulation, size_t at, size_t *first, size_t *last)
{
    const struct bars *bars = simulation->bars;
    if (simulation->finer == NULL)
        return false;
    int64_t end = at + 1 < bars->count ? bars->time[at + 1]
                                       : bars->time[at] + interval_seconds(bars->interval);
    *first = bars_find(simulation->finer, bars->time[at]);
    *last = bars_find(simulation->finer, end);
    double high = -INFINITY;
    double low = INFINITY;
    for (size_t i = *first; i < *last; i++) {
        struct bar bar = finer_bar(simulation, i);
        high = fmax(high, bar.high);
        low = fmin(low, bar.low);
    }
    return high >= bars->high[at] && low <= bars->low[at];
}

/* Walks the finer bars of a bar that reached both a resting order and the
 * stop. They settle what came first; prices are those of the bar itself. A
 * finer bar that reaches both fills, and the stop is then `worst`'s. */
static struct fill walk_to_fill(const struct simulation *simulation, size_t at, struct fill fill)
{
    size_t first = 0;
    size_t last = 0;
    if (!finer_range(simulation, at, &first, &last)) {
        fill.finer_missing = true;
        return fill;
    }
    double tolerance = tolerance_at(simulation->bars, at);
    for (size_t i = first; i < last; i++) {
        struct bar bar = finer_bar(simulation, i);
        if (bar.open <= fill.stop + tolerance)
            break;
        if (bar.high >= fill.price - tolerance)
            return fill;
        if (bar.low <= fill.stop + tolerance)
            break;
    }
    return lapsed(at, "the stop was reached before the entry");
}

const struct costs *costs_of(const struct simulation *simulation)
{
    if (simulation->setup->costs_given || simulation->terms->costs == NULL)
        return &simulation->setup->costs;
    return simulation->terms->costs;
}

/* Where a bar's own prices trigger a resting order to enter: on bid prices a buy
 * is triggered by bid + spread. */
static double trigger_price(const struct simulation *simulation, size_t bar, double order_price)
{
    if (simulation->terms->basis != PRICES_BID || simulation->short_side)
        return order_price;
    double spread = costs_of(simulation)->spread;
    return order_price - bars_viewed_length(simulation->bars, bar, spread);
}

/* --- the entries ----------------------------------------------------------------- */

/* A bar that reaches the resting order within it and the stop too. */
static struct fill fill_in_doubt(const struct simulation *simulation, size_t at, double price,
                                 double stop)
{
    enum same_bar_rule rule = simulation->setup->same_bar;
    struct fill fill = take(simulation, at, price, stop, price);
    if (fill.outcome != TRADE_OPEN) /* refused whatever came first */
        return fill;
    if (rule == SAME_BAR_FINER)
        fill = walk_to_fill(simulation, at, fill);
    else if (rule == SAME_BAR_NEAREST && nearest_order(simulation->bars, at) == ORDER_ADVERSE_FIRST)
        fill = lapsed(at, "the stop was reached before the entry");
    fill.inside = true;
    fill.same_bar = true;
    return fill;
}

static struct fill fill_stop_order(const struct simulation *simulation, double stop)
{
    const struct bars *bars = simulation->bars;
    size_t s = simulation->signal.at;
    double order = simulation->setup->entry.entry->level(&simulation->entry, s);
    size_t last = s + simulation->setup->entry.valid;
    for (size_t j = s + 1; j <= last; j++) {
        if (j == simulation->count)
            return waiting(simulation, stop, AWAITS_TOUCH, order, last);
        double price = trigger_price(simulation, j, order);
        if (at_most(bars->open[j], stop, tolerance_at(bars, j)) == TRUTH_YES)
            return lapsed(j, "opened at or beyond the stop");
        bool entry_reached = reaches_up(bars, j, price);
        bool stop_reached = reaches_down(bars, j, stop);
        bool at_open = at_least(bars->open[j], price, tolerance_at(bars, j)) == TRUTH_YES;
        if (!entry_reached && stop_reached)
            return lapsed(j, "the stop was reached and not the entry");
        if (!entry_reached)
            continue;
        if (at_open)
            return take(simulation, j, bars->open[j] > price ? bars->open[j] : price, stop, price);
        if (stop_reached)
            return fill_in_doubt(simulation, j, price, stop);
        struct fill fill = take(simulation, j, price, stop, price);
        fill.inside = true;
        return fill;
    }
    return lapsed(last, "the entry was not reached in time");
}

/* The price comes back to the order before it comes to the stop: what a bar that
 * reaches both does after its fill is for the position. */
static struct fill fill_limit(const struct simulation *simulation, double stop)
{
    const struct bars *bars = simulation->bars;
    size_t s = simulation->signal.at;
    double order = simulation->setup->entry.entry->level(&simulation->entry, s);
    size_t last = s + simulation->setup->entry.valid;
    if (above(order, stop, tolerance_at(bars, s)) != TRUTH_YES)
        return lapsed(s, "the order would be at or beyond the stop");
    for (size_t j = s + 1; j <= last; j++) {
        if (j == simulation->count)
            return waiting(simulation, stop, AWAITS_PULLBACK, order, last);
        double price = trigger_price(simulation, j, order);
        double tolerance = tolerance_at(bars, j);
        if (at_most(bars->open[j], stop, tolerance) == TRUTH_YES)
            return lapsed(j, "opened at or beyond the stop");
        if (!reaches_down(bars, j, price))
            continue;
        bool at_open = at_most(bars->open[j], price, tolerance) == TRUTH_YES;
        double paid = at_open && bars->open[j] < price ? bars->open[j] : price;
        struct fill fill = take(simulation, j, paid, stop, price);
        fill.inside = !at_open;
        fill.pulled_back = !at_open;
        return fill;
    }
    return lapsed(last, "the entry was not reached in time");
}

/* The fill after bar `fired`: at its close, or at the next open; `stop` is NaN
 * while it is not known before the fill. */
static struct fill fill_after(const struct simulation *simulation, size_t fired, double stop,
                              bool stop_known, size_t break_bar)
{
    const struct bars *bars = simulation->bars;
    bool at_close = simulation->setup->entry.at_close;
    size_t bar = at_close ? fired : fired + 1;
    if (bar >= simulation->count)
        return waiting(simulation, stop_known ? stop : NAN, AWAITS_OPEN, NAN, bar);
    double price = at_close ? bars->close[bar] : bars->open[bar];
    if (!stop_known) {
        struct stop_view where = {.break_bar = break_bar,
                                  .retest_bar = fired,
                                  .reference = price,
                                  .atr_bar = fired};
        stop = stop_price(simulation, &where, bar);
    }
    struct fill fill = take(simulation, bar, price, stop, bars->close[simulation->signal.at]);
    fill.at_close = at_close;
    return fill;
}

static bool fires(const struct simulation *simulation, size_t j)
{
    const struct entry *entry = simulation->setup->entry.entry;
    if (entry->fires != NULL)
        return entry->fires(&simulation->entry, j);
    return above(simulation->bars->close[j], entry->level(&simulation->entry, j),
                 tolerance_at(simulation->bars, j)) == TRUTH_YES;
}

static struct fill fill_on_close(const struct simulation *simulation, double stop, bool stop_known)
{
    size_t s = simulation->signal.at;
    size_t last = s + simulation->setup->entry.valid;
    for (size_t j = s + 1; j <= last; j++) {
        if (j == simulation->count)
            return waiting(simulation, stop_known ? stop : NAN, AWAITS_CLOSE,
                           awaited_close(simulation), last);
        if (stop_known && reaches_down(simulation->bars, j, stop))
            return lapsed(j, "the stop was reached before the entry");
        if (fires(simulation, j)) {
            struct fill fill = fill_after(simulation, j, stop, stop_known, j);
            fill.broke = j;
            return fill;
        }
    }
    return lapsed(last, "no bar fired in time");
}

/* Whether bar j ends the waiting for a retest. */
static const char *retest_void(const struct simulation *simulation, size_t j, double stop,
                               bool stop_known)
{
    const struct bars *bars = simulation->bars;
    if (bars->close[j] < simulation->signal.candle.low)
        return "closed beyond the candle";
    return stop_known && reaches_down(bars, j, stop) ? "the stop was reached before the entry"
                                                     : NULL;
}

static bool returned(const struct simulation *simulation, size_t k)
{
    const struct bars *bars = simulation->bars;
    double level = simulation->setup->entry.entry->level(&simulation->entry, k);
    double reach = level + simulation->setup->entry.values[RETEST_TOLERANCE] * simulation->atr[k];
    double tolerance = tolerance_at(bars, k);
    return at_most(bars->low[k], reach, tolerance) == TRUTH_YES &&
           above(bars->close[k], level, tolerance) == TRUTH_YES;
}

static struct fill fill_on_retest(const struct simulation *simulation, double stop, bool stop_known)
{
    const double *values = simulation->setup->entry.values;
    size_t s = simulation->signal.at;
    size_t last = s + (size_t)values[RETEST_BREAK_WITHIN];
    size_t broke = SIZE_MAX;
    for (size_t j = s + 1; j <= last; j++) {
        if (j == simulation->count)
            return waiting(simulation, stop_known ? stop : NAN,
                           broke == SIZE_MAX ? AWAITS_BREAK : AWAITS_RETURN,
                           awaited_close(simulation), last);
        const char *ended = retest_void(simulation, j, stop, stop_known);
        if (ended != NULL)
            return lapsed(j, ended);
        if (broke == SIZE_MAX && fires(simulation, j)) {
            broke = j;
            last = j + (size_t)values[RETEST_RETEST_WITHIN];
        } else if (broke != SIZE_MAX && returned(simulation, j)) {
            struct fill fill = fill_after(simulation, j, stop, stop_known, broke);
            fill.broke = broke;
            fill.returned = j;
            return fill;
        }
    }
    return lapsed(last, broke == SIZE_MAX ? "the level was not broken in time"
                                          : "the level was not tested again in time");
}

/* Whether the close of the signal is already beyond the entry. */
static bool is_late(const struct simulation *simulation)
{
    const struct entry_rule *rule = &simulation->setup->entry;
    size_t s = simulation->signal.at;
    if (rule->entry->level == NULL || rule->late == LATE_TAKE || rule->entry->kind == ENTRY_LIMIT)
        return false;
    double level = rule->entry->level(&simulation->entry, s);
    double close = simulation->bars->close[s];
    double tolerance = tolerance_at(simulation->bars, s);
    if (rule->entry->kind == ENTRY_STOP_ORDER)
        return at_least(close, level, tolerance) == TRUTH_YES;
    return above(close, level, tolerance) == TRUTH_YES;
}

static bool prepare_entry(struct simulation *simulation)
{
    const struct entry_rule *rule = &simulation->setup->entry;
    const struct candle *candle = &simulation->signal.candle;
    size_t s = simulation->signal.at;
    double buffer = rule->buffer.atr > 0 ? rule->buffer.atr * simulation->atr[s]
                                         : order_ticks(simulation, s, rule->buffer.ticks);
    simulation->entry = (struct entry_view){.sheet = simulation->view->own,
                                            .first = candle->first,
                                            .candle = candle->at,
                                            .signal = s,
                                            .candle_high = candle->high,
                                            .candle_low = candle->low,
                                            .buffer = buffer,
                                            .tick = tick_at(simulation, s),
                                            .values = rule->values,
                                            .retest_of = rule->retest_of};
    if (isnan(buffer) && entry_takes_buffer(rule->entry))
        return false;
    return rule->entry->prepare == NULL || rule->entry->prepare(&simulation->entry);
}

struct fill find_fill(struct simulation *simulation)
{
    const struct entry *entry = simulation->setup->entry.entry;
    size_t s = simulation->signal.at;
    simulation->planned_stop = NAN;
    if (!prepare_entry(simulation))
        return lapsed(s, "nothing to wait for: no line, swing or fall, or too few bars");
    if (is_late(simulation)) {
        struct fill late = lapsed(s, "the close of the signal is already beyond the entry");
        late.outcome = TRADE_LATE;
        return late;
    }
    if (!stop_possible(simulation))
        return lapsed(s, "no stop can be placed");
    bool known = stop_stage(simulation) == STOP_AT_SIGNAL;
    double stop = NAN;
    if (known) {
        struct stop_view where = {.atr_bar = s};
        if (entry_rests(entry))
            where.reference = entry->level(&simulation->entry, s);
        stop = stop_price(simulation, &where, s);
        if (isnan(stop))
            return lapsed(s, "no stop can be placed");
    }
    simulation->planned_stop = stop;
    switch (entry->kind) {
    case ENTRY_MARKET: return fill_after(simulation, s, stop, known, s);
    case ENTRY_STOP_ORDER: return fill_stop_order(simulation, stop);
    case ENTRY_LIMIT: return fill_limit(simulation, stop);
    case ENTRY_CLOSE: return fill_on_close(simulation, stop, known);
    case ENTRY_RETEST: break;
    }
    return fill_on_retest(simulation, stop, known);
}

/* --- before anything is filled ------------------------------------------------------ */

/* The price of the order, or the first one beyond the level that is waited for. */
static double planned_entry(const struct simulation *simulation, const struct fill *fill)
{
    const struct entry *entry = simulation->setup->entry.entry;
    size_t s = simulation->signal.at;
    if (entry->kind == ENTRY_MARKET)
        return simulation->bars->close[s];
    if (entry_rests(entry))
        return entry->level(&simulation->entry, s);
    /* The sum of two doubles is not the one nearest to its decimal. */
    double beyond = order_round_down(simulation, s, fill->awaited.price) +
                    order_ticks(simulation, s, 1);
    return order_round_down(simulation, s, beyond);
}

/* With the planned entry in place of the fill. */
static double planned_stop(const struct simulation *simulation, double entry)
{
    const struct stop_rule *rule = &simulation->setup->stop;
    size_t s = simulation->signal.at;
    for (size_t i = 0; i < rule->count; i++)
        if (rule->members[i].stop->stage == STOP_AT_RETEST)
            return NAN;
    return stop_price(simulation, &(struct stop_view){.reference = entry, .atr_bar = s}, s);
}

struct fill plan_fill(struct simulation *simulation, double entry, double stop)
{
    struct fill fill = find_fill(simulation);
    if (fill.outcome != TRADE_WAITING && isnan(entry))
        return fill;
    fill.price = isnan(entry) ? planned_entry(simulation, &fill) : entry;
    fill.outcome = TRADE_WAITING;
    fill.bar = simulation->signal.at;
    fill.stop = isnan(stop) ? planned_stop(simulation, fill.price) : stop;
    return fill;
}
