/* What a person says of a trade, against its rules or beside them (docs/method.md 9),
 * worked out by hand. */
#include "trade/trade.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

#define assert_close(found, expected) assert_near(found, expected, 1e-9)

/* Fifteen quiet bars with a range of 2, the last of them the candle; then what follows.
 * The order to buy is at 101, the stop at 99, and 1 R is 2. */
enum { CANDLE = 14, BARS = 20 };

#define RULES                                                                                      \
    "setup: one\nside: long\ncandle: {shape: any}\n"                                               \
    "entry: {on: break_of_high, buffer_ticks: 0, valid: 3, late: take}\n"                          \
    "stop: {at: candle_low}\n"
#define TWO_TARGETS                                                                                \
    RULES "exit: {targets: [{r: 1, share: 0.5}, {r: 2, share: 0.5}], time_stop: 8}\n"
#define EVEN RULES "exit: {targets: [{r: 4}], break_even_at_r: 1}\n"

struct followed {
    struct trade trade;
    struct trade_path path;
    struct trade_standing standing;
};

/* The first `count` bars after the candle are known. */
static struct followed follow(const char *text, const double after[][4], size_t count,
                              const struct trade_word *list, size_t words)
{
    struct trade_terms terms = {.tick = {0.25, 25, 2}, .point_value = 1};
    const struct trade_words said = {list, words};
    struct followed found;
    struct error error;
    struct bars bars;
    struct setup setup;
    struct setup_view view;
    bars_init(&bars);
    for (int i = 0; i <= CANDLE; i++)
        add_bar(&bars, 100, 101, 99, 100);
    for (size_t i = 0; i < count; i++)
        add_bar(&bars, after[i][0], after[i][1], after[i][2], after[i][3]);
    if (setup_read(&setup, "test", text, strlen(text), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), 0);
    struct signal signal = {.candle = candle_of_bar(&view, CANDLE),
                            .at = CANDLE,
                            .state = SIGNAL_GIVEN};
    found.trade = trade_follow(&view, &terms, &signal, &said, &found.path, &found.standing);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
    return found;
}

/* A gap fills it at 102: 1 R is 3, the targets are 105 and 108, not 103 and 105. Half
 * leaves at 105; at the close of 104 it is 0.5 * 1 + 0.5 * 2 / 3. */
static void what_stands_after_a_gapped_fill(void **state)
{
    (void)state;
    static const double after[][4] = {{102, 103, 101.5, 102.5}, {103, 105.5, 103, 104}};
    struct followed one = follow(TWO_TARGETS, after, 1, NULL, 0);
    assert_int_equal(one.trade.reason, TRADE_OPEN);
    assert_close(one.trade.entry, 102);
    assert_close(one.standing.remaining, 1);
    assert_close(one.standing.stop, 99);
    assert_int_equal(one.standing.target_count, 2);
    assert_close(one.standing.targets[0], 105);
    assert_close(one.standing.targets[1], 108);
    assert_close(one.standing.shares[0], 0.5);
    assert_int_equal(one.standing.bars_left, 8);
    assert_close(one.standing.open_r, 0.5 / 3);
    struct followed two = follow(TWO_TARGETS, after, 2, NULL, 0);
    assert_close(two.standing.remaining, 0.5);
    assert_int_equal(two.standing.target_count, 1);
    assert_close(two.standing.targets[0], 108);
    assert_int_equal(two.standing.bars_left, 7);
    assert_close(two.standing.open_r, 0.5 + 0.5 * 2 / 3);
    assert_int_equal(two.path.count, 1);
}

/* High 103 is 1 R above 101: the stop stands at 101 for the coming bar. A person who put it
 * at 100 has it there until a rule raises it above: the next high of 103 does. */
static void a_stop_that_was_moved_stands(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 103, 100, 102},
                                      {102, 102.5, 100.5, 102},
                                      {102, 102, 99.5, 101}};
    const struct trade_word lower = {WORD_STOP, CANDLE + 1, 100, NAN};
    const struct trade_word same = {WORD_STOP, CANDLE + 1, 101, NAN};
    assert_close(follow(EVEN, after, 1, NULL, 0).standing.stop, 101);
    struct followed rules = follow(EVEN, after, 3, NULL, 0);
    assert_int_equal(rules.trade.reason, TRADE_BREAK_EVEN);
    assert_int_equal(rules.trade.exit_bar, CANDLE + 2);
    struct followed told = follow(EVEN, after, 3, &same, 1);
    assert_int_equal(told.trade.reason, TRADE_BREAK_EVEN);
    assert_memory_equal(&told.path, &rules.path, sizeof told.path);
    struct followed moved = follow(EVEN, after, 3, &lower, 1);
    assert_int_equal(moved.trade.reason, TRADE_STOP);
    assert_int_equal(moved.trade.exit_bar, CANDLE + 3);
    assert_close(moved.trade.exit, 100);
    assert_close(moved.trade.r, -0.5);
    /* Said after the newest bar, it stands for the coming one. */
    const struct trade_word now = {WORD_STOP, CANDLE + 1, 100.5, NAN};
    assert_close(follow(EVEN, after, 1, &now, 1).standing.stop, 100.5);
}

