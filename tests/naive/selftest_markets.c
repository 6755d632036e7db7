/* Random markets: mirrored ones, and every entry with every stop and every exit. */
#include "selftest.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct both {
    const char *long_text;
    const char *short_text;
};

static const struct both setups[] = {
    {"side: long\ncandle: {any_of: [{shape: inverted-hammer, limits: {body_max: 0.4}}, hammer, "
     "bullish-engulfing, gravestone]}\nplace: [{downtrend: {bars: 5, fall_atr: 0.2}}]\n"
     "confirm: {at_least: 1, wait: 2, of: [{rsi_below: {length: 5, level: 60, within: 2}}, "
     "{macd_turns_up: {fast: 3, slow: 6, signal: 3}}]}\n"
     "entry: {on: break_of_high, valid: 3, buffer_ticks: 1, largest_gap_atr: 0.5}\n"
     "stop: {at: swing_low, swing: 2, buffer_atr: 0.1}\n"
     "exit: {targets: [{r: 1, share: 0.5}, {level: 0.618, share: 0.3}], time_stop: 9, "
     "trail: {swing_low: {swing: 1}}, break_even_at_r: 0.8}\n",
     "side: short\ncandle: {any_of: [{shape: hanging-man, limits: {body_max: 0.4}}, shooting-star, "
     "bearish-engulfing, dragonfly]}\nplace: [{uptrend: {bars: 5, rise_atr: 0.2}}]\n"
     "confirm: {at_least: 1, wait: 2, of: [{rsi_above: {length: 5, level: 40, within: 2}}, "
     "{macd_turns_down: {fast: 3, slow: 6, signal: 3}}]}\n"
     "entry: {on: break_of_low, valid: 3, buffer_ticks: 1, largest_gap_atr: 0.5}\n"
     "stop: {at: swing_high, swing: 2, buffer_atr: 0.1}\n"
     "exit: {targets: [{r: 1, share: 0.5}, {level: 0.618, share: 0.3}], time_stop: 9, "
     "trail: {swing_high: {swing: 1}}, break_even_at_r: 0.8}\n"},
    {"side: long\ncandle: {shape: any}\nplace: [{lowest_low: {bars: 5}}, {any: [{fall: {bars: 8, atr: "
     "1}}, {lower_swings: {swing: 1, count: 2}}]}]\nentry: {on: close_above_high, valid: 4, at: "
     "close, least_room_r: 0.3}\nstop: {at: lower_of, of: [{at: candle_low}, {at: atr, times: 1}], "
     "buffer_ticks: 2}\nexit: {trail: {atr: {times: 2}}, when: [{rsi_above: {length: 5, level: "
     "80}}]}\nsame_bar: best\noverlap: all\n",
     "side: short\ncandle: {shape: any}\nplace: [{highest_high: {bars: 5}}, {any: [{rise: {bars: 8, "
     "atr: 1}}, {higher_swings: {swing: 1, count: 2}}]}]\nentry: {on: close_below_low, valid: 4, at: "
     "close, least_room_r: 0.3}\nstop: {at: higher_of, of: [{at: candle_high}, {at: atr, times: 1}], "
     "buffer_ticks: 2}\nexit: {trail: {atr: {times: 2}}, when: [{rsi_below: {length: 5, level: "
     "20}}]}\nsame_bar: best\noverlap: all\n"},
    {"side: long\ncandle: {shape: doji, limits: {body_max: 0.2}}\nplace: [{at_support: {bars: 60, "
     "swing: 2, width_atr: 0.5, touches: 2}}]\nentry: {on: retest, of: retracement, level: 0.382, "
     "bars: 20}\nstop: {at: leg_low, buffer_ticks: 1}\nexit: {targets: [{extension: 1.618}], "
     "time_stop: 30}\nsame_bar: worst\n",
     "side: short\ncandle: {shape: doji, limits: {body_max: 0.2}}\nplace: [{at_resistance: {bars: 60, "
     "swing: 2, width_atr: 0.5, touches: 2}}]\nentry: {on: retest, of: retracement, level: 0.382, "
     "bars: 20}\nstop: {at: leg_high, buffer_ticks: 1}\nexit: {targets: [{extension: 1.618}], "
     "time_stop: 30}\nsame_bar: worst\n"},
    {"side: long\ncandle: {shape: inside-bar}\nplace: [{falling_trend_line: {bars: 40, swing: 1}}]\n"
     "entry: {on: trend_line_break, bars: 40, swing: 1, valid: 5}\nstop: {at: lowest_low, bars: 6}\n"
     "exit: {targets: [{r: 2}]}\n",
     "side: short\ncandle: {shape: inside-bar}\nplace: [{rising_trend_line: {bars: 40, swing: 1}}]\n"
     "entry: {on: trend_line_break, bars: 40, swing: 1, valid: 5}\nstop: {at: highest_high, bars: "
     "6}\nexit: {targets: [{r: 2}]}\n"},
    {"side: long\ncandle: {shape: tweezer-bottom, limits: {apart_max_atr: 0.3}}\nconfirm: {wait: 5, "
     "of: [{bullish_divergence: {bars: 40, swing: 2, length: 7}}]}\nentry: {on: swing_high_break, "
     "swing: 1, valid: 6}\nstop: {at: atr, times: 2}\nexit: {targets: [{r: 1.5}], time_stop: 20}\n"
     "same_bar: finer\n",
     "side: short\ncandle: {shape: tweezer-top, limits: {apart_max_atr: 0.3}}\nconfirm: {wait: 5, of: "
     "[{bearish_divergence: {bars: 40, swing: 2, length: 7}}]}\nentry: {on: swing_low_break, swing: "
     "1, valid: 6}\nstop: {at: atr, times: 2}\nexit: {targets: [{r: 1.5}], time_stop: 20}\n"
     "same_bar: finer\n"},
    {"side: long\ncandle: {shape: spinning-top}\nplace: [{not: {close_above_average: {bars: 3, interval: "
     "1w}}}, {stochastic_below: {length: 5, smooth: 2, average: 2, level: 60}}]\nentry: {on: "
     "bullish_candle, valid: 3}\nstop: {at: candle_low}\nexit: {time_stop: 5}\n",
     "side: short\ncandle: {shape: spinning-top}\nplace: [{not: {close_below_average: {bars: 3, "
     "interval: 1w}}}, {stochastic_above: {length: 5, smooth: 2, average: 2, level: 40}}]\nentry: "
     "{on: bearish_candle, valid: 3}\nstop: {at: candle_high}\nexit: {time_stop: 5}\n"},
    {"side: long\ncandle: {shape: hammer}\nentry: {on: retest, of: swing_high, swing: 2}\nstop: {at: "
     "candle_low}\nexit: {targets: [{r: 1}]}\n",
     "side: short\ncandle: {shape: shooting-star}\nentry: {on: retest, of: swing_low, swing: 2}\n"
     "stop: {at: candle_high}\nexit: {targets: [{r: 1}]}\n"},
    {"side: long\ncandle: {shape: bullish-harami}\ninterval: 1w\nentry: {on: next_open}\nstop: {at: "
     "candle_low}\nexit: {targets: [{r: 1}]}\n",
     "side: short\ncandle: {shape: bearish-harami}\ninterval: 1w\nentry: {on: next_open}\nstop: {at: "
     "candle_high}\nexit: {targets: [{r: 1}]}\n"},
};

