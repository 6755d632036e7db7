/* Entries and stops of section 7, long side.  Order prices are computed prices, so touches of them
 * and closes beyond them have the tolerance of section 2 (that of the bar which touches). */
#include "naive_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- ticks -----------------------------------------------------------------------------------*/

/* The decimals of the tick as a person writes it: 0.01 has two. */
static int decimals_of(double tick)
{
    char text[64];
    for (int decimals = 0; decimals < 15; decimals++) {
        (void)snprintf(text, sizeof text, "%.*f", decimals, tick);
        if (fabs(strtod(text, NULL) - tick) <= 1e-15 * tick) {
            return decimals;
        }
    }
    return 15;
}

/* "an order price is the double nearest to its decimal" */
static double price_of_ticks(double ticks, double tick)
{
    char text[400];
    double scale = pow(10.0, decimals_of(tick));
    double units = ticks * round(tick * scale);
    (void)snprintf(text, sizeof text, "%.0fe-%d", units, decimals_of(tick));
    return strtod(text, NULL);
}

/* "a quotient within 1e-6 of a whole number of ticks counts as whole" */
static double whole_ticks(double price, double tick, bool up)
{
    double quotient = price / tick;
    if (fabs(quotient - round(quotient)) <= 1e-6) {
        return round(quotient);
    }
    return up ? ceil(quotient) : floor(quotient);
}

double naive_round_up_to_tick(double price, double tick)
{
    if (isnan(price) || !(tick > 0.0)) {
        return price;
    }
    return price_of_ticks(whole_ticks(price, tick, true), tick);
}

double naive_round_down_to_tick(double price, double tick)
{
    if (isnan(price) || !(tick > 0.0)) {
        return price;
    }
    return price_of_ticks(whole_ticks(price, tick, false), tick);
}

/* "Buffers are ticks, or buffer_atr times ATR[s]"; NaN where that is undefined. */
static double buffer_of(const struct side *side, double ticks, double in_atr, size_t s)
{
    double buffer = ticks * side->tick;
    if (in_atr != 0.0) {
        buffer += in_atr * naive_atr14(side->bars, s);
    }
    return buffer;
}

/* --- stops -----------------------------------------------------------------------------------*/

static double lowest_between(const struct naive_bars *bars, size_t first, size_t last)
{
    double lowest = bars->low[first];
    for (size_t i = first; i <= last; i++) {
        lowest = fmin(lowest, bars->low[i]);
    }
    return lowest;
}

static enum stop_answer known_unless_nan(double price)
{
    return isnan(price) ? STOP_UNDEFINED : STOP_KNOWN;
}

/* "lowest low of bars s-n+1 .. s" */
static enum stop_answer lowest_low_stop(const struct side *side, size_t n, size_t s, double *price)
{
    if (n == 0 || s + 1 < n) {
        return STOP_UNDEFINED;
    }
    *price = lowest_between(side->bars, s + 1 - n, s);
    return STOP_KNOWN;
}

/* "the newest swing low known at s, or candle_low if that is lower" */
static enum stop_answer swing_low_stop(const struct side *side, size_t k,
                                       const struct stop_question *question, double *price)
{
    size_t swing = naive_newest_swing_low(side->bars, k, question->s);
    if (swing == NAIVE_NONE) {
        return STOP_UNDEFINED;
    }
    *price = fmin(side->bars->low[swing], question->candle->low);
    return STOP_KNOWN;
}

/* "fixed at k: lowest low of j+1 .. k" */
static enum stop_answer leg_low_stop(const struct side *side, const struct stop_question *question,
                                     double *price)
{
    if (question->leg_last == NAIVE_NONE) {
        return STOP_NOT_YET;
    }
    *price = lowest_between(side->bars, question->leg_first, question->leg_last);
    return STOP_KNOWN;
}

/* "break_of_high: order price less times*ATR[s]; market entries: fill less times*ATR of the bar
 * before the fill (of bar j with at: close)" */
