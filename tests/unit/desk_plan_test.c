/* Limits of an account against its open plans (docs/method.md 9.10), and the steps of a
 * plan; the sums are worked out by hand beside each. */
#include "base/calendar.h"
#include "desk/plan.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

/* 9 October 2024, a Wednesday (the calendar). */
enum { DAY = 20005, NOW = DAY * SECONDS_PER_DAY + 3600 };

static const struct currency euro = {"EUR", 2};

static struct plan plan_of(int64_t risk, bool is_short, const char *currency)
{
    struct plan plan = {.at_risk = {risk, euro},
                        .notional = {risk * 20, euro},
                        .is_short = is_short,
                        .taken = true,
                        .filled = INT64_MIN,
                        .made = NOW - 60,
                        .since = NOW - 60};
    strcpy(plan.currency, currency);
    return plan;
}

static void go(struct plan *plan, enum plan_step_kind kind, int64_t made, const char *result)
{
    struct plan_step step = {.kind = kind, .made = made, .at = INT64_MIN};
    strcpy(step.result, result);
    plan_step_take(plan, &step);
}

static void done(struct plan *plan, const char *r, int64_t at)
{
    go(plan, STEP_FILLED, at - 1, "");
    go(plan, STEP_DONE, at, r);
}

/* Whether a limit of `allowed` on the term is broken by a long plan of 100 euros in EUR on a
 * balance of 10,000. */
static bool breaks(const struct plan *plans, size_t count, enum account_term_id term,
                   const char *allowed)
{
    struct account_terms_set terms = {0};
    struct plan fresh = plan_of(10000, false, "EUR");
    struct breach breaches[TERM_COUNT];
    size_t found = 0;
    strcpy(terms.text[term], allowed);
    const struct limit_question question = {&terms, {1000000, euro}, plans, count, &fresh, NOW};
    assert_true(limits_check(&question, breaches, &found));
    assert_true(found == 0 || breaches[0].term == term);
    return found == 1;
}

static void risk_adds_up_beside_the_open_plans(void **state)
{
    (void)state;
    struct plan plans[] = {plan_of(20000, false, "EUR"), plan_of(15000, true, "EUR"),
                           plan_of(5000, false, "USD"), plan_of(90000, false, "EUR")};
    go(&plans[3], STEP_WITHDRAWN, NOW - 30, "");
    /* 100 + 200 + 150 + 50 = 5 %; long 100 + 200 + 50 = 3.5 %; EUR 100 + 200 + 150 = 4.5 %;
     * twenty times the risk: 1 balance. The last one is open no more. */
    assert_false(breaks(plans, 4, TERM_OPEN_RISK, "5"));
    assert_true(breaks(plans, 4, TERM_OPEN_RISK, "4.99"));
    assert_false(breaks(plans, 4, TERM_SIDE_RISK, "3.5"));
    assert_true(breaks(plans, 4, TERM_SIDE_RISK, "3.4"));
    assert_false(breaks(plans, 4, TERM_CURRENCY_RISK, "4.5"));
    assert_true(breaks(plans, 4, TERM_CURRENCY_RISK, "4.4"));
    assert_false(breaks(plans, 4, TERM_LEVERAGE, "1"));
    assert_true(breaks(plans, 4, TERM_LEVERAGE, "0.99"));
    /* An instrument without a currency is one of the account's. */
    plans[0].currency[0] = '\0';
    assert_false(breaks(plans, 4, TERM_CURRENCY_RISK, "4.5"));
    assert_true(breaks(plans, 4, TERM_CURRENCY_RISK, "4.4"));
}

static void trades_are_counted_on_the_day_of_their_entry(void **state)
{
    (void)state;
    struct plan plans[] = {plan_of(1, false, "EUR"), plan_of(1, false, "EUR"),
                           plan_of(1, false, "EUR"), plan_of(1, false, "EUR"),
                           plan_of(1, false, "EUR")};
    const int64_t today = (int64_t)DAY * SECONDS_PER_DAY;
    for (size_t i = 0; i < 5; i++)
        plans[i].made = today - SECONDS_PER_DAY;
    go(&plans[0], STEP_FILLED, today, "");
    go(&plans[0], STEP_DONE, NOW, "1");
    go(&plans[1], STEP_FILLED, today - 1, "");
    go(&plans[1], STEP_DONE, NOW, "1");
    go(&plans[2], STEP_WITHDRAWN, NOW, "");
    go(&plans[3], STEP_LAPSED, NOW, "");
    /* The first, entered today; the last, which waits; and the new one. */
    assert_false(breaks(plans, 5, TERM_DAY_TRADES, "3"));
    assert_true(breaks(plans, 5, TERM_DAY_TRADES, "2"));
}

