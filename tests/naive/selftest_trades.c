/* Trades worked by hand. */
#include "selftest.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct naive_row only_row(const struct store *store, const char *setup)
{
    struct naive_row *rows = NULL;
    size_t count = 0;
    char message[200] = "";
    struct naive_row row = {.reason = "none"};
    if (naive_trades(&store->market, setup, &rows, &count, message, sizeof message) != 0) {
        printf("        %s\n", message);
    } else if (count > 0) {
        row = rows[0];
    }
    check(count == 1, "one row");
    free(rows);
    return row;
}

/* Bar 0 is an inverted hammer: high 105, low 100; no other bar is one. */
#define HAMMER                                                                                     \
    {                                                                                              \
        100.5, 105, 100, 101                                                                       \
    }
#define CANDLE "candle: {shape: inverted-hammer, limits: {range_min_atr: 0}}\n"
#define BREAK "entry: {on: break_of_high, valid: 3, buffer_ticks: 1}\n"
#define STOP "stop: {at: candle_low, buffer_ticks: 1}\n"

static void check_row(const struct naive_row *row, const char *reason, double entry, double stop,
                      double exit, double r, int same_bar, const char *what)
{
    check(strcmp(row->reason, reason) == 0, what);
    if (strcmp(row->reason, reason) != 0) {
        printf("        %s, expected %s\n", row->reason, reason);
        return;
    }
    check(row->same_bar == same_bar, what);
    if (!isnan(entry)) {
        check_near(row->entry, entry, 1e-12, what);
        check_near(row->stop, stop, 1e-12, what);
    }
    if (!isnan(exit)) {
        check_near(row->exit, exit, 1e-12, what);
        check_near(row->r, r, 1e-9, what);
    }
}

/* Order 105.01, stop 99.99, risk 5.02; a target of 2 R is at 115.05. */
void test_buy_stop(void)
{
    static const char setup[] = "setup: a\nside: long\n" CANDLE BREAK STOP
                                "exit: {targets: [{r: 2, share: 1}], time_stop: 2}\n";
    struct store store;
    const double target[][4] = {HAMMER,
                                {102, 104, 101, 104},
                                {104, 106, 103, 106},
                                {106, 116, 105, 110}};
    store_rows(&store, target, 4);
    struct naive_row row = only_row(&store, setup);
    check_row(&row, "target", 105.01, 99.99, 115.05, 2.0, 0, "target");
    check(row.entry_bar == 2 && row.exit_bar == 3 && row.bars_held == 1, "bars");
    check_near(row.mae_r, (103 - 105.01) / 5.02, 1e-9, "MAE: the entry bar whole");
    check_near(row.mfe_r, 2.0, 1e-9, "MFE");
    const double gap[][4] = {HAMMER, {106, 107, 105, 106}, {98, 99, 97, 98}};
    store_rows(&store, gap, 3);
    row = only_row(&store, setup);
    check_row(&row, "stop", 106, 99.99, 98, -8.0 / 6.01, 0, "gaps at both ends");
    const double cancelled[][4] = {HAMMER, {101, 102, 99, 101}, {101, 106, 101, 105}};
    store_rows(&store, cancelled, 3);
    row = only_row(&store, setup);
    check_row(&row, "unfilled", NAN, NAN, NAN, NAN, 0, "the stop was reached first");
    const double time[][4] = {HAMMER,
                              {102, 106, 101, 105},
                              {105, 106, 104, 105},
                              {105, 107, 104, 106}};
    store_rows(&store, time, 4);
    row = only_row(&store, setup);
    check_row(&row, "time", 105.01, 99.99, 106, 0.99 / 5.02, 0, "the second close after");
    store.market.bars.count = 3;
    row = only_row(&store, setup);
    check_row(&row, "open", 105.01, 99.99, NAN, NAN, 0, "open");
    check(isnan(row.r) && isnan(row.exit) && row.bars_held == 1, "open");
    store.market.ended = true;
    row = only_row(&store, setup);
    check_row(&row, "ended", 105.01, 99.99, 105, -0.01 / 5.02, 0, "ended");
}