static bool same_number(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 1e-12;
}

static bool mirrored_row(const struct naive_row *a, const struct naive_row *b)
{
    return a->candle == b->candle && a->signal == b->signal && strcmp(a->reason, b->reason) == 0 &&
           a->entry_bar == b->entry_bar && a->exit_bar == b->exit_bar &&
           a->same_bar == b->same_bar && a->bars_held == b->bars_held &&
           same_number(a->entry, -b->entry) && same_number(a->stop, -b->stop) &&
           same_number(a->target, -b->target) && same_number(a->exit, -b->exit) &&
           same_number(a->r, b->r) && same_number(a->mae_r, b->mae_r) &&
           same_number(a->mfe_r, b->mfe_r);
}

struct tally {
    size_t rows, trades;
};

static void check_mirror(const struct store *seen, const struct store *negated,
                         const struct both *both, struct tally *tally)
{
    struct naive_row *rows[2] = {NULL, NULL};
    size_t count[2] = {0, 0};
    char message[200] = "";
    int failed = naive_trades(&seen->market, both->long_text, &rows[0], &count[0], message,
                              sizeof message);
    failed += naive_trades(&negated->market, both->short_text, &rows[1], &count[1], message,
                           sizeof message);
    check(failed == 0, message);
    check(count[0] == count[1], "as many rows on the other side");
    bool same = count[0] == count[1];
    for (size_t i = 0; same && i < count[0]; i++) {
        same = mirrored_row(&rows[0][i], &rows[1][i]);
        tally->trades += rows[0][i].entered ? 1 : 0;
        check(!rows[0][i].entered || (rows[0][i].mae_r <= 0.0 && rows[0][i].mfe_r >= 0.0),
              "mae_r <= 0 <= mfe_r");
    }
    tally->rows += count[0];
    check(same, "the other side's rows are the mirror");
    free(rows[0]);
    free(rows[1]);
}

