/* Criteria that can never hold together. What is called so is checked against the
 * engine itself: on no bar of random markets is there a candidate. The table of cases
 * is by definition of the conditions.
 *
 *   setup_contradictions_test [CASES [SEED]] */
#include "random_market.h"
#include "setup/faults.h"
#include "setup/signals.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static size_t random_cases = 6000;
static unsigned long long seed = 20261128;

static void write_setup(struct text *text, const char *candle, const char *rest)
{
    text_append_format(text,
                       "setup: two\nside: long\ncandle: {%s}\nentry: {on: next_open}\n"
                       "stop: {at: candle_low}\n%s",
                       candle, rest);
}

/* Whether a new file is refused for it, and for nothing else; a kept one is read. */
static bool contradicts(const char *bytes, size_t length, struct error *error)
{
    struct setup setup;
    struct error kept;
    int code = setup_read(&setup, "two", bytes, length, error);
    if (code == ERROR_NONE)
        setup_free(&setup);
    else if (error->reason != ERROR_REASON_CONTRADICTION)
        fail_msg("%s\n%s", error->text, bytes);
    if (setup_read_kept(&setup, "two", bytes, &kept) != ERROR_NONE)
        fail_msg("%s", kept.text);
    setup_free(&setup);
    return code != ERROR_NONE;
}

static bool rest_contradicts(const char *candle, const char *rest, struct error *error)
{
    struct text text;
    text_init(&text);
    write_setup(&text, candle, rest);
    bool found = contradicts(text.bytes, text.length, error);
    text_free(&text);
    return found;
}

static bool place_contradicts(const char *place)
{
    struct error error;
    char rest[400];
    snprintf(rest, sizeof rest, "exit: {time_stop: 5}\nplace: [%s]\n", place);
    return rest_contradicts("shape: any", rest, &error);
}

static void finds_those_that_are(void **state)
{
    static const char *const places[] = {
        "{rsi_below: {level: 35}}, {rsi_above: {level: 40}}",
        "{rsi_below: {level: 40}}, {rsi_above: {level: 40}}",
        "{rsi_above: {level: 40}}, {compare: {value: {rsi: {length: 14}}, below: 40}}",
        "{stochastic_below: {level: 20}}, {not: {stochastic_below: {level: 30}}}",
        "{adx_below: {level: 20}}, {compare: {value: adx, above: 15, by: 5}}",
        "{compare: {value: close, above: 100, by_percent: 10}}, {compare: {value: close, below: "
        "110}}",
        "{close_above_average: {bars: 20}}, {close_below_average: {bars: 20}}",
        "{close_above_average: {bars: 20}}, {compare: {value: close, below: {average: {bars: 20}}, "
        "by_atr: 1}}",
        "{average_rising: {bars: 9, over: 2}}, {average_falling: {bars: 9, over: 2}}",
        "{compare: {value: {rsi: {length: 9}}, rises_for: 2}}, {compare: {value: {rsi: {length: "
        "9}}, falls_for: 1}}",
        "{macd_turns_up: {}}, {macd_turns_down: {}}",
        "{macd_above_zero: {}}, {macd_crosses_signal_up: {}}, {macd_below_zero: {}}",
        "{lower_swings: {swing: 2, count: 2}}, {higher_swings: {swing: 2, count: 3}}",
        "{weekday: {of: [mon, tue]}}, {weekday: {of: [wed]}}",
        "{time_of_day: {from: '09:00', to: '11:00'}}, {time_of_day: {from: '11:00', to: '09:00'}}",
        "{lowest_low: {bars: 9}}, {not: {lowest_low: {bars: 9}}}",
        "{lowest_low: {bars: 9, within: 2}}, {not: {lowest_low: {bars: 9, within: 4}}}",
        "{rsi_above: {level: 50}}, {any: [{rsi_below: {level: 30}}, {rsi_below: {level: 40}}]}",
        "{rsi_above: {level: 50}}, {not: {any: [{rsi_above: {level: 45}}, {lowest_low: {bars: "
        "2}}]}}",
        "{rsi_below: {level: 0}}",
        "{compare: {value: range, below: 0}}",
        "{time_of_day: {from: '09:00', to: '09:00'}}",
    };
    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++)
        if (!place_contradicts(places[i]))
            fail_msg("not found: %s", places[i]);
}

