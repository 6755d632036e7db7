#include "figures/case_facts.h"

#include "base/array.h"
#include "base/calendar.h"
#include "draw/ticks.h"
#include "market/scale.h"
#include "market/zone.h"
#include "trade/plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Bars shown before the candle, and kept free after the last thing shown. */
enum { BARS_BEFORE = 50, BARS_AFTER = 9, BARS_FREE = 12, BARS_AT_MOST = 260 };

/* Bars back to the high that a fall is measured from, where the setup does not
 * say how many: those of a retracement (docs/method.md 4.9). */
enum { RETRACED_BARS = 60 };

static double seen(const struct case_facts *facts, double price)
{
    return facts->is_short ? 0 - price : price;
}

/* The first condition about this in a list or its groups, of those that are read on
 * bars of this interval; `own` is that of the setup. */
static const struct criterion *find_criterion(const struct criteria *criteria,
                                              enum condition_about about, struct interval own,
                                              struct interval wanted)
{
    for (size_t i = 0; i < criteria->count; i++) {
        const struct criterion *item = &criteria->list[i];
        if (item->kind == CRITERION_CONDITION) {
            struct interval read = item->interval.unit != INTERVAL_NONE ? item->interval : own;
            if (condition_about(item->condition) == about && interval_equal(read, wanted))
                return item;
            continue;
        }
        const struct criteria parts = {item->parts, item->part_count};
        const struct criterion *found = find_criterion(&parts, about, own, wanted);
        if (found != NULL)
            return found;
    }
    return NULL;
}

static const struct criterion *asked_on(const struct setup *setup, enum condition_about about,
                                        struct interval interval)
{
    const struct criterion *found = find_criterion(&setup->place, about, setup->interval, interval);
    return found != NULL ? found
                         : find_criterion(&setup->confirm, about, setup->interval, interval);
}

static const struct criterion *asked(const struct setup *setup, enum condition_about about)
{
    return asked_on(setup, about, setup->interval);
}

/* A number of the setup's condition about this, by the name in its long row;
 * where the setup has none on these bars, the row's default. */
static double parameter_on(const struct setup *setup, enum condition_about about,
                           struct interval interval, const char *name)
{
    const struct criterion *found = asked_on(setup, about, interval);
    const struct parameter *rows = condition_that_is_about(about)->parameters;
    size_t index = parameter_find(rows, name, false);
    return found != NULL ? found->values[index] : rows[index].missing;
}

static double parameter_of(const struct setup *setup, enum condition_about about, const char *name)
{
    return parameter_on(setup, about, setup->interval, name);
}

/* Whether the setup waits, with its entry, for a break or retest of this. */
static bool waits_for(const struct setup *setup, enum retest_of what)
{
    const struct entry_rule *rule = &setup->entry;
    if (rule->entry->kind == ENTRY_RETEST)
        return rule->retest_of == what;
    return entry_breaks(rule->entry, what);
}

static bool has_stop(const struct setup *setup, bool (*is)(const struct stop *stop))
{
    for (size_t i = 0; i < setup->stop.count; i++)
        if (is(setup->stop.members[i].stop))
            return true;
    return false;
}

static void gather_uses(struct case_facts *facts)
{
    const struct setup *setup = facts->setup;
    bool context = facts->request->context;
    bool levels = has_stop(setup, stop_is_of_fall) || waits_for(setup, RETEST_RETRACEMENT);
    bool swing_targets = false;
    for (size_t i = 0; i < setup->exit.target_count; i++)
        levels |= target_is_of_fall(setup->exit.targets[i].kind);
    for (size_t i = 0; i < setup->exit.target_count; i++)
        swing_targets |= target_is_at_swing(setup->exit.targets[i].kind);
    facts->uses.levels = context || levels;
    facts->uses.fall = context || levels || asked(setup, ABOUT_FALL) != NULL ||
                       asked(setup, ABOUT_FITTED_LINE) != NULL;
    facts->uses.zones = context || asked(setup, ABOUT_ZONES) != NULL;
    facts->uses.trend_line = context || asked(setup, ABOUT_TREND_LINE) != NULL ||
                             waits_for(setup, RETEST_TREND_LINE);
    facts->uses.neckline = context || waits_for(setup, RETEST_SWING);
    facts->uses.swings = facts->uses.zones || facts->uses.trend_line || facts->uses.neckline ||
                         asked(setup, ABOUT_SWINGS) != NULL || has_stop(setup, stop_is_at_swing) ||
                         swing_targets ||
                         (setup->exit.trail != NULL && trail_follows_swings(setup->exit.trail)) ||
                         asked(setup, ABOUT_DIVERGENCE) != NULL;
}

