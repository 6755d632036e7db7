/* The condition `compare`: worked examples, with values reckoned by hand beside
 * each, and what cannot be read. That it agrees with a second implementation,
 * its mirror and its past is for the engine tests over random setups. */
#include "setup/signals.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { BARS = 8 };

/* Daily bars from Monday 2024-01-01 on, the weekend left out: open, high, low,
 * close. The fifth bar is the Friday. */
static const double prices[BARS][4] = {
    {10, 12, 9, 11},  {11, 13, 10, 12}, {12, 13, 11, 12}, {12, 16, 11, 15},
    {15, 17, 14, 16}, {16, 18, 15, 17}, {17, 18, 12, 13}, {13, 14, 10, 11},
};
static const int64_t days[BARS] = {19723, 19724, 19725, 19726, 19727, 19730, 19731, 19732};

static void make_bars(struct bars *bars, double add)
{
    struct error error;
    bars_init(bars);
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    for (size_t i = 0; i < BARS; i++) {
        struct bar bar = {days[i] * 86400,    prices[i][0] + add, prices[i][1] + add,
                          prices[i][2] + add, prices[i][3] + add, 100 + (double)i};
        assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
    }
}

static int read_setup(struct setup *setup, const char *condition, struct error *error)
{
    char text[600];
    snprintf(text, sizeof text,
             "setup: a\nside: long\ncandle: {shape: any}\nplace:\n  - compare: %s\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 3}\n",
             condition);
    return setup_read(setup, "a.yaml", text, strlen(text), error);
}

