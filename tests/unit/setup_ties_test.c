/* Ties of measures: what is equal by arithmetic neither crosses nor lies beyond,
 * though binary fractions leave the last digits open. The expected answers are
 * worked out in decimals from the definitions (Wilder 1978, Lane 1984 and Appel
 * 2005, all from memory). */
#include "base/random.h"
#include "setup/signals.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

#include "sample.h"

struct looked_at {
    struct setup setup;
    struct sheet *sheet;
    struct setup_view view;
};

/* Opens bars to be asked for one condition. */
static void look_at(struct looked_at *looked, const struct bars *bars, const char *condition)
{
    char text[600];
    struct error error;
    snprintf(text, sizeof text,
             "setup: ties\nside: long\ncandle: {shape: any}\nplace: [{%s}]\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n",
             condition);
    setup_from(&looked->setup, text);
    looked->sheet = sheet_new(bars, NULL);
    assert_non_null(looked->sheet);
    assert_int_equal(setup_view_init(&looked->view, &looked->setup, looked->sheet, NULL, &error),
                     ERROR_NONE);
}

static void look_away(struct looked_at *looked)
{
    sheet_free(looked->sheet);
    setup_free(&looked->setup);
}

static enum truth holds_at(const struct looked_at *looked, size_t at)
{
    struct candle candle = candle_of_bar(&looked->view, at);
    return criterion_holds(&looked->view, &looked->setup.place.list[0], &candle, at);
}

static enum truth holds_at_end(const struct bars *bars, const char *condition)
{
    struct looked_at looked;
    look_at(&looked, bars, condition);
    enum truth truth = holds_at(&looked, bars->count - 1);
    look_away(&looked);
    return truth;
}

/* On how many of the bars first..last-1 it holds. */
static size_t times_met(const struct bars *bars, const char *condition, size_t first, size_t last)
{
    struct looked_at looked;
    size_t met = 0;
    look_at(&looked, bars, condition);
    for (size_t at = first; at < last; at++)
        met += holds_at(&looked, at) == TRUTH_YES;
    look_away(&looked);
    return met;
}

/* A series that falls in cents and then rests. */
static void fall_and_rest(struct bars *bars, uint64_t number, size_t falling, size_t resting)
{
    struct random_stream stream;
    double close = 10000;
    random_start(&stream, 411, number);
    bars_init(bars);
    for (size_t i = 0; i < falling + resting; i++) {
        double open = close;
        if (i < falling)
            close += floor(random_unit(&stream) * 100) - 60;
        add_bar(bars, open / 100, fmax(open, close) / 100, fmin(open, close) / 100, close / 100);
    }
}

/* While prices rest, gains and losses shrink in one proportion: RSI stands still,
 * and once its nine values are equal so does its average. MACD and its signal
 * shrink to nothing. Nothing crosses and nothing turns. */
static void test_nothing_crosses_at_rest(void **state)
{
    enum { SERIES = 400, FALLING = 40, RESTING = 500, AT_REST = FALLING + 9, FADED = 420 };
    static const char *const averages[] = {"rsi_crosses_above_average: {length: 14, average: 9}",
                                           "rsi_crosses_below_average: {length: 14, average: 9}"};
    static const char *const faded[] = {"macd_crosses_signal_up: {}",
                                        "macd_crosses_signal_down: {}",
                                        "macd_turns_up: {}",
                                        "macd_turns_down: {}",
                                        "macd_above_zero: {}",
                                        "macd_below_zero: {}"};
    size_t crossings = 0;
    size_t before = 0;
    (void)state;
    for (uint64_t number = 0; number < SERIES; number++) {
        struct bars bars;
        fall_and_rest(&bars, number, FALLING, RESTING);
        for (size_t i = 0; i < 2; i++) {
            before += times_met(&bars, averages[i], 0, FALLING);
            crossings += times_met(&bars, averages[i], AT_REST, bars.count);
        }
        for (size_t i = 0; i < 6; i++)
            crossings += times_met(&bars, faded[i], FADED, bars.count);
        bars_free(&bars);
    }
    assert_true(before > SERIES); /* the falls themselves do cross */
    assert_int_equal(crossings, 0);
}