/* One bar that fills inside, and reaches stop and target. */
void test_same_bar(void)
{
    static const char *const words[3] = {"nearest", "worst", "best"};
    const double up_first[][4] = {HAMMER, {104, 116, 88, 102}, {102, 103, 101, 102}};
    const double down_first[][4] = {HAMMER, {102, 122, 98, 102}, {102, 103, 101, 102}};
    const char *up_reasons[3] = {"target", "stop", "target"};
    const char *down_reasons[3] = {"unfilled", "stop", "target"};
    for (int i = 0; i < 3; i++) {
        char setup[600];
        struct store store;
        (void)snprintf(setup, sizeof setup,
                       "side: long\n" CANDLE BREAK STOP
                       "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: %s\n",
                       words[i]);
        store_rows(&store, up_first, 3);
        struct naive_row row = only_row(&store, setup);
        bool target = strcmp(up_reasons[i], "target") == 0;
        check_row(&row, up_reasons[i], 105.01, 99.99, target ? 115.05 : 99.99, target ? 2 : -1, 1,
                  words[i]);
        store_rows(&store, down_first, 3);
        row = only_row(&store, setup);
        target = strcmp(down_reasons[i], "target") == 0;
        double exit = i == 0 ? NAN : target ? 115.05 : 99.99;
        check_row(&row, down_reasons[i], i == 0 ? NAN : 105.01, 99.99, exit, target ? 2 : -1, 1,
                  words[i]);
    }
}

/* Inside fill, stop in the same bar, no target: best lives on, the others do not. */
void test_best_lives_on(void)
{
    struct store store;
    const double rows[][4] = {HAMMER, {104, 106, 98, 102}, {102, 116, 101, 110}};
    store_rows(&store, rows, 3);
    struct naive_row row = only_row(&store,
                                    "side: long\n" CANDLE BREAK STOP
                                    "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: best\n");
    check_row(&row, "target", 105.01, 99.99, 115.05, 2, 1, "best lives on");
    row = only_row(&store, "side: long\n" CANDLE BREAK STOP
                           "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: nearest\n");
    check_row(&row, "stop", 105.01, 99.99, 99.99, -1, 1,
              "the high is nearer: filled, then stopped");
}

void test_finer(void)
{
    struct store day;
    struct store hours;
    const double rows[][4] = {HAMMER, {104, 116, 98, 102}, {102, 103, 101, 102}};
    const double walk[][4] = {{104, 106, 103, 106}, {106, 116, 105, 110}, {110, 110, 98, 102}};
    static const char setup[] = "side: long\n" CANDLE BREAK STOP
                                "exit: {targets: [{r: 2, share: 1}]}\nsame_bar: finer\n";
    store_rows(&day, rows, 3);
    store_begin(&hours, "8h");
    for (size_t i = 0; i < 3; i++) {
        store_bar(&hours, day_number(1) + (int64_t)i * 8 * 3600, walk[i][0], walk[i][1], walk[i][2],
                  walk[i][3]);
    }
    struct naive_row row = only_row(&day, setup);
    check_row(&row, "stop", 105.01, 99.99, 99.99, -1, 1, "no finer bars: as worst");
    day.market.finer = &hours.market.bars;
    row = only_row(&day, setup);
    check_row(&row, "target", 105.01, 99.99, 115.05, 2, 1, "finer: the target came first");
    hours.market.bars.count = 2;
    row = only_row(&day, setup);
    check_row(&row, "stop", 105.01, 99.99, 99.99, -1, 1, "a finer bar missing: as worst");
}