/* What the condition says on each bar: y, n or ? */
static void said(const char *condition, const char *expected)
{
    struct error error = {0};
    struct setup setup;
    struct setup_view view;
    struct bars bars;
    struct bars other;
    struct tick tick;
    struct instrument instrument;
    char found[BARS + 1] = "";
    make_bars(&bars, 0);
    make_bars(&other, 100);
    other.time[4] += 86400; /* Friday's bar comes a day late */
    assert_true(tick_from_number(&tick, 0.5));
    assert_true(instrument_init(&instrument, "INDEX"));
    struct other_bars others[] = {{&other, &instrument}};
    struct surroundings around = {.others = others, .other_count = 1, .tick = &tick};
    if (read_setup(&setup, condition, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_int_equal(setup_view_init(&view, &setup, sheet, &around, &error), ERROR_NONE);
    for (size_t at = 0; at < BARS; at++) {
        struct candle candle = candle_of_bar(&view, at);
        enum truth truth = criterion_holds(&view, &setup.place.list[0], &candle, at);
        found[at] = truth == TRUTH_YES ? 'y' : truth == TRUTH_NO ? 'n' : '?';
    }
    assert_string_equal(found, expected);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
    bars_free(&other);
}

static void values_are_compared(void **state)
{
    (void)state;
    /* closes 11 12 12 15 16 17 13 11 */
    said("{value: close, above: 12}", "nnnyyyyn");
    said("{value: close, below: 12}", "ynnnnnny");
    said("{value: close, above: 12, by: 1}", "nnnyyynn");
    said("{value: close, above: 12, by_percent: 25}", "nnnnyynn"); /* above 15 */
    said("{value: close, below: 16, by_ticks: 2}", "yyynnnyy");    /* below 15 */
    said("{value: close, above: open}", "yynyyynn");
    said("{value: close, above: {close: {bars_ago: 1}}}", "?ynyyynn");
    /* mean(2): - 11.5 12 13.5 15.5 16.5 15 12 */
    said("{value: close, above: {average: {bars: 2}}}", "?ynyyynn");
    said("{value: close, crosses_above: {average: {bars: 2}}}", "??nynnnn");
    said("{value: close, crosses_below: {close: {bars_ago: 1}}}", "??nnnnyn");
    said("{value: close, rises_for: 2}", "??nnyynn");
    said("{value: close, falls_for: 2}", "?nnnnnny");
    /* ranges 3 3 2 5 3 3 6 4 */
    said("{value: range, above: {range: {bars_ago: 1}}}", "?nnynnyn");
    said("{value: range, above: {range: {bars_ago: 1}}, by_percent: 100}", "?nnynnnn");
    said("{value: range, rises_for: 1}", "?nnynnyn");
    said("{value: volume, below: 102}", "yynnnnnn");
}

/* RSI(2) by Wilder's means, by hand: changes 1 0 3 1 1 -4 -2; means of the gains
 * from bar 2: 1/2, 7/4, 11/8, 19/16, 19/32, 19/64; of the losses: 0 0 0 0 2 2.
 * RSI: 100 100 100 100 22.9 12.9 */
static void measures_are_compared(void **state)
{
    (void)state;
    said("{value: {rsi: {length: 2}}, above: 20}", "??yyyyyn");
    said("{value: {rsi: {length: 2}}, below: 20}", "??nnnnny");
    said("{value: {rsi: {length: 2}}, crosses_below: 50}", "???nnnyn");
    said("{value: {rsi: {length: 2}}, below: {rsi: {length: 2, bars_ago: 1}}, by: 20}", "???nnnyn");
}

/* Whether the condition holds on the last of bars of these closes, each with a
 * high of 1000000, of which a price would have the tolerance. */
static enum truth holds_over(const double *closes, size_t count, const char *condition)
{
    struct error error = {0};
    struct setup setup;
    struct setup_view view;
    struct bars bars;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_DAY, 1};
    for (size_t i = 0; i < count; i++) {
        struct bar bar = {days[i] * 86400, closes[i], 1e6, 0.5, closes[i], NAN};
        assert_int_equal(bars_append(&bars, &bar, &error), ERROR_NONE);
    }
    if (read_setup(&setup, condition, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), ERROR_NONE);
    struct candle candle = candle_of_bar(&view, count - 1);
    enum truth truth = criterion_holds(&view, &setup.place.list[0], &candle, count - 1);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
    return truth;
}

/* MACD(1, 2) is a third of the close's distance from the average(2) before it, by
 * hand: the exponential average moves two thirds of the way. Its tolerance is
 * 1e-10 of the close, whatever the high: 1e-8 for 100, so that 2e-8 lies above
 * nought and 5e-9 does not. Of two bars the newer's counts: the MACD of 403 is
 * -199 and leaves an average of 602, that of 5 + 3x is -199 + x, with a tolerance
 * of 5e-10 and not the 4.03e-8 of the bar before. */
static void macd_has_the_tolerance_of_its_close(void **state)
{
    static const char above_nought[] = "{value: {macd: {fast: 1, slow: 2}}, above: 0}";
    static const char below_nought[] = "{value: {macd: {fast: 1, slow: 2}}, below: 0}";
    static const char *const risen[] = {
        "{value: {macd: {fast: 1, slow: 2}}, above: {macd: {fast: 1, slow: 2, bars_ago: 1}}}",
        "{value: {macd: {fast: 1, slow: 2, bars_ago: 1}}, below: {macd: {fast: 1, slow: 2}}}",
        "{value: {macd: {fast: 1, slow: 2}}, rises_for: 1}",
    };
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        const double beyond[] = {100, 100, 100, 100 + side * 6e-8};
        const double tied[] = {100, 100, 100, 100 + side * 1.5e-8};
        const char *condition = side > 0 ? above_nought : below_nought;
        assert_int_equal(holds_over(beyond, 4, condition), TRUTH_YES);
        assert_int_equal(holds_over(tied, 4, condition), TRUTH_NO);
    }
    const double higher[] = {1000, 1000, 1000, 403, 5 + 3e-8};
    const double level[] = {1000, 1000, 1000, 403, 5 + 3e-10};
    for (size_t i = 0; i < sizeof risen / sizeof *risen; i++) {
        assert_int_equal(holds_over(higher, 5, risen[i]), TRUTH_YES);
        assert_int_equal(holds_over(level, 5, risen[i]), TRUTH_NO);
    }
}

