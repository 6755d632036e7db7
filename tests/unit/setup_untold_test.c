/* Criteria that cannot be told because nothing was given to tell them by, and
 * levels of one's own in time; expected answers worked out by hand. */
#include "setup/checklist.h"
#include "trade/trade.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

#include "sample.h"

enum { BARS = 30, DAY = 86400 };

struct opened {
    struct bars bars;
    struct setup setup;
    struct sheet *sheet;
    struct setup_view view;
};

/* Thirty quiet days from Monday 2001-01-01, and a setup with these lists. */
static void open_rule(struct opened *opened, const char *lists, const struct surroundings *around)
{
    char text[700];
    struct error error;
    bars_init(&opened->bars);
    for (int i = 0; i < BARS; i++)
        add_bar(&opened->bars, 100, 101, 99, 100);
    snprintf(text, sizeof text,
             "setup: untold\nside: long\ncandle: {shape: any}\n%s\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n",
             lists);
    setup_from(&opened->setup, text);
    opened->sheet = sheet_new(&opened->bars, NULL);
    assert_non_null(opened->sheet);
    assert_int_equal(setup_view_init(&opened->view, &opened->setup, opened->sheet, around, &error),
                     ERROR_NONE);
}

static void close_rule(struct opened *opened)
{
    sheet_free(opened->sheet);
    setup_free(&opened->setup);
    bars_free(&opened->bars);
}

static enum truth place_at(const struct opened *opened, size_t first, size_t at)
{
    struct candle candle = {.first = first, .at = at};
    return criterion_holds(&opened->view, &opened->setup.place.list[0], &candle, at);
}

static int64_t day(int number)
{
    return SAMPLE_FIRST_DAY + (int64_t)number * DAY;
}

/* Reports on days 5 and 20: days 4 and 5 are too near the first, 19 and 20 the
 * second; before day 4 and after day 20 nothing is known. */
static void test_events_are_known_between_the_first_and_the_last(void **state)
{
    static const char rule[] = "place: [{no_event: {kind: report, before: 1, after: 0}}]";
    const struct setup_event events[] = {{.time = day(20) + 3600, .kind = "report"},
                                         {.time = day(5), .kind = "report"},
                                         {.time = day(0), .kind = "meeting"},
                                         {.time = day(29), .kind = "meeting"}};
    const struct surroundings around = {.events = events, .event_count = 4};
    struct opened opened;
    struct signals signals;
    struct error error;
    (void)state;
    open_rule(&opened, rule, &around);
    for (size_t at = 0; at < BARS; at++) {
        bool near = at == 4 || at == 5 || at == 19 || at == 20;
        enum truth expected = near ? TRUTH_NO : at > 5 && at <= 20 ? TRUTH_YES : TRUTH_UNDEFINED;
        assert_int_equal(place_at(&opened, at, at), expected);
    }
    /* Days 6 to 18 are met; days 0 to 3 and 21 to 29 cannot be told. */
    assert_int_equal(signals_find(&opened.view, 0, BARS, true, &signals, &error), ERROR_NONE);
    assert_int_equal(signals.count, 13);
    assert_int_equal(signals.untold, 4 + 9);
    signals_free(&signals);
    close_rule(&opened);
    open_rule(&opened, rule, NULL);
    assert_int_equal(signals_find(&opened.view, 0, BARS, true, &signals, &error), ERROR_NONE);
    assert_int_equal(signals.count, 0);
    assert_int_equal(signals.untold, BARS);
    signals_free(&signals);
    close_rule(&opened);
}

/* A report of day 9, which the second week holds; weekly bars are read from their last day on,
 * the second week by the candles of days 13 to 19. Known at a moment of that week (its
 * Thursday, its last second) it counts for the week; known with the next week it does not. */
static void test_an_event_counts_from_the_bar_that_holds_the_moment(void **state)
{
    static const char
        rule[] = "place: [{no_event: {kind: report, before: 0, after: 0, interval: 1w}}]";
    const int64_t known[] = {day(10) + 3600, day(14) - 1, day(14)};
    (void)state;
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        const struct setup_event events[] = {{.time = day(-40), .kind = "report"},
                                             {day(9), "report", true, known[i]},
                                             {.time = day(400), .kind = "report"}};
        const struct surroundings around = {.events = events, .event_count = 3};
        struct opened opened;
        open_rule(&opened, rule, &around);
        for (size_t at = 6; at < BARS; at++)
            assert_int_equal(place_at(&opened, at, at),
                             i < 2 && at >= 13 && at < 20 ? TRUTH_NO : TRUTH_YES);
        close_rule(&opened);
    }
}