/* Entry 105.01, risk 5.02: 1 R at 110.03, 2 R at 115.05. */
void test_exits(void)
{
    struct store store;
    const double rows[][4] = {HAMMER,
                              {104, 106, 103, 106},
                              {106, 111, 105, 110},
                              {110, 112, 104, 105}};
    store_rows(&store, rows, 4);
    struct naive_row row = only_row(
        &store, "side: long\n" CANDLE BREAK STOP
                "exit: {targets: [{r: 2, share: 0.5}, {r: 1, share: 0.5}], break_even_at_r: 1}\n");
    /* half at 110.03, the rest at 105.01 */
    check_row(&row, "break_even", 105.01, 99.99, (110.03 + 105.01) / 2, 0.5, 0,
              "half, then break-even");
    check_near(row.target, 110.03, 1e-12, "the first target");
    check_near(row.mae_r, (103 - 105.01) / 5.02, 1e-9, "MAE");
    check_near(row.mfe_r, (111 - 105.01) / 5.02, 1e-9, "MFE: on the exit bar only its open");
    row = only_row(&store, "side: long\n" CANDLE BREAK STOP
                           "exit: {targets: [{r: 1}]}\ncosts: {spread: 0.02, slippage: 0.01, "
                           "commission_per_unit: 0.001, commission_percent: 0.1, "
                           "financing_percent_year: 3.65}\n");
    double costs = 0.02 + 0.01 + 0.002 + 0.001 * (105.01 + 110.03) + 0.0001 * 105.01;
    check_row(&row, "target", 105.01, 99.99, 110.03, (5.02 - costs) / 5.02, 0, "all costs");
    row = only_row(&store,
                   "side: long\n" CANDLE BREAK STOP "exit: {when: [{weekday: {of: [tue]}}]}\n");
    check_row(&row, "condition", 105.01, 99.99, 106, 0.99 / 5.02, 0, "when: out at the next open");
}

void test_short(void)
{
    struct store store;
    const double rows[][4] = {{-100.5, -100, -105, -101},
                              {-104, -103, -106, -106},
                              {-106, -105, -116, -110}};
    store_rows(&store, rows, 3);
    struct naive_row row = only_row(&store,
                                    "side: short\n"
                                    "candle: {shape: hanging-man, limits: {range_min_atr: 0}}\n"
                                    "entry: {on: break_of_low, buffer_ticks: 1}\n"
                                    "stop: {at: candle_high, buffer_ticks: 1}\n"
                                    "exit: {targets: [{r: 2, share: 1}]}\n");
    check_row(&row, "target", -105.01, -99.99, -115.05, 2, 0, "a short trade at negative prices");
}

/* Close above 105 at bar 2, filled at its close or at the next open; stop 100. */
void test_waiting_for_a_close(void)
{
    struct store store;
    const double rows[][4] = {HAMMER,
                              {102, 105.5, 101, 104},
                              {104, 107, 103, 106},
                              {107, 112, 100.5, 110},
                              {110, 111, 109, 110}};
    store_rows(&store, rows, 5);
    struct naive_row row = only_row(&store, "side: long\n" CANDLE
                                            "entry: {on: close_above_high, valid: 2}\nstop: {at: "
                                            "candle_low}\nexit: {time_stop: 1}\n");
    check_row(&row, "time", 107, 100, 110, 3.0 / 7.0, 0, "the open after the firing close");
    check(row.entry_bar == 3 && row.exit_bar == 4, "bars 3 and 4");
    row = only_row(&store, "side: long\n" CANDLE
                           "entry: {on: close_above_high, valid: 2, at: close}\nstop: {at: "
                           "candle_low}\nexit: {time_stop: 1}\n");
    check_row(&row, "time", 106, 100, 110, 4.0 / 6.0, 0, "the firing close");
    check(row.entry_bar == 2 && row.exit_bar == 3, "bars 2 and 3");
    check_near(row.mae_r, (100.5 - 106) / 6.0, 1e-9, "the firing bar's range does not count");
    row = only_row(&store, "side: long\n" CANDLE
                           "entry: {on: close_above_high, valid: 1}\nstop: {at: candle_low}\n"
                           "exit: {time_stop: 1}\n");
    check_row(&row, "unfilled", NAN, NAN, NAN, NAN, 0, "it fires on the second bar only");
    row = only_row(&store,
                   "side: long\n" CANDLE "confirm: {wait: 2, of: [{weekday: {of: [wed]}}]}\n"
                   "entry: {on: close_above_high}\nstop: {at: candle_low}\n"
                   "exit: {time_stop: 1}\n");
    check_row(&row, "late", NAN, NAN, NAN, NAN, 0, "the signal's close is beyond the level");
    check(row.signal == 2 && row.candle == 0, "signal on the Wednesday");
    const double broken[][4] = {HAMMER, {102, 103, 99.99, 102}, {104, 107, 103, 106}};
    store_rows(&store, broken, 3);
    row = only_row(&store,
                   "side: long\n" CANDLE "confirm: {wait: 2, of: [{weekday: {of: [wed]}}]}\n"
                   "entry: {on: next_open}\nstop: {at: candle_low}\n"
                   "exit: {time_stop: 1}\n");
    check_row(&row, "broken", NAN, NAN, NAN, NAN, 0, "a low below the candle's before the signal");
    check(row.signal == 1, "broken on bar 1");
}