static void longer_bars_and_others_are_read_when_closed(void **state)
{
    (void)state;
    /* The week's close of 16 is known when Sunday is over: on Monday's bar. */
    said("{value: {close: {interval: 1w}}, above: 15}", "?????yyy");
    /* INDEX closes at 111 112 112 115 - (116) 117 113 111: its Friday's bar is
     * Saturday's, so that on Friday the last is Thursday's. */
    said("{value: {close: {of: INDEX}}, above: 115}", "nnnnnynn");
    said("{value: {close: {of: INDEX, bars_ago: 1}}, above: 115}", "?nnnnyyn");
    said("{value: {close: {of: ABSENT}}, above: 115}", "????????");
}

static void refused(const char *condition, const char *part)
{
    struct error error = {0};
    struct setup setup;
    assert_int_equal(read_setup(&setup, condition, &error), ERROR_INPUT);
    if (strstr(error.text, part) == NULL)
        fail_msg("%s\nhas no: %s", error.text, part);
}

static void nonsense_is_refused(void **state)
{
    (void)state;
    refused("{above: 3}", "compare: value: is missing");
    refused("{value: close}", "none of them");
    refused("{value: close, above: 3, below: 4}", "several of them");
    refused("{value: closs, above: 3}", "did you mean close?");
    refused("{value: close, above: {rsi: {length: 3}}}", "different kinds");
    refused("{value: close, above: close}", "the same value");
    refused("{value: close, above: {average: {bars: 0}}}", "from 1 to");
    refused("{value: close, rises_for: 2, by_atr: 1}", "does not go with rises_for");
    refused("{value: {rsi: {length: 3}}, above: 30, by_atr: 1}", "does not go with rsi");
    refused("{value: close, above: open, by_atr: 1, by: 2}", "one is allowed");
    refused("{value: close, above: open, by: 0}", "no effect");
    refused("{value: {close: {of: INDEX}}, above: open, by_ticks: 1}", "ticks are those");
    refused("{value: {close: {interval: 1w}}, above: open, interval: 1w}", "beside values");
    refused("close", "a map of keys and values");
}

/* The mirror of each, as it is written. */
static void mirrors_are_written_as_seen(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {
        {"{value: {rsi: {length: 2}}, above: 70, by: 5}",
         "- compare: {value: {rsi: {length: 2}}, below: 30, by: 5}\n"},
        {"{value: high, crosses_above: {highest: {bars: 5, bars_ago: 1}}}",
         "- compare: {value: {low: {}}, crosses_below: {lowest: {bars: 5, bars_ago: 1}}}\n"},
        {"{value: {macd: {fast: 2, slow: 4}}, falls_for: 3, within: 2}",
         "- compare: {value: {macd: {fast: 2, slow: 4}}, rises_for: 3, within: 2}\n"},
        {"{value: upper_shadow, above: {lower_shadow: {bars_ago: 1}}}",
         "- compare: {value: {lower_shadow: {}}, above: {upper_shadow: {bars_ago: 1}}}\n"},
        {"{value: close, below: 3.5}", "- compare: {value: {close: {}}, above: -3.5}\n"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        struct error error = {0};
        struct setup setup;
        struct text text;
        text_init(&text);
        assert_int_equal(read_setup(&setup, pairs[i][0], &error), ERROR_NONE);
        assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
        setup_write(&setup, &text);
        if (strstr(text.bytes, pairs[i][1]) == NULL)
            fail_msg("%s\nhas no: %s", text.bytes, pairs[i][1]);
        text_free(&text);
        setup_free(&setup);
    }
}

static void every_measure_can_be_compared(void **state)
{
    (void)state;
    for (const struct measure *row = measures; row->name != NULL; row++)
        assert_ptr_equal(comparable_find(row->name)->measure, row);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_are_compared),
        cmocka_unit_test(measures_are_compared),
        cmocka_unit_test(macd_has_the_tolerance_of_its_close),
        cmocka_unit_test(longer_bars_and_others_are_read_when_closed),
        cmocka_unit_test(nonsense_is_refused),
        cmocka_unit_test(mirrors_are_written_as_seen),
        cmocka_unit_test(every_measure_can_be_compared),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
