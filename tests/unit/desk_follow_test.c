/* Plans followed, worked out by hand: what state they are in, what to do next, what a
 * person's word makes of them and what the rules alone would have (docs/method.md 9). */
#include "desk/follow.h"
#include "market/adjust.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

#define assert_close(found, expected) assert_near(found, expected, 1e-9)

/* Fifteen quiet bars from 99 to 101, the last of them the candle; then what follows. */
enum { CANDLE = 14, DAY_OF_CANDLE = SAMPLE_FIRST_DAY + CANDLE * 86400, MOST_STEPS = 6 };

#define RULES                                                                                      \
    "setup: one\nside: long\ncandle: {shape: any}\n"                                               \
    "entry: {on: break_of_high, buffer_ticks: 0, valid: 3, late: take}\nstop: {at: candle_low}\n"
static const char one_target[] = RULES "exit: {targets: [{r: 2}]}\n";
static const char two_targets[] = RULES
    "exit: {targets: [{r: 1, share: 0.5}, {r: 2, share: 0.5}], time_stop: 3}\n";
static const char even[] = RULES "exit: {targets: [{r: 4}], break_even_at_r: 1}\n";
static const char trail[] = RULES "exit: {trail: {lowest_low: {bars: 2}}}\n";
static const char close_above
    [] = "setup: one\nside: long\ncandle: {shape: any}\n"
         "entry: {on: close_above_high, buffer_ticks: 0, valid: 3}\nstop: {at: candle_low}\n"
         "exit: {targets: [{r: 2}]}\n";

/* A plan at 101, with the stop at 99 and the target at 105, for 17 units; or by hand, with
 * other lines. */
struct one {
    struct plan plan;
    struct plan_rule rule;
    struct plan_step steps[MOST_STEPS];
    size_t step_count;
    struct action action; /* value 0: none */
};

static void begin(struct one *one, const char *text)
{
    *one = (struct one){.plan = {.id = 1,
                                 .state = PLAN_WAITING,
                                 .taken = true,
                                 .entry = "101",
                                 .stop = "99",
                                 .target = "105",
                                 .size = "17"},
                        .rule = {.text = (char *)text,
                                 .signal = DAY_OF_CANDLE,
                                 .candle = DAY_OF_CANDLE}};
}

/* Said of the bar so many days after the candle. */
static void say(struct one *one, enum plan_step_kind kind, int day, const char *price)
{
    struct plan_step *step = &one->steps[one->step_count++];
    *step = (struct plan_step){.kind = kind, .at = DAY_OF_CANDLE + day * 86400};
    snprintf(step->price, sizeof step->price, "%s", price);
    plan_step_take(&one->plan, step);
}

static struct followed follow(const struct one *one, const double after[][4], size_t count)
{
    struct trade_terms terms = {.tick = {0.25, 25, 2}, .point_value = 1};
    struct followed followed;
    struct error error;
    struct bars bars;
    struct setup setup;
    struct setup_view view;
    bool by_hand = one->rule.text[0] == '\0';
    bars_init(&bars);
    for (int i = 0; i <= CANDLE; i++)
        add_bar(&bars, 100, 101, 99, 100);
    for (size_t i = 0; i < count; i++)
        add_bar(&bars, after[i][0], after[i][1], after[i][2], after[i][3]);
    if (one->action.value != 0)
        assert_int_equal(bars_adjust(&bars, &one->action, 1, ADJUST_SPLITS,
                                     bars.time[bars.count - 1], &error),
                         0);
    if ((by_hand ? plan_hand_setup(&one->plan, &setup, &error)
                 : setup_read(&setup, "test", one->rule.text, strlen(one->rule.text), &error)) !=
        ERROR_NONE)
        fail_msg("%s", error.text);
    if (by_hand)
        assert_true(plan_hand_lines(&one->plan, &one->rule, &bars, CANDLE, &setup));
    struct sheet *sheet = sheet_new(&bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), 0);
    const struct follow_question question = {&one->plan, &one->rule, &view,
                                             &terms,     one->steps, one->step_count};
    assert_int_equal(plan_follow(&question, &followed, &error), 0);
    sheet_free(sheet);
    setup_free(&setup);
    bars_free(&bars);
    return followed;
}

