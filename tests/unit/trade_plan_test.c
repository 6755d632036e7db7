/* Orders before anything is filled (docs/method.md 7), worked out by hand. */
#include "trade/plan.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static const struct planned_lines unmoved = {NAN, NAN, NAN};

static void assert_near(double found, double expected)
{
    assert_true(fabs(found - expected) <= 1e-9);
}

/* Fifteen quiet bars with a range of 2 below `high`, the last of them the candle. */
static struct planned_orders plan_on(const char *text, const struct planned_lines *lines,
                                     double high, struct tick tick)
{
    struct trade_terms terms = {.tick = tick, .point_value = 1};
    struct error error;
    struct bars bars;
    struct setup setup;
    struct setup_view view;
    struct planned_orders orders;
    struct candle candle;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_DAY, 1};
    for (int i = 0; i < 16; i++) {
        struct bar bar = {i * 86400, high - 1, high, high - 2, high - 1, NAN};
        assert_int_equal(bars_append(&bars, &bar, &error), 0);
    }
    assert_int_equal(setup_read(&setup, "test", text, strlen(text), &error), 0);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), 0);
    assert_true(candle_at(&view, 15, &candle));
    struct signal signal = {.candle = candle, .at = 15, .state = SIGNAL_GIVEN};
    trade_plan(&view, &terms, &signal, lines, &orders);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
    return orders;
}

static struct planned_orders plan_of(const char *text, const struct planned_lines *lines)
{
    return plan_on(text, lines, 101, (struct tick){0.25, 25, 2});
}

#define LONG_BREAK                                                                                 \
    "setup: one\nside: long\ncandle: {shape: any}\n"                                               \
    "entry: {on: break_of_high, buffer_ticks: 2}\nstop: {at: candle_low, buffer_ticks: 1}\n"       \
    "exit: {targets: [{r: 2}]}\ncosts: {spread: 0.5, slippage: 0.1}\n"

/* Entry 101 + 2 ticks of 0.25, stop 99 - 1; 1 R 2.75, target 101.5 + 5.5. Each
 * side pays half the spread; slippage of 0.1 on every order but the target. */
static void test_break(void **state)
{
    (void)state;
    struct planned_orders orders = plan_of(LONG_BREAK, &unmoved);
    assert_string_equal(orders.note, "");
    assert_near(orders.entry, 101.5);
    assert_near(orders.stop, 98.75);
    assert_near(orders.risk, 2.75);
    assert_near(orders.target, 107);
    assert_near(orders.at_target, 5.5);
    assert_near(orders.costs_stop, 0.25 + 0.1 + 0.25 + 0.1);
    assert_near(orders.costs_target, 0.25 + 0.1 + 0.25);
    assert_near(orders.close, 100);
    assert_near(orders.atr, 2);
    assert_near(orders.tick, 0.25);
}

/* A line moved stands on the nearest tick, and what rests on it follows. */
static void test_moved(void **state)
{
    (void)state;
    struct planned_lines lines = {NAN, 97.6, NAN};
    struct planned_orders orders = plan_of(LONG_BREAK, &lines);
    assert_near(orders.stop, 97.5);
    assert_near(orders.target, 101.5 + 2 * 4);
    lines = (struct planned_lines){NAN, NAN, 104.13};
    orders = plan_of(LONG_BREAK, &lines);
    assert_near(orders.target, 104.25);
    assert_near(orders.at_target, 2.75);
    lines = (struct planned_lines){NAN, 103, NAN};
    orders = plan_of(LONG_BREAK, &lines);
    assert_true(isnan(orders.risk));
    lines = (struct planned_lines){100.5, NAN, NAN};
    orders = plan_of(LONG_BREAK, &lines);
    assert_near(orders.entry, 100.5);
    assert_near(orders.risk, 1.75);
}

static const char above_high[] = "setup: one\nside: long\ncandle: {shape: any}\n"
                                 "entry: {on: close_above_high, buffer_ticks: 0}\n"
                                 "stop: {at: atr, times: 1}\nexit: {targets: [{r: 1}]}\n";

/* A close has to be above 101: the first such price is 101.25. A stop of one ATR
 * of 2 is reckoned from there. */
static void test_close_beyond(void **state)
{
    (void)state;
    struct planned_orders orders = plan_of(above_high, &unmoved);
    assert_string_equal(orders.note, "");
    assert_near(orders.entry, 101.25);
    assert_near(orders.stop, 99.25);
    assert_near(orders.target, 103.25);
}

/* 17.98 and a tick of 0.01 are 17.99 to the last bit, which their sum as doubles is not. */
static void test_close_beyond_is_on_the_tick(void **state)
{
    (void)state;
    volatile double level = 17.98;
    struct planned_orders orders = plan_on(above_high, &unmoved, level, (struct tick){0.01, 1, 2});
    assert_true(level + 0.01 != 17.99);
    assert_true(orders.entry == 17.99);
}

/* The other side is its mirror: 99 - 2 ticks, 101 + 1 tick. */
static void test_short(void **state)
{
    (void)state;
    static const char text[] =
        "setup: one\nside: short\ncandle: {shape: any}\n"
        "entry: {on: break_of_low, buffer_ticks: 2}\nstop: {at: candle_high, buffer_ticks: 1}\n"
        "exit: {targets: [{r: 2}]}\n";
    struct planned_orders orders = plan_of(text, &unmoved);
    assert_near(orders.entry, 98.5);
    assert_near(orders.stop, 101.25);
    assert_near(orders.risk, 2.75);
    assert_near(orders.target, 93);
    assert_near(orders.at_target, 5.5);
    struct planned_lines lines = {NAN, 101.6, NAN};
    assert_near(plan_of(text, &lines).stop, 101.5);
}

/* Where nothing fell there is no level to return to. */
static void test_nothing_to_wait_for(void **state)
{
    (void)state;
    static const char text[] = "setup: one\nside: long\ncandle: {shape: any}\n"
                               "entry: {on: trend_line_break}\nstop: {at: candle_low}\n"
                               "exit: {targets: [{r: 1}]}\n";
    struct planned_orders orders = plan_of(text, &unmoved);
    assert_true(isnan(orders.entry));
    assert_non_null(strstr(orders.note, "nothing to wait for"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_break),
                                       cmocka_unit_test(test_moved),
                                       cmocka_unit_test(test_close_beyond),
                                       cmocka_unit_test(test_close_beyond_is_on_the_tick),
                                       cmocka_unit_test(test_short),
                                       cmocka_unit_test(test_nothing_to_wait_for)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