/* The fall of the 3 bars before the hammer: 120 down to 100; level 0.5 is 110.  Bar 5 closes above
 * it, bar 6 stays away, bar 7 comes down to it and closes above; stop at the low of bars 6..7. */
void test_retest(void)
{
    struct store store;
    store_begin(&store, "1d");
    for (size_t i = 0; i < 14; i++) {
        store_bar(&store, day_number(i), 117, 118, 116, 117);
    }
    const double rows[][4] = {{117, 120, 116, 117},   {115, 116, 109, 110},
                              {108, 109, 104, 104.5}, HAMMER,
                              {102, 106, 101, 105},   {106, 114, 105, 113},
                              {114, 118, 113, 116},   {115, 116, 110, 112},
                              {112, 113, 111, 112},   {113, 122, 112, 121}};
    for (size_t i = 0; i < 10; i++) {
        store_bar(&store, day_number(14 + i), rows[i][0], rows[i][1], rows[i][2], rows[i][3]);
    }
    struct naive_row row = only_row(&store,
                                    "side: long\n" CANDLE
                                    "entry: {on: retest, of: retracement, level: 0.5, bars: 3, "
                                    "tolerance_atr: 0}\nstop: {at: leg_low, buffer_ticks: 10}\n"
                                    "exit: {targets: [{level: 1}]}\n");
    /* bar 17 is the candle, 19 breaks, 21 retests, filled at the open of 22: 112; stop 109.90 */
    check_row(&row, "target", 112, 109.9, 120, 8.0 / 2.1, 0, "retest");
    check(row.candle == 17 && row.entry_bar == 22 && row.exit_bar == 23, "retest bars");
}

/* Trail by the highest close: entry 105.01 at bar 15, ATR about 5; and signals passed over. */
void test_trail_and_overlap(void)
{
    struct store store;
    store_begin(&store, "1d");
    for (size_t i = 0; i < 14; i++) {
        store_bar(&store, day_number(i), 101, 103.5, 98.5, 101);
    }
    const double rows[][4] = {HAMMER,
                              {103, 108, 103, 107},
                              {107, 112, 107, 111},
                              {108.5, 113.5, 108.5, 109},
                              {108, 109, 103, 104}};
    for (size_t i = 0; i < 5; i++) {
        store_bar(&store, day_number(14 + i), rows[i][0], rows[i][1], rows[i][2], rows[i][3]);
    }
    const double n = 14;
    double atr = naive_measure(&store.market.bars, "atr", &n, 1, 17);
    double expected = floor((111.0 - atr) * 100.0) / 100.0; /* after bar 17: highest close 111 */
    struct naive_row *out = NULL;
    size_t count = 0;
    char message[200] = "";
    check(naive_trades(&store.market,
                       "side: long\n" CANDLE BREAK STOP "exit: {trail: {atr: {times: 1}}}\n", &out,
                       &count, message, 200) == 0,
          message);
    check(count == 2, "the hammer, and bar 17 that is one too");
    if (count == 2) {
        check_row(&out[0], "trail", 105.01, 99.99, expected, (expected - 105.01) / 5.02, 0,
                  "trail");
        check_row(&out[1], "passed", NAN, NAN, NAN, NAN, 0, "busy until bar 18");
    }
    free(out);
}