/* Sydney is 11 hours ahead of UTC in January (tz database), so that day 0 is over there at
 * 13:00 UTC of it, whatever the date says: what becomes known at 12:59:59 counts for the day,
 * what does a second later for the next. */
static void test_a_day_ends_by_the_session(void **state)
{
    (void)state;
    for (int64_t late = 0; late < 2; late++) {
        const struct setup_event events[] = {{.time = day(-40), .kind = "report"},
                                             {day(0), "report", true,
                                              day(0) + 13 * 3600 - 1 + late},
                                             {.time = day(400), .kind = "report"}};
        const struct surroundings around = {.events = events, .event_count = 3};
        struct opened opened;
        open_rule(&opened, "place: [{no_event: {kind: report, before: 0, after: 0}}]", &around);
        sheet_free(opened.sheet);
        opened.sheet = sheet_new(&opened.bars, "Australia/Sydney");
        assert_non_null(opened.sheet);
        opened.view.plain = opened.sheet;
        assert_int_equal(place_at(&opened, 0, 0), late ? TRUTH_YES : TRUTH_NO);
        close_rule(&opened);
    }
}

/* With 0 and 0 the bar's own time is what may hold no event: an hour, a week
 * from Monday on, a month. */
static void test_an_event_within_the_bar(void **state)
{
    static const struct {
        struct interval interval;
        int64_t length;
    } rows[] = {{{INTERVAL_HOUR, 1}, 3600},
                {{INTERVAL_WEEK, 1}, 7 * DAY},
                {{INTERVAL_MONTH, 1}, 31 * DAY}};
    (void)state;
    for (size_t row = 0; row < 3; row++) {
        int64_t end = SAMPLE_FIRST_DAY + rows[row].length;
        /* The second before the bar ends, and the end; known from before on. */
        for (int64_t late = 0; late < 2; late++) {
            const struct setup_event events[] = {{.time = day(-40), .kind = "report"},
                                                 {.time = end - 1 + late, .kind = "report"},
                                                 {.time = day(400), .kind = "report"}};
            const struct surroundings around = {.events = events, .event_count = 3};
            struct opened opened;
            open_rule(&opened, "place: [{no_event: {kind: report, before: 0, after: 0}}]", &around);
            opened.bars.interval = rows[row].interval;
            assert_int_equal(place_at(&opened, 0, 0), late ? TRUTH_YES : TRUTH_NO);
            close_rule(&opened);
        }
    }
}

/* A level at 100 made on day 20 counts for candles that begin on day 21 or
 * later, all their bars included; before that there is none to tell by. */
static void test_own_levels_in_time(void **state)
{
    static const char rule[] = "place: [{at_own_level: {width_atr: 0}}]";
    const struct own_mark mark = {.price = 100, .made = day(20)};
    const struct surroundings around = {.marks = &mark, .mark_count = 1};
    struct opened opened;
    (void)state;
    open_rule(&opened, rule, &around);
    assert_int_equal(place_at(&opened, 20, 20), TRUTH_UNDEFINED);
    assert_int_equal(place_at(&opened, 20, 21), TRUTH_UNDEFINED);
    assert_int_equal(place_at(&opened, 21, 21), TRUTH_YES);
    assert_int_equal(place_at(&opened, 21, 22), TRUTH_YES);
    close_rule(&opened);
}

/* Of the signals those that rest on a level dated back alone are flagged: days
 * 17 to 24; from day 25 on another level is there too. */
static void test_levels_dated_back_are_flagged(void **state)
{
    static const char *const rules[] = {
        "place: [{at_own_level: {width_atr: 0}}]",
        "place: [{any: [{rsi_below: {length: 2, level: 1}}, {at_own_level: {width_atr: 0}}]}]",
        "confirm: {at_least: 1, of: [{rsi_below: {length: 2, level: 1}}, "
        "{at_own_level: {width_atr: 0}}]}",
    };
    const struct own_mark marks[] = {{.price = 100, .made = day(16), .dated_back = true},
                                     {.price = 99.5, .made = day(24)}};
    const struct surroundings around = {.marks = marks, .mark_count = 2};
    (void)state;
    for (size_t rule = 0; rule < 3; rule++) {
        struct opened opened;
        struct trades trades;
        struct error error;
        struct trade_terms terms = {.tick = {0.01, 1, 2}, .point_value = 1};
        open_rule(&opened, rules[rule], &around);
        opened.setup.overlap = OVERLAP_ALL;
        assert_int_equal(trades_find(&opened.view, &terms, 0, BARS, true, &trades, &error),
                         ERROR_NONE);
        assert_int_equal(trades.count, BARS - 17);
        for (size_t i = 0; i < trades.count; i++)
            assert_int_equal(trades.list[i].signal.dated_back, i + 17 <= 24);
        trades_free(&trades);
        close_rule(&opened);
    }
    /* Something else that holds decides as well. */
    struct opened opened;
    struct signals signals;
    struct error error;
    open_rule(&opened,
              "place: [{any: [{rsi_below: {length: 2, level: 60}}, "
              "{at_own_level: {width_atr: 0}}]}]",
              &around);
    assert_int_equal(signals_find(&opened.view, 0, BARS, true, &signals, &error), ERROR_NONE);
    assert_true(signals.count > 0);
    for (size_t i = 0; i < signals.count; i++)
        assert_false(signals.list[i].dated_back);
    signals_free(&signals);
    close_rule(&opened);
}