static enum stop_answer atr_stop(const struct side *side, double times,
                                 const struct stop_question *question, double *price)
{
    if (!isnan(question->order_price)) {
        *price = question->order_price - times * naive_atr14(side->bars, question->s);
        return known_unless_nan(*price);
    }
    if (isnan(question->fill)) {
        return STOP_NOT_YET;
    }
    *price = question->fill - times * naive_atr14(side->bars, question->bar_before_fill);
    return known_unless_nan(*price);
}

/* "retracement: the level of the fall of bars before t"; "an entry that waits for a close comes up to
 * it from below: until the bar that fires nothing cancels" */
static enum stop_answer retracement_stop(const struct side *side, const struct stop_rule *rule,
                                         const struct stop_question *question, double *price)
{
    struct measured_fall fall = naive_fall_before(side->bars, rule->bars, question->candle->t);
    if (!fall.defined) {
        return STOP_UNDEFINED;
    }
    *price = naive_fall_level(&fall, rule->level);
    return isnan(question->order_price) && isnan(question->fill) ? STOP_NOT_YET : STOP_KNOWN;
}

static enum stop_answer stop_without_buffer(const struct side *side, const struct stop_rule *rule,
                                            const struct stop_question *question, double *price);

/* "the lowest of several"; not known while one of them is not */
static enum stop_answer lowest_of_members(const struct side *side, const struct stop_rule *rule,
                                          const struct stop_question *question, double *price)
{
    enum stop_answer all = STOP_KNOWN;
    double lowest = INFINITY;
    for (size_t i = 0; i < rule->member_count; i++) {
        double member = NAN;
        enum stop_answer one = stop_without_buffer(side, &rule->members[i], question, &member);
        if (one == STOP_UNDEFINED) {
            return STOP_UNDEFINED;
        }
        if (one == STOP_NOT_YET) {
            all = STOP_NOT_YET;
        } else {
            lowest = fmin(lowest, member);
        }
    }
    *price = lowest;
    return rule->member_count == 0 ? STOP_UNDEFINED : all;
}

static enum stop_answer stop_without_buffer(const struct side *side, const struct stop_rule *rule,
                                            const struct stop_question *question, double *price)
{
    if (strcmp(rule->at, "candle_low") == 0) {
        *price = question->candle->low;
        return STOP_KNOWN;
    }
    if (strcmp(rule->at, "lowest_low") == 0) {
        return lowest_low_stop(side, rule->bars, question->s, price);
    }
    if (strcmp(rule->at, "swing_low") == 0) {
        return swing_low_stop(side, rule->swing, question, price);
    }
    if (strcmp(rule->at, "leg_low") == 0) {
        return leg_low_stop(side, question, price);
    }
    if (strcmp(rule->at, "retracement") == 0) {
        return retracement_stop(side, rule, question, price);
    }
    if (strcmp(rule->at, "atr") == 0) {
        return atr_stop(side, rule->times, question, price);
    }
    return lowest_of_members(side, rule, question, price);
}

enum stop_answer naive_stop_price(const struct side *side, const struct stop_question *question,
                                  double *price)
{
    const struct stop_rule *rule = &side->setup->stop;
    double raw = NAN;
    double buffer = 0.0;
    /* The row of a lone atr stop names no buffer. */
    if (strcmp(rule->at, "atr") != 0) {
        buffer = buffer_of(side, rule->buffer_ticks, rule->buffer_atr, question->s);
    }
    enum stop_answer known = stop_without_buffer(side, rule, question, &raw);
    if (known == STOP_UNDEFINED || isnan(buffer)) {
        return STOP_UNDEFINED;
    }
    if (known == STOP_KNOWN) {
        *price = naive_round_down_to_tick(raw - buffer, side->tick); /* "a protective stop down" */
    }
    return known;
}

/* --- the price an entry waits to see a close above -------------------------------------------*/

