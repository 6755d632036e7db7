/* What is said of the rows of a setup: a number that is given without what else could be
 * written for it, none of one that is off. The sentences are put together
 * by hand from the tables. */
#include "answer/setup_words.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void collect(void *context, const struct setup_said *one)
{
    text_append_format(context, "%s: %s\n", one->part, one->says);
}

static void check(const char *lists, const char *expected)
{
    struct text yaml;
    struct setup setup;
    struct error error;
    struct text said;
    text_init(&yaml);
    text_init(&said);
    text_append_format(&yaml, "setup: words\nside: long\n%s", lists);
    if (setup_read(&setup, "words", yaml.bytes, yaml.length, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_true(setup_say(&setup, collect, &said));
    assert_string_equal(said.bytes, expected);
    setup_free(&setup);
    text_free(&yaml);
    text_free(&said);
}

/* 0 takes some limits away; of others it is a number like any. */
static void leaves_out_what_is_off(void **state)
{
    (void)state;
    check("candle: {shape: piercing-line, limits: {long_min_averages: 0}}\n"
          "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n",
          "candle: piercing-line: opens below the low of a long falling bar and closes above the "
          "middle of its body\n"
          "entry: at the open of the bar after the signal\n"
          "stop: beyond the candle\n"
          "exit: out at the close of the bar that is 1 bar after the entry bar\n");
    check("candle: {shape: piercing-line}\n"
          "place: [{weekday: {of: [mon, fri]}}, {time_of_day: {from: '09:00', to: '17:00'}}, "
          "{at_own_level: {width_atr: 0}},"
          " {rsi_crosses_above_average: {length: 5}},"
          " {rsi_crosses_above_average: {length: 5, from_below: 40}}]\n"
          "entry: {on: next_open}\nstop: {at: atr, times: 3}\nexit: {time_stop: 2}\n",
          "candle: piercing-line: opens below the low of a long falling bar and closes above the "
          "middle of its body (body of the long bar, least: 1.3 average bodies)\n"
          "place: the bar's date falls on one of these days (days of the week: [mon, fri])\n"
          "place: the bar starts within these hours (first start of a bar, in the session's zone: "
          "'09:00'; a bar starting here or later is out: '17:00')\n"
          "place: the candle is near a level that you marked before it (nearness to the level: 0 "
          "ATR)\n"
          "place: RSI was at or below its average one bar ago and is above it (length of the RSI: "
          "5 bars; values in the RSI's average: 9 bars)\n"
          "place: RSI was at or below its average one bar ago and is above it (length of the RSI: "
          "5 bars; values in the RSI's average: 9 bars; RSI one bar ago beyond this: 40)\n"
          "entry: at the open of the bar after the signal\n"
          "stop: so many ATR from the entry (distance from the entry: 3 ATR)\n"
          "exit: out at the close of the bar that is 2 bars after the entry bar\n");
}

static void says_of_orders_what_is_given(void **state)
{
    (void)state;
    check("candle: {shape: any}\nentry: {on: close_above_high, valid: 4}\n"
          "stop: {at: swing_low}\nexit: {targets: [{own_level: 2, share: 0.5}, {level: 0.5, "
          "share: 0.5}]}\n",
          "candle: any: every bar with a range, for controls and checks\n"
          "entry: the first close beyond the candle within 4 bars, filled at the open of the bar "
          "after\n"
          "entry: not taken where the close of the signal is beyond the entry already\n"
          "stop: beyond the newest swing known at the signal, or the candle if that is farther "
          "(bars on each side that make a swing: 3 bars)\n"
          "exit: 50 % of the position leaves at own_level 2 counted from the fill: a level of "
          "one's own: the first beyond the fill is 1\n"
          "exit: 50 % of the position leaves at level 0.5 of the fall: a retracement level\n");
    check("candle: {shape: any}\nentry: {on: limit_below_close, valid: 1}\n"
          "stop: {at: candle_low}\nexit: {targets: [{r: 2}]}\n",
          "candle: any: every bar with a range, for controls and checks\n"
          "entry: a limit order a share of the candle's range behind its close, working for 1 bar "
          "(how far behind the candle's close: 0.5 of the candle's range)\n"
          "stop: beyond the candle\n"
          "exit: 100 % of the position leaves at 2 R: distance from the fill, in multiples of the "
          "risk\n");
    check("candle: {shape: any}\nentry: {on: retest, of: swing_high, valid: 3}\n"
          "stop: {at: leg_low}\nexit: {targets: [{swing_high: 3}]}\n",
          "candle: any: every bar with a range, for controls and checks\n"
          "entry: a close beyond a level, a return to it, and a close that holds it: the level is "
          "the newest swing high (retracement level, where the retest is of one: 0.382 of the "
          "fall; the fall's bars before the candle, or how far back a line's swings lie: 60 bars; "
          "bars on each side that make a swing: 3 bars; how near the return must come to the "
          "level: 0.25 ATR; bars for the close beyond the level: 10 bars; bars after it for the "
          "return: 10 bars), filled at the open of the bar after\n"
          "entry: not taken where the close of the signal is beyond the entry already\n"
          "stop: beyond the extreme of the return\n"
          "exit: 100 % of the position leaves at swing_high 3 bars on each side: the newest swing "
          "of that strength known at the signal\n");
}

static void unlike(const char *first, const char *second, const char *expected)
{
    struct setup setups[2];
    struct error error;
    struct text said;
    text_init(&said);
    if (setup_read(&setups[0], "one", first, strlen(first), &error) != ERROR_NONE ||
        setup_read(&setups[1], "two", second, strlen(second), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(setup_say_unlike(&said, &setups[1], &setups[0], &error), ERROR_NONE);
    assert_string_equal(said.bytes, expected);
    setup_free(&setups[0]);
    setup_free(&setups[1]);
    text_free(&said);
}

/* Name and title aside; by hand. */
static void tells_copies_apart(void **state)
{
    static const char one[] = "setup: one\ntitle: alike\nside: long\ncandle: {shape: any}\n"
                              "entry: {on: next_open}\nstop: {at: candle_low}\n"
                              "exit: {targets: [{r: 2}], time_stop: 5}\n";
    (void)state;
    unlike(one,
           "setup: two\ntitle: a copy\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"
           "stop: {at: candle_low}\nexit: {targets: [{r: 2}], time_stop: 5}\n",
           "the same rule as one");
    unlike(one,
           "setup: two\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"
           "stop: {at: candle_low}\nexit: {targets: [{r: 3}], time_stop: 5}\n",
           "exit.targets.1.r 3 for 2, else as one");
    unlike(one,
           "setup: two\nside: long\ncandle: {shape: any}\nentry: {on: next_open, valid: 2}\n"
           "stop: {at: candle_low}\nexit: {targets: [{r: 3}], time_stop: 9}\n"
           "overlap: all\n",
           "unlike one in 4 places");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaves_out_what_is_off),
        cmocka_unit_test(says_of_orders_what_is_given),
        cmocka_unit_test(tells_copies_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