void test_mirror(void)
{
    for (size_t i = 0; i < sizeof setups / sizeof setups[0]; i++) {
        struct tally tally = {0, 0};
        for (int64_t seed = 1; seed <= 4; seed++) {
            static struct store seen;
            static struct store negated;
            static struct store finer;
            static struct store finer_negated;
            store_walk(&finer, seed * 7919, 600, "12h", DAY / 2);
            store_negated(&finer, &finer_negated);
            store_days_of(&finer, &seen);
            store_days_of(&finer_negated, &negated);
            check_mirror(&seen, &negated, &setups[i], &tally);
        }
        printf("setup %zu: %zu rows, %zu trades\n", i + 1, tally.rows, tally.trades);
    }
}

/* A short setup at positive prices, a long one at negative ones: rounding and sums must hold. */
void test_all_shapes_and_conditions(void)
{
    static const char *const conditions[] = {"downtrend",
                                             "uptrend",
                                             "fall",
                                             "rise",
                                             "lowest_low",
                                             "highest_high",
                                             "lower_swings",
                                             "higher_swings",
                                             "falling_trend_line",
                                             "rising_trend_line",
                                             "at_support",
                                             "at_resistance",
                                             "at_own_level",
                                             "rsi_below",
                                             "rsi_above",
                                             "rsi_crosses_above_average",
                                             "rsi_crosses_below_average",
                                             "stochastic_below",
                                             "stochastic_above",
                                             "below_lower_band",
                                             "above_upper_band",
                                             "macd_turns_up",
                                             "macd_turns_down",
                                             "macd_crosses_signal_up",
                                             "macd_crosses_signal_down",
                                             "macd_above_zero",
                                             "macd_below_zero",
                                             "bullish_divergence",
                                             "bearish_divergence",
                                             "adx_below",
                                             "adx_above",
                                             "close_above_average",
                                             "close_below_average",
                                             "average_rising",
                                             "average_falling",
                                             "volume_above_average",
                                             "weekday: {of: [mon]}",
                                             "time_of_day",
                                             "no_event"};
    static struct store store;
    store_walk(&store, 4242, 400, "1d", DAY);
    const struct naive_mark marks[] = {{.price = 100.0}, {.made = day_number(50), .price = 101.0}};
    store.market.marks = marks;
    store.market.mark_count = 2;
    const struct naive_event events[] = {{.time = day_number(3), .kind = "report"},
                                         {.time = day_number(390), .kind = "report"}};
    store.market.events = events;
    store.market.event_count = 2;
    for (size_t i = 0; i < sizeof conditions / sizeof conditions[0]; i++) {
        size_t holding = 0;
        for (size_t t = 0; t < store.market.bars.count; t++) {
            holding += naive_condition(&store.market, conditions[i], t) ? 1 : 0;
        }
        check(holding > 0, conditions[i]);
    }
}

/* --- every entry with every stop and every exit ----------------------------------------------*/