struct watched {
    bool exists;
    bool computed; /* else a price as given, compared as it is */
    bool is_line;
    double price;
    struct trend_line line;
};

static double watched_price(const struct watched *watched, size_t bar)
{
    return watched->is_line ? naive_trend_line_price(&watched->line, bar) : watched->price;
}

static bool closes_above(const struct side *side, const struct watched *watched, size_t bar)
{
    double tolerance = watched->computed ? naive_tolerance_of_bar(side->bars, bar) : 0.0;
    return exceeds(side->bars->close[bar], watched_price(watched, bar), tolerance);
}

/* "candle_high + buffer (rounded up to the tick; unrounded where the buffer is 0)" */
static struct watched watch_candle_high(const struct side *side, const struct candle *candle,
                                        size_t s)
{
    const struct entry_rule *entry = &side->setup->entry;
    struct watched watched = {.exists = true, .price = candle->high};
    if (entry->buffer_ticks != 0.0 || entry->buffer_atr != 0.0) {
        double buffer = buffer_of(side, entry->buffer_ticks, entry->buffer_atr, s);
        watched.price = naive_round_up_to_tick(candle->high + buffer, side->tick);
        watched.computed = true;
        watched.exists = !isnan(watched.price);
    }
    return watched;
}

/* "the newest swing high known at s (the neckline)" */
static struct watched watch_swing_high(const struct side *side, size_t s)
{
    size_t swing = naive_newest_swing_high(side->bars, side->setup->entry.swing, s);
    struct watched watched = {.exists = swing != NAIVE_NONE};
    if (watched.exists) {
        watched.price = side->bars->high[swing];
    }
    return watched;
}

/* "the falling trend line known at s" */
static struct watched watch_trend_line(const struct side *side, size_t s)
{
    const struct entry_rule *entry = &side->setup->entry;
    struct watched watched = {.computed = true, .is_line = true};
    watched.line = naive_falling_trend_line_at(side->bars, entry->bars, entry->swing, s);
    watched.exists = watched.line.exists;
    return watched;
}

/* "measured at candle bar t and not again later" */
static struct watched watch_retracement(const struct side *side, const struct candle *candle)
{
    const struct entry_rule *entry = &side->setup->entry;
    struct measured_fall fall = naive_fall_before(side->bars, entry->bars, candle->t);
    struct watched watched = {.exists = fall.defined, .computed = true};
    watched.price = naive_fall_level(&fall, entry->level);
    return watched;
}

static struct watched what_is_watched(const struct side *side, const struct candle *candle,
                                      size_t s)
{
    const struct entry_rule *entry = &side->setup->entry;
    const char *word = strcmp(entry->on, "retest") == 0 ? entry->retest_of : entry->on;
    if (strcmp(word, "close_above_high") == 0) {
        return watch_candle_high(side, candle, s);
    }
    if (strcmp(word, "swing_high_break") == 0 || strcmp(word, "swing_high") == 0) {
        return watch_swing_high(side, s);
    }
    if (strcmp(word, "trend_line_break") == 0 || strcmp(word, "trend_line") == 0) {
        return watch_trend_line(side, s);
    }
    return watch_retracement(side, candle);
}

/* --- the fill --------------------------------------------------------------------------------*/

static struct fill lapsed_on(size_t bar)
{
    return (struct fill){.status = FILL_LAPSED, .lapsed = bar, .price = NAN, .stop = NAN};
}

static struct fill late_on(size_t bar)
{
    return (struct fill){.status = FILL_LATE, .lapsed = bar, .price = NAN, .stop = NAN};
}

/* "least_room_r: the lowest edge of a resistance zone above the fill at least that many R away (fixed
 * parameters 250, 3, 0.5, 2)"; the zones are those known at s, of the mirror row of at_support. */
