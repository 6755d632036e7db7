/* Bid prices and cash flows (docs/method.md 8), worked out by hand. */
#include "market/adjust.h"
#include "trade/trade.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

/* A few operations on numbers near 100: their rounding, and room for more.
 * (cmocka compares floats, which would be too coarse.) */
static void assert_near(double found, double expected)
{
    assert_true(fabs(found - expected) <= 1e-12);
}

/* Fifteen quiet bars, so that ATR(14) is there, and then the candle of bar 15:
 * 99 to 101. What follows is each test's own. */
static void quiet_bars(struct bars *bars)
{
    struct error error;
    bars_init(bars);
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    for (int i = 0; i < 16; i++) {
        struct bar bar = {i * 86400, 100, 101, 99, 100, NAN};
        assert_int_equal(bars_append(bars, &bar, &error), 0);
    }
}

static void add_bar(struct bars *bars, double open, double high, double low, double close)
{
    struct error error;
    struct bar bar = {(int64_t)bars->count * 86400, open, high, low, close, NAN};
    assert_int_equal(bars_append(bars, &bar, &error), 0);
}

/* What becomes of the candle of bar 15 under this setup. */
static struct trade trade_of(struct bars *bars, const char *text, const struct trade_terms *terms)
{
    struct setup setup;
    struct error error;
    struct setup_view view;
    assert_int_equal(setup_read(&setup, "test", text, strlen(text), &error), 0);
    struct sheet *sheet = sheet_new(bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), 0);
    struct candle candle;
    assert_true(candle_at(&view, 15, &candle));
    struct signal signal = signal_of(&view, &candle);
    struct trade trade = trade_of_signal(&view, terms, &signal, NULL);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(bars);
    return trade;
}

static const char long_setup[] = "setup: long-one\nside: long\ncandle: {shape: any}\n"
                                 "entry: {on: break_of_high}\nstop: {at: candle_low}\n"
                                 "exit: {time_stop: 2}\ncosts: {spread: 0.5}\n";
static const char short_setup[] = "setup: short-one\nside: short\ncandle: {shape: any}\n"
                                  "entry: {on: break_of_low}\nstop: {at: candle_high}\n"
                                  "exit: {time_stop: 2}\ncosts: {spread: 0.5}\n";

/* The order is at 101. A bid of 100.5 is an ask of 101: filled there, 100.5 on
 * the bid bars, and the buy pays the whole spread of 0.5. Risk 100.5 - 99. */
static void test_bid_long(void **state)
{
    (void)state;
    struct trade_terms terms = {.tick = {0.01, 1, 2}, .point_value = 1, .basis = PRICES_BID};
    struct bars bars;
    quiet_bars(&bars);
    add_bar(&bars, 100, 100.5, 100, 100.2);
    add_bar(&bars, 100.2, 100.4, 100, 100.3);
    add_bar(&bars, 100.3, 102.5, 100, 102);
    struct trade trade = trade_of(&bars, long_setup, &terms);
    assert_string_equal(trade_reason_name(trade.reason), "time");
    assert_near(trade.entry, 100.5);
    assert_near(trade.r, (102 - 100.5 - 0.5) / 1.5);
}

/* The same bars as trade prices: 100.5 does not reach 101, and valid is 1. */
static void test_trade_prices_long(void **state)
{
    (void)state;
    struct trade_terms terms = {.tick = {0.01, 1, 2}, .point_value = 1};
    struct bars bars;
    quiet_bars(&bars);
    add_bar(&bars, 100, 100.5, 100, 100.2);
    add_bar(&bars, 100.2, 100.4, 100, 100.3);
    assert_string_equal(trade_reason_name(trade_of(&bars, long_setup, &terms).reason), "unfilled");
}

/* A short sells at the bid, 99 as the bars have it, and its buy at the end pays
 * the whole spread. Risk 101 - 99. */
