/* Limits of an account against its open plans, and the steps of a plan; the sums are
 * worked out by hand beside each. */
#include "base/calendar.h"
#include "desk/plan.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

/* A Wednesday. */
enum { DAY = 20006, NOW = DAY * SECONDS_PER_DAY + 3600 };

static const struct currency euro = {"EUR", 2};

static struct plan plan_of(int64_t risk, bool is_short, const char *currency)
{
    struct plan plan = {.at_risk = {risk, euro},
                        .notional = {risk * 20, euro},
                        .is_short = is_short,
                        .taken = true,
                        .made = NOW - 60,
                        .since = NOW - 60};
    strcpy(plan.currency, currency);
    return plan;
}

static void done(struct plan *plan, const char *r, int64_t at)
{
    plan_step_take(plan, STEP_FILLED, at, "");
    plan_step_take(plan, STEP_DONE, at, r);
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
    plan_step_take(&plans[3], STEP_WITHDRAWN, NOW - 30, "");
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
    /* Three taken today and the new one; the withdrawn one does not count. */
    assert_false(breaks(plans, 4, TERM_DAY_TRADES, "4"));
    assert_true(breaks(plans, 4, TERM_DAY_TRADES, "3"));
}

static void losses_are_those_of_the_day_and_the_week(void **state)
{
    (void)state;
    struct plan plans[] = {plan_of(1, false, "EUR"), plan_of(1, false, "EUR"),
                           plan_of(1, false, "EUR"), plan_of(1, false, "EUR")};
    done(&plans[0], "2", NOW - 5 * SECONDS_PER_DAY);    /* Friday */
    done(&plans[1], "-1.5", NOW - 2 * SECONDS_PER_DAY); /* Monday */
    done(&plans[2], "-1", NOW - 1800);
    done(&plans[3], "-0.25", NOW - 900);
    assert_true(breaks(plans, 4, TERM_DAY_LOSS, "1.25"));
    assert_false(breaks(plans, 4, TERM_DAY_LOSS, "1.26"));
    assert_true(breaks(plans, 4, TERM_WEEK_LOSS, "2.75"));
    assert_false(breaks(plans, 4, TERM_WEEK_LOSS, "2.76"));
    assert_true(breaks(plans, 4, TERM_PAUSE, "3"));
    assert_false(breaks(plans, 4, TERM_PAUSE, "4"));
}

static void steps_follow_one_another(void **state)
{
    (void)state;
    struct error error;
    struct plan plan = plan_of(1, false, "EUR");
    assert_int_equal(plan_step_check(&plan, STEP_DONE, &error), ERROR_INPUT);
    assert_int_equal(plan_step_check(&plan, STEP_PLACED, &error), 0);
    plan_step_take(&plan, STEP_PLACED, NOW, "");
    assert_true(plan.placed && plan_is_open(&plan));
    assert_int_equal(plan_step_check(&plan, STEP_PLACED, &error), ERROR_INPUT);
    plan_step_take(&plan, STEP_FILLED, NOW, "");
    assert_int_equal(plan_step_check(&plan, STEP_WITHDRAWN, &error), ERROR_INPUT);
    assert_int_equal(plan_step_check(&plan, STEP_DONE, &error), 0);
    plan_step_take(&plan, STEP_DONE, NOW, "-1");
    assert_false(plan_is_open(&plan));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(risk_adds_up_beside_the_open_plans),
        cmocka_unit_test(losses_are_those_of_the_day_and_the_week),
        cmocka_unit_test(steps_follow_one_another),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