static bool has_room(const struct side *side, double fill, double stop, size_t s)
{
    double least = side->setup->entry.least_room_r;
    if (isnan(least)) {
        return true;
    }
    size_t count = 0;
    struct level *levels = naive_levels_at(side->opposite, 250, 3, 0.5, 2, s, &count);
    if (levels == NULL) {
        return false;
    }
    double tolerance = naive_tolerance_of_bar(side->bars, s);
    double nearest = INFINITY;
    for (size_t i = 0; i < count; i++) {
        double lowest_edge = -levels[i].upper;
        if (exceeds(lowest_edge, fill, tolerance)) {
            nearest = fmin(nearest, lowest_edge);
        }
    }
    free(levels);
    return at_least(nearest - fill, least * (fill - stop), tolerance);
}

/* "the fill no more than that many ATR[s] beyond the order price or the close of s" */
static bool gap_is_small(const struct side *side, double fill, double from, size_t s)
{
    double most = side->setup->entry.largest_gap_atr;
    if (isnan(most)) {
        return true;
    }
    return at_most(fill - from, most * naive_atr14(side->bars, s),
                   naive_tolerance_of_bar(side->bars, s));
}

/* "Where the fill would be at or below the stop it is not taken, and lapses on that bar." */
static struct fill fill_at(const struct side *side, struct stop_question *question, size_t bar,
                           double price, bool at_close)
{
    struct fill fill = {.status = FILL_DONE, .bar = bar, .price = price, .at_close = at_close};
    double from = isnan(question->order_price) ? side->bars->close[question->s]
                                               : question->order_price;
    question->fill = price;
    question->bar_before_fill = at_close ? bar : bar - 1;
    if (naive_stop_price(side, question, &fill.stop) != STOP_KNOWN) {
        return lapsed_on(bar);
    }
    if (at_most(price, fill.stop, naive_tolerance_of_bar(side->bars, bar))) {
        return lapsed_on(bar);
    }
    if (!gap_is_small(side, price, from, question->s) ||
        !has_room(side, price, fill.stop, question->s)) {
        return lapsed_on(bar);
    }
    return fill;
}

/* "market at O[j+1], or at C[j] with at: close" */
static struct fill fill_after_close(const struct side *side, struct stop_question *question,
                                    size_t fired)
{
    if (side->setup->entry.at_close) {
        return fill_at(side, question, fired, side->bars->close[fired], true);
    }
    if (fired + 1 >= side->bars->count) {
        return lapsed_on(fired + 1);
    }
    return fill_at(side, question, fired + 1, side->bars->open[fired + 1], false);
}

/* --- entries ---------------------------------------------------------------------------------*/

/* "market at O[s+1]" */
static struct fill next_open(const struct side *side, struct stop_question *question)
{
    double stop = NAN;
    size_t bar = question->s + 1;
    if (naive_stop_price(side, question, &stop) == STOP_UNDEFINED) {
        return lapsed_on(question->s);
    }
    if (bar >= side->bars->count) {
        return lapsed_on(bar);
    }
    return fill_at(side, question, bar, side->bars->open[bar], false);
}

/* One bar of a working buy stop.  True once the order is filled or cancelled. */
static bool buy_stop_on_bar(const struct side *side, struct stop_question *question, double stop,
                            size_t bar, struct fill *fill)
{
    const struct naive_bars *bars = side->bars;
    double price = question->order_price;
    double tolerance = naive_tolerance_of_bar(bars, bar);
    /* "cancelled by a bar that opens at or below the protective stop" */
    if (at_most(bars->open[bar], stop, tolerance)) {
        *fill = lapsed_on(bar);
        return true;
    }
    /* "fills at max(O, price) on the first bar with H >= price" */
    if (at_least(bars->high[bar], price, tolerance)) {
        *fill = fill_at(side, question, bar, fmax(bars->open[bar], price), false);
        fill->inside = !at_least(bars->open[bar], price, tolerance);
        return true;
    }
    /* "or that reaches the stop and not the entry" */
    if (at_most(bars->low[bar], stop, tolerance)) {
        *fill = lapsed_on(bar);
        return true;
    }
    return false;
}