static void test_bid_short(void **state)
{
    (void)state;
    struct trade_terms terms = {.tick = {0.01, 1, 2}, .point_value = 1, .basis = PRICES_BID};
    struct bars bars;
    quiet_bars(&bars);
    add_bar(&bars, 100, 100.5, 99, 99.2);
    add_bar(&bars, 99.2, 99.4, 98.5, 98.8);
    add_bar(&bars, 98.8, 99, 97.5, 98);
    struct trade trade = trade_of(&bars, short_setup, &terms);
    assert_string_equal(trade_reason_name(trade.reason), "time");
    assert_near(trade.entry, 99);
    assert_near(trade.r, (99 - 98 - 0.5) / 2);
}

/* Entered on bar 16, left on bar 18. A dividend on the entry's date belongs to
 * the seller, those on the two dates after it to the holder, the next is too
 * late; a short pays what a long gets. */
static void test_cash_flows(void **state)
{
    (void)state;
    static const struct cash_flow flows[] = {{16 * 86400, 8},
                                             {17 * 86400, 0.25},
                                             {18 * 86400, 0.5},
                                             {19 * 86400, 4}};
    struct trade_terms terms = {.tick = {0.01, 1, 2},
                                .point_value = 1,
                                .flows = flows,
                                .flow_count = 4};
    struct bars bars;
    quiet_bars(&bars);
    add_bar(&bars, 100, 101.5, 100, 101);
    add_bar(&bars, 101, 101.4, 100, 100.3);
    add_bar(&bars, 100.3, 102.5, 100, 102);
    struct trade trade = trade_of(&bars, long_setup, &terms);
    assert_near(trade.r, (102 - 101 - 0.5 + 0.75) / 2);
    quiet_bars(&bars);
    add_bar(&bars, 100, 100.5, 98.5, 99);
    add_bar(&bars, 99, 99.4, 98.5, 98.8);
    add_bar(&bars, 98.8, 99, 97.5, 98);
    trade = trade_of(&bars, short_setup, &terms);
    assert_near(trade.r, (99 - 98 - 0.5 - 0.75) / 2);
}

/* Bars before bar 17 are those of a unit that was then split in two: the candle
 * of bar 15 traded between 199 and 201. */
static void split_bars(struct bars *bars)
{
    struct error error;
    const struct action split = {17 * 86400, ACTION_SPLIT, 2};
    bars_init(bars);
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    for (int i = 0; i < 16; i++)
        add_bar(bars, 200, 201, 199, 200);
    add_bar(bars, 200, 201.5, 200, 201);
    add_bar(bars, 100.5, 101.5, 100.4, 101);
    add_bar(bars, 101, 102.5, 100.2, 102);
    assert_int_equal(bars_adjust(bars, &split, 1, ADJUST_SPLITS, 18 * 86400, &error), 0);
}

/* The tick of 1 is that of 199 and 201: entry and stop are on it, 100.5 and 99.5
 * as seen from the end. Costs of the entry are those of 201: half of 0.5 and 0.1
 * per cent, halved; of the exit those of 102. */
static void test_costs_as_traded(void **state)
{
    (void)state;
    static const char text[] = "setup: long-one\nside: long\ncandle: {shape: any}\n"
                               "entry: {on: break_of_high}\nstop: {at: candle_low}\n"
                               "exit: {time_stop: 2}\n"
                               "costs: {spread: 0.5, commission_percent: 0.1}\n";
    struct trade_terms terms = {.tick = {1, 1, 0}, .point_value = 1};
    struct bars bars;
    split_bars(&bars);
    struct trade trade = trade_of(&bars, text, &terms);
    assert_string_equal(trade_reason_name(trade.reason), "time");
    assert_near(trade.entry, 100.5);
    assert_near(trade.stop, 99.5);
    assert_near(trade.r, 102 - 100.5 - (0.25 + 0.201) / 2 - (0.25 + 0.102));
}

/* Bar 17 reaches 101, half of the risk away: the stop goes to the entry, 100.5,
 * on the tick of the day that is 100. Bar 18 comes to 100.2 and lives; a stop at
 * 100.5 would have been reached. With ticks of a half from bar 17 on it is. */