/* Fourteen changes, in `unit`s: seven up and seven down, which sum to `gains` and
 * `losses`. RSI(14) is 100 * gains / (gains + losses). */
static void bars_of_changes(struct bars *bars, double unit, int gains, int losses)
{
    double closes[15] = {1000 * unit};
    int level = 1000;
    for (int i = 1; i < 15; i++) {
        int last = i > 12;
        int up = last ? gains - 6 : 1;
        int down = last ? losses - 6 : 1;
        level += i % 2 == 1 ? up : -down;
        closes[i] = level * unit;
    }
    bars_of_closes(bars, closes, 15);
}

/* Levels that are met exactly are not passed, whatever the size of a step. */
static void test_levels_met_exactly(void **state)
{
    static const double units[] = {1, 0.1, 0.01, 0.001, 0.3, 0.07, 1e5};
    static const struct {
        int gains;
        int losses;
        int rsi;
    } rows[] = {{21, 49, 30}, {12, 28, 30}, {14, 56, 20}, {49, 21, 70}, {15, 15, 50}, {9, 81, 10}};
    (void)state;
    for (size_t row = 0; row < sizeof rows / sizeof *rows; row++)
        for (size_t unit = 0; unit < sizeof units / sizeof *units; unit++) {
            struct bars bars;
            char condition[80];
            bars_of_changes(&bars, units[unit], rows[row].gains, rows[row].losses);
            for (int beside = -1; beside <= 1; beside++) {
                double level = rows[row].rsi + beside * 1e-6;
                snprintf(condition, sizeof condition, "rsi_below: {length: 14, level: %.6f}",
                         level);
                assert_int_equal(holds_at_end(&bars, condition), beside > 0 ? TRUTH_YES : TRUTH_NO);
                snprintf(condition, sizeof condition, "rsi_above: {length: 14, level: %.6f}",
                         level);
                assert_int_equal(holds_at_end(&bars, condition), beside < 0 ? TRUTH_YES : TRUTH_NO);
            }
            bars_free(&bars);
        }
}

/* A close a fifth up a span of ten steps: the stochastic is 20 on each bar, and
 * so is every mean of it. */
static void test_stochastic_met_exactly(void **state)
{
    static const double units[] = {1, 0.1, 0.01, 0.3, 0.07};
    (void)state;
    for (size_t unit = 0; unit < sizeof units / sizeof *units; unit++)
        for (int fifth = 1; fifth <= 4; fifth++) {
            struct bars bars;
            double u = units[unit];
            char condition[100];
            bars_init(&bars);
            for (int i = 0; i < 30; i++)
                add_bar(&bars, 1003 * u, 1010 * u, 1000 * u, (1000 + 2 * fifth) * u);
            snprintf(condition, sizeof condition, "stochastic_below: {level: %d}", 20 * fifth);
            assert_int_equal(holds_at_end(&bars, condition), TRUTH_NO);
            snprintf(condition, sizeof condition, "stochastic_above: {level: %d}", 20 * fifth);
            assert_int_equal(holds_at_end(&bars, condition), TRUTH_NO);
            snprintf(condition, sizeof condition, "stochastic_below: {level: %d.000001}",
                     20 * fifth);
            assert_int_equal(holds_at_end(&bars, condition), TRUTH_YES);
            bars_free(&bars);
        }
}

/* Closes that only rise, 4 and 2 steps in turn: no movement down, so DX and ADX
 * are 100. */
static void test_adx_of_one_direction(void **state)
{
    static const double units[] = {1, 0.1, 0.01, 0.3, 0.07};
    (void)state;
    for (size_t unit = 0; unit < sizeof units / sizeof *units; unit++) {
        struct bars bars;
        double closes[60];
        for (int i = 0; i < 60; i++)
            closes[i] = (1000 + 3 * i + i % 2) * units[unit];
        bars_of_closes(&bars, closes, 60);
        assert_int_equal(holds_at_end(&bars, "adx_below: {length: 14, level: 100}"), TRUTH_NO);
        bars_free(&bars);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_crosses_at_rest),
        cmocka_unit_test(test_levels_met_exactly),
        cmocka_unit_test(test_stochastic_met_exactly),
        cmocka_unit_test(test_adx_of_one_direction),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