static struct fill break_of_high(const struct side *side, struct stop_question *question)
{
    const struct entry_rule *entry = &side->setup->entry;
    size_t s = question->s;
    double buffer = buffer_of(side, entry->buffer_ticks, entry->buffer_atr, s);
    double price = naive_round_up_to_tick(question->candle->high + buffer, side->tick);
    double stop = NAN;
    struct fill fill = lapsed_on(s + entry->valid);
    if (isnan(price)) {
        return lapsed_on(s);
    }
    /* "at or above the order price of break_of_high" */
    if (!entry->take_late &&
        at_least(side->bars->close[s], price, naive_tolerance_of_bar(side->bars, s))) {
        return late_on(s);
    }
    question->order_price = price;
    if (naive_stop_price(side, question, &stop) != STOP_KNOWN) {
        return lapsed_on(s);
    }
    for (size_t bar = s + 1; bar <= s + entry->valid && bar < side->bars->count; bar++) {
        if (buy_stop_on_bar(side, question, stop, bar, &fill)) {
            return fill;
        }
    }
    return fill;
}

/* "buy limit at C[t] - share*(candle_high - candle_low), rounded down; fills at min(O, price) on the
 * first bar with L <= price" */
static struct fill limit_below_close(const struct side *side, struct stop_question *question)
{
    const struct entry_rule *entry = &side->setup->entry;
    const struct naive_bars *bars = side->bars;
    const struct candle *candle = question->candle;
    size_t s = question->s;
    double stop = NAN;
    double price = naive_round_down_to_tick(bars->close[candle->t] -
                                                entry->share * (candle->high - candle->low),
                                            side->tick);
    question->order_price = price;
    if (naive_stop_price(side, question, &stop) != STOP_KNOWN ||
        at_most(price, stop, naive_tolerance_of_bar(bars, s))) {
        return lapsed_on(s);
    }
    for (size_t bar = s + 1; bar <= s + entry->valid && bar < bars->count; bar++) {
        double tolerance = naive_tolerance_of_bar(bars, bar);
        if (at_most(bars->open[bar], stop, tolerance)) {
            return lapsed_on(bar);
        }
        if (at_most(bars->low[bar], price, tolerance)) {
            struct fill fill = fill_at(side, question, bar, fmin(bars->open[bar], price), false);
            fill.came_down = !at_most(bars->open[bar], price, tolerance);
            return fill;
        }
    }
    return lapsed_on(s + entry->valid);
}

/* "C[j] > O[j] and C[j] > C[t]", or a close above the price that is watched */
static bool fires(const struct side *side, const struct candle *candle,
                  const struct watched *watched, size_t bar)
{
    const struct naive_bars *bars = side->bars;
    if (strcmp(side->setup->entry.on, "bullish_candle") == 0) {
        return bars->close[bar] > bars->open[bar] && bars->close[bar] > bars->close[candle->t];
    }
    return closes_above(side, watched, bar);
}

/* "cancelled by any bar up to and including the firing one that trades at or through the stop";
 * nothing cancels while the stop is not known. */
static bool trades_through(const struct side *side, enum stop_answer known, double stop, size_t bar)
{
    return known == STOP_KNOWN &&
           at_most(side->bars->low[bar], stop, naive_tolerance_of_bar(side->bars, bar));
}