/* The nearest target is taken to 106, beyond the second at 105: that one comes first. */
static void a_target_that_was_moved_keeps_its_share(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 101.5, 100, 101},
                                      {102, 105.5, 102, 105},
                                      {105, 106, 104, 105}};
    const struct trade_word word = {WORD_TARGET, CANDLE + 1, 106, NAN};
    struct followed found = follow(TWO_TARGETS, after, 1, &word, 1);
    assert_close(found.standing.targets[0], 105);
    assert_close(found.standing.targets[1], 106);
    found = follow(TWO_TARGETS, after, 3, &word, 1);
    assert_int_equal(found.trade.reason, TRADE_TARGET);
    assert_close(found.trade.exit, (105 + 106) / 2.0);
}

/* Bought at 102 and not at 101, with the stop where it was: 1 R is 3. On a day without an
 * entry by the rules it counts as well. */
static void a_fill_elsewhere_counts(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 101.5, 100, 101}, {101, 105, 101, 104}};
    static const double low[][4] = {{100, 100.5, 99.5, 100}, {100, 100.5, 98, 98.5}};
    const struct trade_word word = {WORD_FILLED, CANDLE + 1, 102, NAN};
    struct followed found = follow(TWO_TARGETS, after, 2, &word, 1);
    assert_close(found.trade.entry, 102);
    assert_close(found.trade.risk, 3);
    assert_close(found.standing.remaining, 0.5);
    const struct trade_word early = {WORD_FILLED, CANDLE + 1, 100.25, NAN};
    found = follow(TWO_TARGETS, low, 2, &early, 1);
    assert_int_equal(found.trade.reason, TRADE_STOP);
    assert_close(found.trade.r, -1);
    assert_int_equal(follow(TWO_TARGETS, low, 2, NULL, 0).trade.reason, TRADE_UNFILLED);
    /* A day that has no bar yet. */
    const struct trade_word later = {WORD_FILLED, CANDLE + 2, 102, NAN};
    found = follow(TWO_TARGETS, after, 1, &later, 1);
    assert_int_equal(found.trade.reason, TRADE_OPEN);
    assert_close(found.standing.stop, 99);
    assert_close(found.standing.targets[0], 105);
    const struct trade_word beyond = {WORD_FILLED, CANDLE + 1, 98.75, NAN};
    found = follow(TWO_TARGETS, after, 2, &beyond, 1);
    assert_int_equal(found.trade.reason, TRADE_UNFILLED);
}

/* Closed at 100.5 although the rules have the stop reached the day before: it was held. */
static void a_person_who_closes_it_held_it(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 101.5, 100, 101},
                                      {101, 101, 98.5, 100},
                                      {100, 101, 99.5, 100.75},
                                      {100, 110, 100, 109}};
    const struct trade_word word = {WORD_CLOSED, CANDLE + 3, 100.5, NAN};
    assert_int_equal(follow(TWO_TARGETS, after, 4, NULL, 0).trade.reason, TRADE_STOP);
    struct followed found = follow(TWO_TARGETS, after, 4, &word, 1);
    assert_int_equal(found.trade.reason, TRADE_BY_HAND);
    assert_int_equal(found.trade.exit_bar, CANDLE + 3);
    assert_close(found.trade.exit, 100.5);
    assert_close(found.trade.r, -0.25);
    assert_close(found.trade.mae_r, (98.5 - 101) / 2);
    assert_close(found.standing.remaining, 0);
    /* Before its bar is known it is closed all the same. */
    found = follow(TWO_TARGETS, after, 2, &word, 1);
    assert_int_equal(found.trade.reason, TRADE_BY_HAND);
    assert_close(found.trade.r, -0.25);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_stands_after_a_gapped_fill),
        cmocka_unit_test(a_stop_that_was_moved_stands),
        cmocka_unit_test(a_target_that_was_moved_keeps_its_share),
        cmocka_unit_test(a_fill_elsewhere_counts),
        cmocka_unit_test(a_person_who_closes_it_held_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