/* The two swings of a divergence that the setup asks for, where the signal has
 * one: beyond the older in price, not in the measure. */
static void gather_divergence(struct case_facts *facts)
{
    const struct setup *setup = facts->setup;
    struct sheet *own = facts->request->view->own;
    const double *low = sheet_bars(own)->low;
    const double *rsi = sheet_rsi(own, (size_t)parameter_of(setup, ABOUT_DIVERGENCE, "length"));
    if (asked(setup, ABOUT_DIVERGENCE) == NULL || rsi == NULL ||
        !newest_two_lows(own, (size_t)parameter_of(setup, ABOUT_DIVERGENCE, "bars"),
                         (size_t)parameter_of(setup, ABOUT_DIVERGENCE, "swing"), facts->signal,
                         &facts->older, &facts->newer))
        return;
    facts->diverges = low[facts->newer] < low[facts->older] &&
                      rsi[facts->newer] > rsi[facts->older];
}

static void gather_fall(struct case_facts *facts)
{
    const struct setup *setup = facts->setup;
    struct sheet *own = facts->request->view->own;
    size_t bars = asked(setup, ABOUT_FALL) != NULL ? (size_t)parameter_of(setup, ABOUT_FALL, "bars")
                                                   : RETRACED_BARS;
    facts->has_fall = fall_before(own, bars, facts->candle, &facts->fall);
    double high = seen(facts, facts->fall.high);
    facts->fall.low = seen(facts, facts->fall.low);
    facts->fall.high = high;
    size_t n = asked(setup, ABOUT_FITTED_LINE) != NULL
                   ? (size_t)parameter_of(setup, ABOUT_FITTED_LINE, "bars")
                   : 0;
    size_t f = facts->candle_first;
    const double *slope = n > 1 && f > 0 ? sheet_slope(facts->request->view->plain, n) : NULL;
    const double *mean = slope != NULL ? sheet_mean(facts->request->view->plain, n) : NULL;
    const double *atr = sheet_atr(facts->request->view->plain, 14);
    if (mean == NULL || atr == NULL || isnan(slope[f - 1]) || !(atr[f - 1] > 0))
        return;
    double whole = slope[f - 1] * (double)(n - 1);
    facts->slope_bars = n;
    facts->slope_from = mean[f - 1] - whole / 2;
    facts->slope_to = mean[f - 1] + whole / 2;
    facts->slope_atr = fabs(whole) / atr[f - 1];
}

static void count_touches(const struct case_facts *facts, struct case_zone *zone, size_t from)
{
    const struct swings *swings = facts->swings;
    zone->first_touch = SIZE_MAX;
    for (int side = 0; swings != NULL && side < 2; side++) {
        const size_t *list = side == 0 ? swings->high : swings->low;
        size_t count = side == 0 ? swings->high_count : swings->low_count;
        const double *price = side == 0 ? facts->bars->high : facts->bars->low;
        for (size_t i = 0; i < count; i++) {
            size_t bar = list[i];
            if (bar < from || bar + swings->strength > facts->candle || price[bar] < zone->low ||
                price[bar] > zone->high)
                continue;
            if (bar < zone->first_touch)
                zone->first_touch = bar;
        }
    }
}