static struct fill wait_for_close(const struct side *side, struct stop_question *question)
{
    const struct entry_rule *entry = &side->setup->entry;
    size_t s = question->s;
    bool watches = strcmp(entry->on, "bullish_candle") != 0;
    struct watched watched = {.exists = true};
    double stop = NAN;
    if (watches) {
        watched = what_is_watched(side, question->candle, s);
    }
    if (!watched.exists) {
        return lapsed_on(s);
    }
    if (watches && !entry->take_late && closes_above(side, &watched, s)) {
        return late_on(s);
    }
    enum stop_answer known = naive_stop_price(side, question, &stop);
    if (known == STOP_UNDEFINED) {
        return lapsed_on(s);
    }
    for (size_t j = s + 1; j <= s + entry->valid && j < side->bars->count; j++) {
        if (trades_through(side, known, stop, j)) {
            return lapsed_on(j);
        }
        if (fires(side, question->candle, &watched, j)) {
            return fill_after_close(side, question, j);
        }
    }
    return lapsed_on(s + entry->valid);
}

/* "Void on a bar s+1 .. k that closes below candle_low or, unless the stop is leg_low, trades at or
 * through the stop" (candle_low is a price as given; a leg_low is not known before k) */
static bool retest_is_void(const struct side *side, const struct stop_question *question,
                           enum stop_answer known, double stop, size_t bar)
{
    return side->bars->close[bar] < question->candle->low || trades_through(side, known, stop, bar);
}

/* "L[k] <= level + tolerance*ATR[k] and C[k] > level" */
static bool retests(const struct side *side, const struct watched *watched, size_t bar)
{
    double most = watched_price(watched, bar) +
                  side->setup->entry.tolerance_atr * naive_atr14(side->bars, bar);
    return at_most(side->bars->low[bar], most, naive_tolerance_of_bar(side->bars, bar)) &&
           closes_above(side, watched, bar);
}

/* "on j+1 .. j+retest_within the first bar k" */
static struct fill second_half(const struct side *side, struct stop_question *question,
                               const struct watched *watched, enum stop_answer known, double stop,
                               size_t j)
{
    size_t last = j + side->setup->entry.retest_within;
    for (size_t k = j + 1; k <= last && k < side->bars->count; k++) {
        if (retest_is_void(side, question, known, stop, k)) {
            return lapsed_on(k);
        }
        if (retests(side, watched, k)) {
            question->leg_first = j + 1;
            question->leg_last = k;
            return fill_after_close(side, question, k);
        }
    }
    return lapsed_on(last);
}

/* "First bar j in s+1 .. s+break_within closing above it" */
static struct fill retest(const struct side *side, struct stop_question *question)
{
    const struct entry_rule *entry = &side->setup->entry;
    size_t s = question->s;
    double stop = NAN;
    struct watched watched = what_is_watched(side, question->candle, s);
    if (!watched.exists) {
        return lapsed_on(s);
    }
    if (!entry->take_late && closes_above(side, &watched, s)) {
        return late_on(s);
    }
    enum stop_answer known = naive_stop_price(side, question, &stop);
    if (known == STOP_UNDEFINED) {
        return lapsed_on(s);
    }
    for (size_t j = s + 1; j <= s + entry->break_within && j < side->bars->count; j++) {
        if (retest_is_void(side, question, known, stop, j)) {
            return lapsed_on(j);
        }
        if (closes_above(side, &watched, j)) {
            return second_half(side, question, &watched, known, stop, j);
        }
    }
    return lapsed_on(s + entry->break_within);
}

struct fill naive_find_fill(const struct side *side, const struct candle *candle, size_t s)
{
    struct stop_question question = {.s = s,
                                     .candle = candle,
                                     .order_price = NAN,
                                     .fill = NAN,
                                     .bar_before_fill = NAIVE_NONE,
                                     .leg_first = NAIVE_NONE,
                                     .leg_last = NAIVE_NONE};
    const char *on = side->setup->entry.on;
    if (strcmp(on, "next_open") == 0) {
        return next_open(side, &question);
    }
    if (strcmp(on, "break_of_high") == 0) {
        return break_of_high(side, &question);
    }
    if (strcmp(on, "limit_below_close") == 0) {
        return limit_below_close(side, &question);
    }
    if (strcmp(on, "retest") == 0) {
        return retest(side, &question);
    }
    return wait_for_close(side, &question);
}