/* Each of them may hold on some bar. */
static void leaves_the_others_alone(void **state)
{
    static const char *const places[] = {
        "{rsi_below: {level: 40}}, {rsi_above: {level: 35}}",
        "{rsi_below: {level: 35}}, {rsi_above: {level: 40, within: 2}}",
        "{rsi_below: {level: 35, length: 9}}, {rsi_above: {level: 40}}",
        "{rsi_below: {level: 35}}, {rsi_above: {level: 40, interval: 1w}}",
        "{not: {rsi_below: {level: 40}}}, {not: {rsi_above: {level: 40}}}",
        "{compare: {value: {rsi: {bars_ago: 1}}, above: 40}}, {rsi_below: {level: 35}}",
        "{compare: {value: {close: {of: OTHER}}, above: 9}}, {compare: {value: close, below: 8}}",
        "{close_above_average: {bars: 20}}, {close_below_average: {bars: 50}}",
        "{not: {close_above_average: {bars: 20}}}, {not: {close_below_average: {bars: 20}}}",
        "{downtrend: {bars: 5, fall_atr: 0}}, {uptrend: {bars: 5, rise_atr: 0}}",
        "{lowest_low: {bars: 9}}, {highest_high: {bars: 9}}",
        "{lowest_low: {bars: 9, within: 4}}, {not: {lowest_low: {bars: 9, within: 2}}}",
        "{weekday: {of: [mon, tue]}}, {weekday: {of: [tue, wed]}}",
        "{rsi_above: {level: 50}}, {any: [{rsi_below: {level: 30}}, {lowest_low: {bars: 2}}]}",
    };
    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++)
        if (place_contradicts(places[i]))
            fail_msg("a false alarm: %s", places[i]);
}

static void reads_what_confirms_and_what_ends(void **state)
{
    static const char both[] = "[{rsi_below: {level: 35}}, {rsi_above: {level: 40}}]";
    struct error error;
    char rest[400];
    (void)state;
    snprintf(rest, sizeof rest, "exit: {time_stop: 5}\nconfirm: {of: %s}\n", both);
    assert_true(rest_contradicts("shape: any", rest, &error));
    snprintf(rest, sizeof rest, "exit: {time_stop: 5}\nconfirm: {at_least: 1, of: %s}\n", both);
    assert_false(rest_contradicts("shape: any", rest, &error));
    snprintf(rest, sizeof rest, "exit: {time_stop: 5}\nconfirm: {wait: 2, of: %s}\n", both);
    assert_false(rest_contradicts("shape: any", rest, &error));
    snprintf(rest, sizeof rest, "exit:\n  when: %s\n", both);
    assert_true(rest_contradicts("shape: any", rest, &error));
    assert_string_equal(error.text, "two:7:36: exit: when: rsi_above: {length: 14, level: 40} can "
                                    "hold on no bar on which rsi_below: {length: 14, level: 35} "
                                    "of line 7 holds; change or leave out one of them");
}

static void reads_the_limits_of_a_candle(void **state)
{
    static const char rest[] = "exit: {time_stop: 5}\n";
    struct error error;
    (void)state;
    assert_true(rest_contradicts("shape: hammer, limits: {body_min: 0.4}", rest, &error));
    assert_string_equal(error.text, "two:3:33: candle: limits: body_min is 0.4 and body_max is "
                                    "0.34; no hammer can have both: lower the one or raise the "
                                    "other");
    assert_true(
        rest_contradicts("any_of: [any, {shape: hammer, limits: {body_min: 0.2, body_max: 0.1}}]",
                         rest, &error));
    assert_false(rest_contradicts("shape: hammer, limits: {body_min: 0.34}", rest, &error));
}

/* --- against the engine ----------------------------------------------------------------- */