static const char *const entries[] = {
    "{on: next_open}",
    "{on: break_of_high, valid: 3, buffer_atr: 0.1}",
    "{on: break_of_high, valid: 2, late: take}",
    "{on: close_above_high, valid: 4, buffer_ticks: 1}",
    "{on: close_above_high, valid: 4, at: close, late: take}",
    "{on: bullish_candle, valid: 3}",
    "{on: swing_high_break, swing: 1, valid: 6, at: close}",
    "{on: trend_line_break, bars: 40, swing: 1, valid: 6}",
    "{on: retest, of: retracement, level: 0.5, bars: 20, break_within: 8, retest_within: 8}",
    "{on: retest, of: trend_line, bars: 40, swing: 1, at: close}",
    "{on: retest, of: swing_high, swing: 1, tolerance_atr: 0.5}",
};
static const char *const stops[] = {
    "{at: candle_low}",
    "{at: lowest_low, bars: 8, buffer_ticks: 2}",
    "{at: swing_low, swing: 1, buffer_atr: 0.2}",
    "{at: atr, times: 0.7}",
    "{at: lower_of, of: [{at: candle_low}, {at: atr, times: 1}], buffer_ticks: 1}",
    "{at: leg_low}",
};
static const char *const exits[] = {
    "{targets: [{r: 1, share: 1}], time_stop: 4}",
    ("{targets: [{r: 0.5, share: 0.3}, {level: 1, share: 0.3}, {extension: 1.618, share: 0.2}], "
     "break_even_at_r: 0.5}"),
    "{trail: {swing_low: {swing: 1}}, time_stop: 25}",
    "{trail: {atr: {times: 1}}, targets: [{r: 3}], when: [{rsi_above: {length: 5, level: 75}}]}",
};
static const char *const same_bars[] = {"nearest", "worst", "best", "finer"};

static void check_any_row(const struct naive_row *row, bool has_shares)
{
    bool is_trade = strstr("stop target time trail break_even condition ended open", row->reason) !=
                    NULL;
    check(row->entered == is_trade, "a trade has an entry");
    if (!row->entered) {
        check(isnan(row->entry) && isnan(row->r), "no trade, no numbers");
        return;
    }
    check(row->entry > row->stop, "the stop lies below the entry");
    check(row->entry_bar > row->signal, "nothing is filled on bar s");
    check(row->mae_r <= 0.0 && row->mfe_r >= 0.0, "excursions");
    check(isnan(row->target) || row->target > row->entry, "the target lies above the entry");
    check(row->exited == (strcmp(row->reason, "open") != 0), "an exit, or open");
    if (row->exited) {
        double r = (row->exit - row->entry) / (row->entry - row->stop);
        check(fabs(row->r - r) < 1e-9, "R from the columns, without costs");
        check(row->exit_bar - row->entry_bar == row->bars_held, "bars");
        check(has_shares || row->mfe_r >= row->r - 1e-9, "no more than the best price");
        check(has_shares || row->mae_r <= row->r + 1e-9, "no less than the worst price");
    }
}

static void check_combination(const struct store *store, size_t entry, size_t stop, size_t exit,
                              size_t same_bar)
{
    char setup[900];
    char message[200] = "";
    struct naive_row *rows = NULL;
    size_t count = 0;
    (void)snprintf(setup, sizeof setup,
                   "side: long\ncandle: {shape: any}\nplace: [{lowest_low: {bars: 3}}]\nentry: "
                   "%s\nstop: %s\nexit: %s\nsame_bar: %s\noverlap: %s\n",
                   entries[entry], stops[stop], exits[exit], same_bars[same_bar],
                   same_bar % 2 == 0 ? "one" : "all");
    check(naive_trades(&store->market, setup, &rows, &count, message, sizeof message) == 0,
          message);
    for (size_t i = 0; i < count; i++) {
        check_any_row(&rows[i], exit == 1);
        check(i == 0 || rows[i - 1].signal < rows[i].signal ||
                  (rows[i - 1].signal == rows[i].signal && rows[i - 1].candle < rows[i].candle),
              "rows in order");
    }
    free(rows);
}

void test_combinations(void)
{
    static struct store store;
    static struct store finer;
    store_walk(&finer, 31337, 440, "12h", DAY / 2);
    store_days_of(&finer, &store);
    for (size_t entry = 0; entry < sizeof entries / sizeof entries[0]; entry++) {
        for (size_t stop = 0; stop < sizeof stops / sizeof stops[0]; stop++) {
            if (strcmp(stops[stop], "{at: leg_low}") == 0 &&
                strstr(entries[entry], "retest") == NULL) {
                continue;
            }
            for (size_t exit = 0; exit < sizeof exits / sizeof exits[0]; exit++) {
                for (size_t same_bar = 0; same_bar < 4; same_bar++) {
                    check_combination(&store, entry, stop, exit, same_bar);
                }
            }
        }
    }
}