/* The zones nearest to the candle, within 2 ATR of it. */
static void gather_zones(struct case_facts *facts)
{
    struct sheet *own = facts->request->view->own;
    const struct setup *setup = facts->setup;
    const double *atr = sheet_atr(own, 14);
    struct zone *found = array_new(ZONE_LIMIT, sizeof *found);
    if (found == NULL || atr == NULL || isnan(atr[facts->candle])) {
        free(found);
        return;
    }
    size_t span = (size_t)parameter_of(setup, ABOUT_ZONES, "bars");
    size_t count = zones_at(own, span, facts->swing, parameter_of(setup, ABOUT_ZONES, "width_atr"),
                            (size_t)parameter_of(setup, ABOUT_ZONES, "touches"), facts->candle,
                            found);
    double low = facts->is_short ? -facts->candle_high : facts->candle_low;
    for (size_t i = 0; count != SIZE_MAX && i < count; i++) {
        double away = fmax(fmax(found[i].low - low, low - found[i].high), 0);
        if (away > 2 * atr[facts->candle] || facts->zone_count == CASE_ZONE_LIMIT)
            continue;
        struct case_zone zone = {.low = seen(facts, facts->is_short ? found[i].high : found[i].low),
                                 .high = seen(facts,
                                              facts->is_short ? found[i].low : found[i].high),
                                 .touches = found[i].members};
        count_touches(facts, &zone, facts->candle + 1 > span ? facts->candle + 1 - span : 0);
        facts->zones[facts->zone_count++] = zone;
    }
    free(found);
}

static void gather_structure(struct case_facts *facts)
{
    struct sheet *own = facts->request->view->own;
    const struct setup *setup = facts->setup;
    facts->swing = (size_t)parameter_of(setup, ABOUT_ZONES, "swing");
    facts->swings = swings_of(facts->request->view->plain, facts->swing);
    gather_zones(facts);
    facts->has_line = falling_trend_line(own, (size_t)parameter_of(setup, ABOUT_TREND_LINE, "bars"),
                                         (size_t)parameter_of(setup, ABOUT_TREND_LINE, "swing"),
                                         facts->signal, &facts->line);
    facts->line.first_price = seen(facts, facts->line.first_price);
    facts->line.second_price = seen(facts, facts->line.second_price);
    facts->neckline_bar = newest_swing_high(own, facts->swing, facts->signal);
    if (facts->neckline_bar != SIZE_MAX)
        facts->neckline = facts->is_short ? facts->bars->low[facts->neckline_bar]
                                          : facts->bars->high[facts->neckline_bar];
}

/* Levels of the RSI that a condition about it is held against. */
static void add_limits(struct case_momentum *momentum, const struct criterion *found)
{
    if (found == NULL)
        return;
    const struct parameter *rows = found->condition->parameters;
    for (size_t p = 0; p < parameter_count(rows); p++) {
        double value = found->mirrored ? parameter_mirrored(&rows[p], found->values[p])
                                       : found->values[p];
        bool is_new = rows[p].mirror == MIRROR_FROM_HUNDRED && !isnan(value);
        for (size_t i = 0; i < momentum->limit_count; i++)
            is_new = is_new && momentum->limits[i] != value;
        if (is_new && momentum->limit_count < MOMENTUM_LIMITS)
            momentum->limits[momentum->limit_count++] = value;
    }
}

/* The first of these that the setup asks for on these bars, else the last, whose row
 * then holds. */
static enum condition_about first_asked(const struct setup *setup, struct interval interval,
                                        const enum condition_about *abouts, size_t count)
{
    size_t i = 0;
    while (i + 1 < count && asked_on(setup, abouts[i], interval) == NULL)
        i++;
    return abouts[i];
}

void case_momentum_read(struct case_momentum *momentum, const struct setup *setup,
                        struct sheet *sheet, struct interval interval)
{
    static const enum condition_about rsi[] = {ABOUT_RSI_AVERAGE, ABOUT_RSI, ABOUT_DIVERGENCE};
    static const enum condition_about macd[] = {ABOUT_MACD_SIGNAL, ABOUT_MACD, ABOUT_MACD_TURN};
    enum condition_about of_rsi = first_asked(setup, interval, rsi, 3);
    enum condition_about of_macd = first_asked(setup, interval, macd, 3);
    double length = parameter_on(setup, of_rsi, interval, "length");
    double average = parameter_on(setup, ABOUT_RSI_AVERAGE, interval, "average");
    double fast = parameter_on(setup, of_macd, interval, "fast");
    double slow = parameter_on(setup, of_macd, interval, "slow");
    /* One rule is about MACD alone and has no signal. */
    enum condition_about of_signal = of_macd == ABOUT_MACD ? ABOUT_MACD_TURN : of_macd;
    double signal = parameter_on(setup, of_signal, interval, "signal");
    *momentum = (struct case_momentum){.rsi_asked = asked_on(setup, of_rsi, interval) != NULL,
                                       .average_asked = asked_on(setup, ABOUT_RSI_AVERAGE,
                                                                 interval) != NULL,
                                       .macd_asked = asked_on(setup, of_macd, interval) != NULL,
                                       .rsi = sheet_rsi(sheet, (size_t)length),
                                       .rsi_average = sheet_column(sheet, MEASURE_RSI_AVERAGE,
                                                                   length, average, 0),
                                       .length = (size_t)length,
                                       .average = (size_t)average,
                                       .macd = sheet_column(sheet, MEASURE_MACD, fast, slow, 0),
                                       .macd_signal = sheet_column(sheet, MEASURE_MACD_SIGNAL, fast,
                                                                   slow, signal),
                                       .macd_histogram = sheet_column(sheet, MEASURE_MACD_HISTOGRAM,
                                                                      fast, slow, signal)};
    add_limits(momentum, asked_on(setup, ABOUT_RSI, interval));
    add_limits(momentum, asked_on(setup, ABOUT_RSI_AVERAGE, interval));
}