static void assert_task(const struct followed *followed, size_t index, enum task_kind kind,
                        double price, double share)
{
    assert_true(index < followed->task_count);
    assert_int_equal(followed->tasks[index].kind, kind);
    if (isnan(price))
        assert_true(isnan(followed->tasks[index].price));
    else
        assert_close(followed->tasks[index].price, price);
    assert_close(followed->tasks[index].share, share);
}

/* --- waiting, and its end ------------------------------------------------------------------ */

static void an_order_is_placed_once_and_cancelled_when_it_lapses(void **state)
{
    (void)state;
    static const double quiet[][4] = {{100, 100.5, 99.5, 100},
                                      {100, 100.5, 99.5, 100},
                                      {100, 100.5, 99.5, 100}};
    struct one one;
    begin(&one, one_target);
    struct followed found = follow(&one, quiet, 1);
    assert_int_equal(found.state, PLAN_WAITING);
    assert_task(&found, 0, TASK_PLACE, 101, 1);
    assert_int_equal(found.path.awaited.bars_left, 2);
    say(&one, STEP_PLACED, 0, "");
    assert_int_equal(follow(&one, quiet, 1).task_count, 0);
    found = follow(&one, quiet, 3);
    assert_int_equal(found.state, PLAN_LAPSED);
    assert_string_equal(found.note, "the entry was not reached in time");
    assert_task(&found, 0, TASK_CANCEL, NAN, 1);
    say(&one, STEP_LAPSED, 3, "");
    assert_int_equal(follow(&one, quiet, 3).task_count, 0);
}

static void an_entry_that_waits_for_a_close_is_typed_after_it(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 101.5, 100, 101},
                                      {101, 102, 100.5, 101.5},
                                      {101.75, 102, 101, 102}};
    struct one one;
    begin(&one, close_above);
    struct followed found = follow(&one, after, 1);
    assert_int_equal(found.state, PLAN_WAITING);
    assert_task(&found, 0, TASK_WAIT, 101, 1);
    found = follow(&one, after, 2);
    assert_task(&found, 0, TASK_PLACE, NAN, 1);
    /* What was said to be placed before the close was not this. */
    say(&one, STEP_PLACED, 0, "");
    found = follow(&one, after, 2);
    assert_task(&found, 0, TASK_PLACE, NAN, 1);
    found = follow(&one, after, 3);
    assert_int_equal(found.state, PLAN_IN_TRADE);
    assert_close(found.trade.entry, 101.75);
}

static void an_order_for_the_open_is_placed_once(void **state)
{
    (void)state;
    static const char open[] = "setup: one\nside: long\ncandle: {shape: any}\n"
                               "entry: {on: next_open}\nstop: {at: candle_low}\n"
                               "exit: {targets: [{r: 2}]}\n";
    struct one one;
    begin(&one, open);
    struct followed found = follow(&one, NULL, 0);
    assert_task(&found, 0, TASK_PLACE, NAN, 1);
    say(&one, STEP_PLACED, 0, "");
    assert_int_equal(follow(&one, NULL, 0).task_count, 0);
}

/* --- in trade ---------------------------------------------------------------------------------- */

/* Filled by a gap at 102: 1 R is 3, the target of 2 R is 108 and not 105. */
static void after_a_gapped_fill_the_target_moves(void **state)
{
    (void)state;
    static const double after[][4] = {{102, 103, 101.5, 102}};
    struct one one;
    begin(&one, one_target);
    struct followed found = follow(&one, after, 1);
    assert_int_equal(found.state, PLAN_IN_TRADE);
    assert_task(&found, 0, TASK_SAY_PLACED, NAN, 1);
    assert_task(&found, 1, TASK_MOVE_TARGET, 108, 1);
    say(&one, STEP_PLACED, 0, "");
    say(&one, STEP_MOVED_TARGET, 1, "108");
    found = follow(&one, after, 1);
    assert_int_equal(found.task_count, 0);
    assert_false(found.differs);
}