static void test_break_even_after_a_split(void **state)
{
    (void)state;
    static const char text[] = "setup: long-one\nside: long\ncandle: {shape: any}\n"
                               "entry: {on: break_of_high}\nstop: {at: candle_low}\n"
                               "exit: {time_stop: 2, break_even_at_r: 0.5}\n";
    static const struct dated_tick ticks[] = {{INT64_MIN, {1, 1, 0}}, {17 * 86400, {0.5, 5, 1}}};
    struct trade_terms terms = {.tick = {1, 1, 0}, .point_value = 1};
    struct bars bars;
    split_bars(&bars);
    assert_string_equal(trade_reason_name(trade_of(&bars, text, &terms).reason), "time");
    terms.ticks = ticks;
    terms.tick_count = 2;
    split_bars(&bars);
    struct trade trade = trade_of(&bars, text, &terms);
    assert_string_equal(trade_reason_name(trade.reason), "break_even");
    assert_near(trade.exit, 100.5);
}

/* Hours of a day that begins at 17:00 in New York: from 16:00 to 17:00 local is
 * a night though the date is the same, from 23:00 to 01:00 is none. 2024-01-10
 * was a Wednesday, and New York five hours behind UTC (the IANA zone database).
 * One night at 36.5 per cent of 100 is 0.1; the dividend of the eleventh goes
 * to who held before that day began. */
static double cost_of_two_hours(int64_t entry_hour, bool dividend)
{
    static const char text[] = "setup: nights\nside: long\ncandle: {shape: any}\n"
                               "entry: {on: next_open}\nstop: {at: candle_low}\n"
                               "exit: {time_stop: 1}\ncosts: {financing_percent_year: 36.5}\n";
    enum { JANUARY_10 = 1704844800 };
    struct cash_flow flow = {JANUARY_10 + 86400, 0.5};
    struct trade_terms terms = {.tick = {0.01, 1, 2},
                                .point_value = 1,
                                .flows = &flow,
                                .flow_count = dividend};
    struct bars bars;
    struct setup setup;
    struct setup_view view;
    struct error error;
    struct candle candle;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_HOUR, 1};
    for (int i = 0; i < 18; i++) {
        double low = i < 16 ? 99 : 99.5;
        struct bar bar = {JANUARY_10 + (entry_hour - 16 + i) * 3600, 100, 101, low, 100, NAN};
        assert_int_equal(bars_append(&bars, &bar, &error), 0);
    }
    assert_int_equal(setup_read(&setup, "test", text, strlen(text), &error), 0);
    struct sheet *sheet = sheet_new(&bars, "America/New_York");
    assert_non_null(sheet);
    sheet_set_session(sheet, -7 * 60, 0);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), 0);
    assert_true(candle_at(&view, 15, &candle));
    struct signal signal = signal_of(&view, &candle);
    struct trade trade = trade_of_signal(&view, &terms, &signal, NULL);
    assert_int_equal(trade.entry_bar, 16);
    assert_int_equal(trade.exit_bar, 17);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
    return trade.r_before_costs - trade.r;
}

static void test_nights_of_the_session(void **state)
{
    enum { BEHIND = 5 };
    (void)state;
    assert_near(cost_of_two_hours(16 + BEHIND, false), 0.1);
    assert_near(cost_of_two_hours(15 + BEHIND, false), 0);
    assert_near(cost_of_two_hours(17 + BEHIND, false), 0);
    assert_near(cost_of_two_hours(23 + BEHIND, false), 0);
    assert_near(cost_of_two_hours(16 + BEHIND, true), 0.1 - 0.5);
    assert_near(cost_of_two_hours(23 + BEHIND, true), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bid_long),
        cmocka_unit_test(test_trade_prices_long),
        cmocka_unit_test(test_bid_short),
        cmocka_unit_test(test_cash_flows),
        cmocka_unit_test(test_nights_of_the_session),
        cmocka_unit_test(test_costs_as_traded),
        cmocka_unit_test(test_break_even_after_a_split),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