/* Targets of a plan that has not been filled, as the order price would have
 * it. */
static void plan_targets(struct case_facts *facts)
{
    const struct exit_rule *exit = &facts->setup->exit;
    const struct tick *tick = terms_tick(facts->request->terms, facts->bars->time[facts->signal]);
    double side = facts->is_short ? -1 : 1;
    struct target_view view = {.sheet = facts->request->view->own,
                               .sheet_is_mirror = facts->is_short,
                               .first = facts->candle_first,
                               .candle = facts->candle,
                               .signal = facts->signal,
                               .fill = side * facts->entry,
                               .risk = facts->risk,
                               .fall_bars = setup_fall_bars(facts->setup),
                               .around = facts->request->view->around};
    for (size_t i = 0; i < exit->target_count; i++) {
        view.value = exit->targets[i].value;
        double price = side * exit->targets[i].kind->price(&view);
        if (isnan(price) || side * (price - facts->entry) <= 0)
            continue;
        facts->targets[facts->target_count++] = facts->is_short
                                                    ? bars_round_down(facts->bars, facts->signal,
                                                                      tick, price)
                                                    : bars_round_up(facts->bars, facts->signal,
                                                                    tick, price);
    }
}

/* An entry that waits for a close is not at the price of now: the figure measures R
 * from the nearest price at which it could be filled. */
static void expect_entry(struct case_facts *facts)
{
    static const struct planned_lines unmoved = {NAN, NAN, NAN};
    const struct case_request *request = facts->request;
    struct planned_orders orders;
    trade_plan(request->view, request->terms, &request->signal, &unmoved, &orders);
    if (!isfinite(orders.entry))
        return;
    facts->expected = true;
    facts->entry = orders.entry;
    if (isnan(facts->stop))
        facts->stop = orders.stop;
}

static void gather_orders(struct case_facts *facts)
{
    const struct case_request *request = facts->request;
    if (request->nearly) {
        facts->path = (struct trade_path){.order_price = NAN, .stop = NAN, .level = NAN};
        facts->entry = facts->stop = facts->risk = NAN;
        facts->trade.reason = TRADE_WAITING;
        return;
    }
    facts->trade = trade_of_signal(request->view, request->terms, &request->signal, &facts->path);
    facts->filled = request->outcome && trade_filled(facts->trade.reason);
    facts->stop = facts->path.stop;
    if (facts->filled) {
        facts->stop = facts->trade.stop;
        facts->entry = facts->trade.entry;
        facts->risk = facts->trade.risk;
        facts->target_count = facts->path.target_count;
        memcpy(facts->targets, facts->path.targets, sizeof facts->targets);
        return;
    }
    facts->entry = isnan(facts->path.order_price) ? facts->bars->close[facts->signal]
                                                  : facts->path.order_price;
    if (isnan(facts->path.order_price) && facts->setup->entry.entry->kind != ENTRY_MARKET)
        expect_entry(facts);
    facts->risk = fabs(facts->entry - facts->stop);
    if (facts->risk > 0)
        plan_targets(facts);
}