/* The line that was typed has 105 for all: half of it goes to 103 and half stays at 105. Once
 * the first half is left the stop is too large. */
static void parts_have_orders_of_their_own(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 101.5, 100, 101},
                                      {101, 103.5, 101, 103},
                                      {103, 104, 102, 103}};
    struct one one;
    begin(&one, two_targets);
    strcpy(one.plan.target, "103");
    say(&one, STEP_PLACED, 0, "");
    struct followed found = follow(&one, after, 1);
    assert_int_equal(found.task_count, 2);
    assert_task(&found, 0, TASK_MOVE_TARGET, 103, 0.5);
    assert_task(&found, 1, TASK_PLACE_TARGET, 105, 0.5);
    say(&one, STEP_MOVED_TARGET, 1, "103");
    found = follow(&one, after, 2);
    assert_int_equal(found.task_count, 1);
    assert_task(&found, 0, TASK_MOVE_STOP, 99, 0.5);
    say(&one, STEP_MOVED_STOP, 2, "99");
    assert_int_equal(follow(&one, after, 2).task_count, 0);
    /* Three bars after the entry it is left by time: at the coming close. */
    found = follow(&one, after, 3);
    assert_int_equal(found.task_count, 1);
    assert_task(&found, 0, TASK_LEAVE_AT_CLOSE, NAN, 0.5);
}

static void break_even_and_trail_say_where_the_stop_goes(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 103, 100, 102.5},
                                      {102.5, 103, 101.5, 103},
                                      {103, 103.5, 101, 101.25}};
    struct one one;
    begin(&one, even);
    strcpy(one.plan.target, "109");
    say(&one, STEP_PLACED, 0, "");
    struct followed found = follow(&one, after, 1);
    assert_int_equal(found.task_count, 1);
    assert_task(&found, 0, TASK_MOVE_STOP, 101, 1);
    /* Lowest lows of two bars: 99 as it was, 100, and 101 of the third bar's own: reached. */
    begin(&one, trail);
    one.plan.target[0] = '\0';
    say(&one, STEP_PLACED, 0, "");
    assert_int_equal(follow(&one, after, 1).task_count, 0);
    found = follow(&one, after, 2);
    assert_task(&found, 0, TASK_MOVE_STOP, 100, 1);
    say(&one, STEP_MOVED_STOP, 2, "100");
    assert_int_equal(follow(&one, after, 2).task_count, 0);
    found = follow(&one, after, 3);
    assert_task(&found, 0, TASK_MOVE_STOP, 101, 1);
}

/* --- a person's word ---------------------------------------------------------------------------- */

/* The rules buy at 101 and leave at 105 on the second day. */
static const double rising[][4] = {{100, 102, 100, 101.5},
                                   {101.5, 105, 101, 104},
                                   {104, 106, 103, 105}};

static void a_fill_elsewhere_is_another_trade(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    say(&one, STEP_FILLED, 1, "101.5");
    struct followed found = follow(&one, rising, 3);
    assert_close(found.trade.entry, 101.5);
    assert_close(found.trade.target, 106.5);
    assert_int_equal(found.state, PLAN_IN_TRADE);
    assert_true(found.differs);
    assert_int_equal(found.rules.reason, TRADE_TARGET);
    assert_close(found.rules.r, 2);
    /* A second word corrects the first. */
    say(&one, STEP_FILLED, 1, "101");
    assert_false(follow(&one, rising, 3).differs);
    /* One without a price is the fill that the rules have. */
    begin(&one, one_target);
    say(&one, STEP_FILLED, 2, "");
    found = follow(&one, rising, 3);
    assert_false(found.differs);
    assert_int_equal(found.trade.entry_bar, CANDLE + 1);
}