static void losses_are_those_of_the_day_and_the_week(void **state)
{
    (void)state;
    struct plan plans[] = {plan_of(1, false, "EUR"), plan_of(1, false, "EUR"),
                           plan_of(1, false, "EUR"), plan_of(1, false, "EUR"),
                           plan_of(1, false, "EUR")};
    const int64_t today = (int64_t)DAY * SECONDS_PER_DAY;
    const int64_t monday = today - 2 * SECONDS_PER_DAY;
    done(&plans[0], "2", monday - 1);
    done(&plans[1], "-1.5", monday);
    done(&plans[2], "-0.5", today - 1);
    done(&plans[3], "-1", today);
    done(&plans[4], "-0.25", NOW - 900);
    assert_true(breaks(plans, 5, TERM_DAY_LOSS, "1.25"));
    assert_false(breaks(plans, 5, TERM_DAY_LOSS, "1.26"));
    assert_true(breaks(plans, 5, TERM_WEEK_LOSS, "3.25"));
    assert_false(breaks(plans, 5, TERM_WEEK_LOSS, "3.26"));
    assert_true(breaks(plans, 5, TERM_PAUSE, "4"));
    assert_false(breaks(plans, 5, TERM_PAUSE, "5"));
}

static void nothing_lost_ends_a_row_of_losses(void **state)
{
    (void)state;
    struct plan plans[] = {plan_of(1, false, "EUR"), plan_of(1, false, "EUR")};
    done(&plans[0], "-1", NOW - 900);
    assert_true(breaks(plans, 2, TERM_PAUSE, "1"));
    done(&plans[1], "-0", NOW - 600);
    assert_false(breaks(plans, 2, TERM_PAUSE, "1"));
    done(&plans[1], "-0.00", NOW - 600);
    assert_false(breaks(plans, 2, TERM_PAUSE, "1"));
    done(&plans[1], "-0.01", NOW - 600);
    assert_true(breaks(plans, 2, TERM_PAUSE, "2"));
}

/* What is said of a limit of 5 % on this balance with 500 euros at risk. */
static void says(int64_t balance, const char *expected)
{
    struct account_terms_set terms = {.text[TERM_OPEN_RISK] = "5"};
    struct plan fresh = plan_of(50000, false, "EUR");
    struct breach breaches[TERM_COUNT];
    struct text text;
    size_t found = 0;
    const struct limit_question question = {&terms, {balance, euro}, NULL, 0, &fresh, NOW};
    assert_true(limits_check(&question, breaches, &found));
    assert_int_equal(found, 1);
    text_init(&text);
    breach_words(&text, &breaches[0]);
    assert_string_equal(text.bytes, expected);
    text_free(&text);
}

static void what_is_beyond_a_limit_looks_so(void **state)
{
    (void)state;
    says(950000, "the open risk would be 5.26 %, and the limit is 5 %");
    /* 500 over 9,999.99 is 5.000005… % */
    says(999999, "the open risk would be 5.000005 %, and the limit is 5 %");
}

static void shares_are_of_a_balance_above_0(void **state)
{
    (void)state;
    struct account_terms_set terms = {.text[TERM_OPEN_RISK] = "5"};
    struct plan fresh = plan_of(50000, false, "EUR");
    struct breach breaches[TERM_COUNT];
    size_t found;
    for (int64_t balance = -1; balance <= 0; balance++) {
        const struct limit_question question = {&terms, {balance, euro}, NULL, 0, &fresh, NOW};
        assert_false(limits_check(&question, breaches, &found));
    }
}

static void steps_follow_one_another(void **state)
{
    (void)state;
    struct error error;
    struct plan plan = plan_of(1, false, "EUR");
    assert_int_equal(plan_step_check(&plan, plan.state, STEP_DONE, false, &error), ERROR_INPUT);
    assert_int_equal(plan_step_check(&plan, plan.state, STEP_PLACED, false, &error), 0);
    go(&plan, STEP_PLACED, NOW, "");
    assert_true(plan.placed && plan_is_open(&plan));
    assert_int_equal(plan_step_check(&plan, plan.state, STEP_PLACED, false, &error), ERROR_INPUT);
    go(&plan, STEP_FILLED, NOW, "");
    assert_int_equal(plan_step_check(&plan, plan.state, STEP_WITHDRAWN, false, &error),
                     ERROR_INPUT);
    assert_int_equal(plan_step_check(&plan, plan.state, STEP_DONE, false, &error), 0);
    go(&plan, STEP_DONE, NOW, "-1");
    assert_false(plan_is_open(&plan));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(risk_adds_up_beside_the_open_plans),
        cmocka_unit_test(losses_are_those_of_the_day_and_the_week),
        cmocka_unit_test(trades_are_counted_on_the_day_of_their_entry),
        cmocka_unit_test(nothing_lost_ends_a_row_of_losses),
        cmocka_unit_test(what_is_beyond_a_limit_looks_so),
        cmocka_unit_test(shares_are_of_a_balance_above_0),
        cmocka_unit_test(steps_follow_one_another),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