static void choose_window(struct case_facts *facts)
{
    size_t shown_to = facts->signal + BARS_FREE;
    if (facts->request->outcome) {
        size_t over = facts->trade.exit_bar > facts->signal ? facts->trade.exit_bar : facts->signal;
        shown_to = over + BARS_AFTER;
        facts->bar_count = shown_to + 1 < facts->bar_count ? shown_to + 1 : facts->bar_count;
    } else {
        facts->bar_count = facts->signal + 1;
    }
    facts->last = shown_to;
    size_t before = facts->request->before > 0 ? facts->request->before : BARS_BEFORE;
    if (facts->request->before == 0 && facts->has_fall &&
        facts->candle - facts->fall.high_bar + 12 > before)
        before = facts->candle - facts->fall.high_bar + 12;
    facts->first = facts->candle_first > before ? facts->candle_first - before : 0;
    if (facts->last - facts->first > BARS_AT_MOST && facts->candle_first > 40)
        facts->first = facts->candle_first - 40;
}

static int gather_times(struct case_facts *facts, struct error *error)
{
    const struct bars *bars = facts->bars;
    facts->dated = interval_is_dated(bars->interval);
    facts->times = array_new(bars->count, sizeof *facts->times);
    if (facts->times == NULL)
        return error_memory(error);
    const char *zone = facts->request->view->around != NULL ? facts->request->view->around->zone
                                                            : NULL;
    for (size_t i = 0; i < bars->count; i++) {
        facts->times[i] = bars->time[i];
        if (facts->dated || i < facts->first || i > facts->last)
            continue;
        time_to_local(bars->time[i], zone, &facts->times[i]);
        /* The clock goes back once a year; the axis needs times that rise. */
        if (i > facts->first && facts->times[i] <= facts->times[i - 1])
            facts->times[i] = facts->times[i - 1] + 1;
    }
    return ERROR_NONE;
}

int case_facts_make(struct case_facts *facts, const struct case_request *request,
                    struct error *error)
{
    const struct setup_view *view = request->view;
    const struct candle *candle = &request->signal.candle;
    *facts = (struct case_facts){.request = request,
                                 .setup = view->setup,
                                 .bars = sheet_bars(view->plain),
                                 .is_short = view->setup->side == SIDE_SHORT,
                                 .bar_count = sheet_count(view->plain),
                                 .candle_first = candle->first,
                                 .candle = candle->at,
                                 .signal = request->signal.at};
    facts->candle_high = facts->is_short ? 0 - candle->low : candle->high;
    facts->candle_low = facts->is_short ? 0 - candle->high : candle->low;
    facts->places = decimals_of(request->terms->tick.value);
    checklist_read(view, candle, request->signal.at, &facts->checklist);
    if (request->nearly)
        checklist_nearly(&facts->checklist, &facts->failed, &facts->missed_by);
    gather_uses(facts);
    gather_divergence(facts);
    gather_fall(facts);
    gather_structure(facts);
    case_momentum_read(&facts->momentum, facts->setup, view->plain, facts->setup->interval);
    gather_orders(facts);
    choose_window(facts);
    if (sheet_failed(view->plain))
        return error_memory(error);
    return gather_times(facts, error);
}

void case_facts_free(struct case_facts *facts)
{
    free(facts->times);
    facts->times = NULL;
}

void case_price(const struct case_facts *facts, double price, char text[TICK_TEXT_SIZE])
{
    number_text(price, facts->places, text);
}

double case_r(const struct case_facts *facts, double price)
{
    double way = facts->is_short ? facts->entry - price : price - facts->entry;
    return way / facts->risk;
}

void case_r_text(double r, char text[TICK_TEXT_SIZE])
{
    char number[TICK_TEXT_SIZE];
    number_text(r, 2, number);
    snprintf(text, TICK_TEXT_SIZE, "%s%.40s R", r > 0 ? "+" : "", number);
}

void case_time(const struct case_facts *facts, size_t bar, char text[TICK_TEXT_SIZE])
{
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    struct civil_time civil;
    civil_from_time(&civil, facts->times[bar]);
    int used = snprintf(text, TICK_TEXT_SIZE, "%d %s %d", civil.day, months[civil.month - 1],
                        civil.year);
    if (!facts->dated)
        snprintf(text + used, TICK_TEXT_SIZE - (size_t)used, " %02d:%02d", civil.hour,
                 civil.minute);
}