/* On a day that is not in the book yet: what the close before it says of R is not told. */
static void a_fill_whose_bar_is_to_come_has_no_r_yet(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    say(&one, STEP_FILLED, 2, "101.5");
    struct followed found = follow(&one, rising, 1);
    assert_int_equal(found.state, PLAN_IN_TRADE);
    assert_true(found.fill_to_come == DAY_OF_CANDLE + 2 * 86400);
    assert_true(isnan(found.standing.open_r));
    assert_close(found.standing.stop, 99);
    found = follow(&one, rising, 2);
    assert_true(found.fill_to_come == INT64_MIN);
    assert_int_equal(found.trade.entry_bar, CANDLE + 2);
    assert_close(found.standing.open_r, 1);
}

static void closed_early_is_done_at_its_price(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    say(&one, STEP_PLACED, 0, "");
    say(&one, STEP_CLOSED, 1, "101.5");
    struct followed found = follow(&one, rising, 2);
    assert_int_equal(found.state, PLAN_DONE);
    assert_int_equal(found.trade.reason, TRADE_BY_HAND);
    assert_close(found.trade.r, 0.25);
    assert_close(found.rules.r, 2);
    assert_int_equal(found.task_count, 0);
}

static void moved_lines_count_and_the_rules_go_on_beside(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    say(&one, STEP_PLACED, 0, "");
    say(&one, STEP_MOVED_STOP, 1, "101.25");
    struct followed found = follow(&one, rising, 2);
    assert_int_equal(found.state, PLAN_DONE);
    assert_close(found.trade.r, 0.125); /* the low of 101 reaches it first */
    assert_int_equal(found.rules.reason, TRADE_TARGET);
    assert_task(&found, 0, TASK_SAY_CLOSED, NAN, 1);
}

static void withdrawn_and_done_keep_what_the_rules_would_have_done(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    say(&one, STEP_WITHDRAWN, 0, "");
    struct followed found = follow(&one, rising, 2);
    assert_int_equal(found.state, PLAN_WITHDRAWN);
    assert_int_equal(found.task_count, 0);
    assert_close(found.rules.r, 2);
    begin(&one, one_target);
    say(&one, STEP_FILLED, 1, "");
    strcpy(one.steps[one.step_count].result, "1.5");
    say(&one, STEP_DONE, 2, "");
    strcpy(one.steps[1].result, "1.5");
    found = follow(&one, rising, 2);
    assert_int_equal(found.state, PLAN_DONE);
    assert_string_equal(found.result, "1.5");
}

/* --- by hand, and splits ------------------------------------------------------------------------- */

static void by_hand_it_is_followed_by_its_three_prices(void **state)
{
    (void)state;
    struct one one;
    begin(&one, "");
    struct followed found = follow(&one, rising, 0);
    assert_task(&found, 0, TASK_PLACE, 101, 1);
    found = follow(&one, rising, 2);
    assert_int_equal(found.trade.reason, TRADE_TARGET);
    assert_task(&found, 0, TASK_SAY_PLACED, NAN, 1);
    assert_task(&found, 1, TASK_SAY_CLOSED, NAN, 1);
    assert_close(found.trade.r, 2);
    /* Below the close it is a limit order, and stays until it is taken back. */
    strcpy(one.plan.entry, "99.5");
    strcpy(one.plan.stop, "98");
    found = follow(&one, rising, 3);
    assert_int_equal(found.state, PLAN_WAITING);
    assert_int_equal(found.path.awaited.what, AWAITS_PULLBACK);
    /* The other side. */
    strcpy(one.plan.entry, "101");
    strcpy(one.plan.stop, "102.5");
    strcpy(one.plan.target, "98");
    one.plan.is_short = true;
    found = follow(&one, rising, 2);
    assert_close(found.trade.entry, 101);
    assert_int_equal(found.trade.reason, TRADE_STOP);
    assert_close(found.trade.r, -1);
}