/* Rules over few measures, so that two are often of the same one. */
static void write_rule(struct text *text, struct random_stream *stream)
{
    static const char *const below[] = {"below", "above"};
    int64_t level = random_between(stream, 0, 20) * 5;
    int64_t length = random_between(stream, 2, 3);
    int64_t within = random_percent(stream, 15) ? random_between(stream, 1, 2) : 0;
    const char *way = below[random_between(stream, 0, 1)];
    switch (random_between(stream, 0, 11)) {
    case 0:
    case 1:
        text_append_format(text, "rsi_%s: {length: %d, level: %d, within: %d}", way, (int)length,
                           (int)level, (int)within);
        return;
    case 2:
        text_append_format(text, "compare: {value: {rsi: {length: %d}}, %s: %d, by: %d}",
                           (int)length, way, (int)level, (int)random_between(stream, 1, 9));
        return;
    case 3:
        text_append_format(text, "close_%s_average: {bars: %d, within: %d}", way, (int)length,
                           (int)within);
        return;
    case 4:
        text_append_format(text, "compare: {value: close, %s: {average: {bars: %d}}}", way,
                           (int)length);
        return;
    case 5:
        text_append_format(text, "compare: {value: {rsi: {length: %d}}, %s_for: %d}", (int)length,
                           random_percent(stream, 50) ? "rises" : "falls",
                           (int)random_between(stream, 1, 2));
        return;
    case 6:
        text_append_format(text, "macd_turns_%s: {fast: 2, slow: %d, signal: 2}",
                           random_percent(stream, 50) ? "up" : "down", (int)length + 1);
        return;
    case 7:
        text_append_format(text, "%s_swings: {swing: 1, count: 2}",
                           random_percent(stream, 50) ? "lower" : "higher");
        return;
    case 8:
        text_append_format(text, "weekday: {of: [%s, wed]}",
                           random_percent(stream, 50) ? "mon" : "tue");
        return;
    case 9:
        text_append_format(text, "compare: {value: range, %s: %d}", way,
                           (int)random_between(stream, -1, 1));
        return;
    case 10:
        text_append_format(text, "average_%s: {bars: %d, over: 1}",
                           random_percent(stream, 50) ? "rising" : "falling", (int)length);
        return;
    default:
        text_append_format(text, "stochastic_%s: {length: %d, smooth: 1, average: 1, level: %d}",
                           way, (int)length, (int)level);
        return;
    }
}

static void write_criterion(struct text *text, struct random_stream *stream, int depth)
{
    int64_t kind = depth > 0 ? random_between(stream, 0, 5) : 5;
    if (kind == 0) {
        text_append(text, "any: [{");
        write_criterion(text, stream, depth - 1);
        text_append(text, "}, {");
        write_criterion(text, stream, depth - 1);
        text_append(text, "}]");
    } else if (kind == 1) {
        text_append(text, "not: {");
        write_criterion(text, stream, depth - 1);
        text_append(text, "}");
    } else {
        write_rule(text, stream);
    }
}

static size_t candidates_of(const char *text, const struct random_market *market)
{
    struct setup setup;
    struct setup_view view;
    struct signals signals;
    struct error error;
    assert_int_equal(setup_read_kept(&setup, "two", text, &error), ERROR_NONE);
    struct sheet *sheet = sheet_new(&market->bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&view, &setup, sheet, &market->around, &error), ERROR_NONE);
    assert_int_equal(signals_find(&view, 0, SIZE_MAX, false, &signals, &error), ERROR_NONE);
    size_t count = signals.candidates;
    signals_free(&signals);
    sheet_free(sheet);
    setup_free(&setup);
    return count;
}

static void is_never_a_false_alarm(void **state)
{
    size_t found = 0;
    size_t with_candidates = 0;
    (void)state;
    for (size_t i = 0; i < random_cases; i++) {
        struct random_stream stream;
        struct random_market market;
        struct text text;
        struct error error;
        random_start(&stream, seed, i);
        text_init(&text);
        write_setup(&text, "shape: any", "exit: {time_stop: 5}\nplace: [");
        for (int64_t n = random_between(&stream, 2, 3); n > 0; n--) {
            text_append(&text, "{");
            write_criterion(&text, &stream, 2);
            text_append(&text, n > 1 ? "}, " : "}]\n");
        }
        bool contradiction = contradicts(text.bytes, text.length, &error);
        found += contradiction;
        assert_true(random_market_init(&market, &stream, 300));
        size_t count = candidates_of(text.bytes, &market);
        with_candidates += count > 0;
        if (contradiction && count > 0)
            fail_msg("case %zu has %zu candidates: %s\n%s", i, count, error.text, text.bytes);
        random_market_free(&market);
        text_free(&text);
    }
    printf("%zu cases, of which %zu contradictions; %zu with candidates\n", random_cases, found,
           with_candidates);
    assert_true(found > random_cases / 20 && with_candidates > random_cases / 20);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(finds_those_that_are),
        cmocka_unit_test(leaves_the_others_alone),
        cmocka_unit_test(reads_what_confirms_and_what_ends),
        cmocka_unit_test(reads_the_limits_of_a_candle),
        cmocka_unit_test(is_never_a_false_alarm),
    };
    if (argc > 1)
        random_cases = strtoul(argv[1], NULL, 10);
    if (argc > 2)
        seed = strtoull(argv[2], NULL, 10);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