/* Without volume, or where all of it is 0, a rule of volume cannot be told. */
static void test_volume_that_is_not_there(void **state)
{
    static const char rule[] = "confirm: {of: [{volume_above_average: {bars: 5, times: 0.5}}]}";
    (void)state;
    for (int zero = 0; zero < 2; zero++) {
        struct opened opened;
        struct signals signals;
        struct checklist checklist;
        struct error error;
        open_rule(&opened, rule, NULL);
        for (size_t i = 0; i < BARS; i++)
            opened.bars.volume[i] = zero ? 0 : NAN;
        assert_int_equal(signals_find(&opened.view, 10, BARS, true, &signals, &error), ERROR_NONE);
        assert_int_equal(signals.count, 0);
        assert_int_equal(signals.untold, BARS - 10);
        struct candle candle = candle_of_bar(&opened.view, 20);
        checklist_read(&opened.view, &candle, 20, &checklist);
        assert_true(checklist_untold(&checklist));
        assert_false(checklist.met);
        assert_true(checklist.list[checklist.count - 1].untold);
        assert_int_equal(checklist.list[checklist.count - 1].holds, TRUTH_UNDEFINED);
        signals_free(&signals);
        close_rule(&opened);
    }
}

/* A criterion that fails decides, whatever cannot be told beside it; too few
 * bars are not a lack of what was given. */
static void test_what_can_be_told_decides(void **state)
{
    static const char *const rules[] = {
        "place: [{rsi_below: {length: 2, level: 1}}, {no_event: {kind: report}}]",
        "place: [{no_event: {kind: report}}, {rsi_below: {length: 2, level: 1}}]",
        "place: [{lowest_low: {bars: 40}}]",
    };
    (void)state;
    for (size_t rule = 0; rule < 3; rule++) {
        struct opened opened;
        struct signals signals;
        struct error error;
        open_rule(&opened, rules[rule], NULL);
        assert_int_equal(signals_find(&opened.view, 10, BARS, true, &signals, &error), ERROR_NONE);
        assert_int_equal(signals.count, 0);
        assert_int_equal(signals.untold, 0);
        signals_free(&signals);
        close_rule(&opened);
    }
}

/* `finer` without finer bars of a bar that reaches both sides says so. */
static void test_finer_bars_that_are_missing(void **state)
{
    static const char *const rules[] = {"same_bar: finer", "same_bar: worst"};
    (void)state;
    for (size_t rule = 0; rule < 2; rule++) {
        struct opened opened;
        struct trades trades;
        struct error error;
        struct trade_terms terms = {.tick = {0.01, 1, 2}, .point_value = 1};
        open_rule(&opened, rules[rule], NULL);
        opened.setup.exit.targets[0] = (struct target){&target_kinds[0], 1, 1};
        opened.setup.exit.target_count = 1;
        assert_int_equal(trades_find(&opened.view, &terms, 15, 16, true, &trades, &error),
                         ERROR_NONE);
        assert_int_equal(trades.count, 1);
        assert_true(trades.list[0].same_bar);
        assert_int_equal(trades.list[0].finer_missing, rule == 0);
        trades_free(&trades);
        close_rule(&opened);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_events_are_known_between_the_first_and_the_last),
        cmocka_unit_test(test_an_event_counts_from_the_bar_that_holds_the_moment),
        cmocka_unit_test(test_a_day_ends_by_the_session),
        cmocka_unit_test(test_an_event_within_the_bar),
        cmocka_unit_test(test_own_levels_in_time),
        cmocka_unit_test(test_levels_dated_back_are_flagged),
        cmocka_unit_test(test_volume_that_is_not_there),
        cmocka_unit_test(test_what_can_be_told_decides),
        cmocka_unit_test(test_finer_bars_that_are_missing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