/* From the second day on there are two units for each. A stop of 100 was moved before it. */
static void a_split_moves_the_lines(void **state)
{
    (void)state;
    static const double after[][4] = {{100, 102, 100, 101.5}, {50.5, 51, 50.25, 50.75}};
    struct one one;
    begin(&one, one_target);
    one.action = (struct action){DAY_OF_CANDLE + 2 * 86400, ACTION_SPLIT, 2};
    say(&one, STEP_PLACED, 0, "");
    say(&one, STEP_MOVED_STOP, 1, "100");
    struct followed found = follow(&one, after, 1);
    assert_false(found.rescaled);
    assert_close(found.standing.stop, 100);
    found = follow(&one, after, 2);
    assert_true(found.rescaled);
    assert_close(found.scale.split, 2);
    assert_close(found.entry, 50.5);
    assert_close(found.stop, 49.5);
    assert_close(found.target, 52.5);
    assert_close(found.trade.entry, 50.5);
    assert_close(found.standing.stop, 50);
    assert_close(found.standing.targets[0], 52.5);
    assert_int_equal(found.task_count, 0);
}

static void a_bar_that_is_gone_is_not_followed(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    one.rule.signal += 3600;
    struct followed found = follow(&one, rising, 2);
    assert_false(found.known);
    assert_int_equal(found.state, PLAN_WAITING);
}

/* What the bars made of a plan that nobody spoke of: it was bought on the first day, and left at
 * 105 on the second. */
static void a_plan_is_brought_to_what_the_bars_made_of_it(void **state)
{
    (void)state;
    struct one one;
    struct bars bars;
    bars_init(&bars);
    for (int i = 0; i < CANDLE + 3; i++)
        add_bar(&bars, 100, 101, 99, 100);
    begin(&one, one_target);
    one.plan.filled = INT64_MIN;
    struct followed found = follow(&one, rising, 2);
    plan_settle(&one.plan, &found, &bars);
    assert_int_equal(one.plan.state, PLAN_DONE);
    assert_string_equal(one.plan.result, "2.00");
    assert_true(one.plan.filled == DAY_OF_CANDLE + 86400);
    assert_true(one.plan.since == DAY_OF_CANDLE + 2 * 86400);
    begin(&one, one_target);
    found.known = false;
    plan_settle(&one.plan, &found, &bars);
    assert_int_equal(one.plan.state, PLAN_WAITING);
    bars_free(&bars);
}

/* The bars put right since: the low of the candle was 98.5 when the plan was made. */
static void bars_that_are_others_now_are_said(void **state)
{
    (void)state;
    struct one one;
    begin(&one, one_target);
    assert_false(follow(&one, rising, 1).restated);
    strcpy(one.plan.stop, "98.5");
    struct followed found = follow(&one, rising, 1);
    assert_true(found.restated);
    assert_close(found.standing.stop, 99);
    begin(&one, "");
    strcpy(one.plan.stop, "98.5");
    assert_false(follow(&one, rising, 1).restated);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_order_is_placed_once_and_cancelled_when_it_lapses),
        cmocka_unit_test(an_entry_that_waits_for_a_close_is_typed_after_it),
        cmocka_unit_test(an_order_for_the_open_is_placed_once),
        cmocka_unit_test(after_a_gapped_fill_the_target_moves),
        cmocka_unit_test(parts_have_orders_of_their_own),
        cmocka_unit_test(break_even_and_trail_say_where_the_stop_goes),
        cmocka_unit_test(a_fill_elsewhere_is_another_trade),
        cmocka_unit_test(a_fill_whose_bar_is_to_come_has_no_r_yet),
        cmocka_unit_test(closed_early_is_done_at_its_price),
        cmocka_unit_test(moved_lines_count_and_the_rules_go_on_beside),
        cmocka_unit_test(withdrawn_and_done_keep_what_the_rules_would_have_done),
        cmocka_unit_test(by_hand_it_is_followed_by_its_three_prices),
        cmocka_unit_test(a_split_moves_the_lines),
        cmocka_unit_test(a_plan_is_brought_to_what_the_bars_made_of_it),
        cmocka_unit_test(bars_that_are_others_now_are_said),
        cmocka_unit_test(a_bar_that_is_gone_is_not_followed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
