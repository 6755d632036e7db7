#include "work/plan.h"

#include "base/number.h"
#include "work/plan_follow.h"
#include "work/plan_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Limits are shares of a balance: without one nothing can be taken. What is passed by breaks
 * none, and needs a balance only where the risk is a share of it. */
static int need_balance(const struct account_view *view, bool needed, struct error *error)
{
    char balance[MONEY_TEXT_SIZE];
    if (!needed || view->balance.units > 0)
        return ERROR_NONE;
    money_format(balance, &view->balance);
    return error_because(error, ERROR_INPUT, ERROR_REASON_NO_BALANCE,
                         "%s: its balance is %s %s; above 0 is needed to plan with it, and to pass "
                         "by with a risk that is a share of it",
                         view->account.name, balance, view->balance.currency.code);
}

static int read_terms(struct work *work, const struct plan_wish *wish,
                      const struct account_view *view, struct plan_made *made, struct error *error)
{
    const char *risk = wish->risk != NULL ? wish->risk : view->terms.text[TERM_RISK];
    int code = ERROR_NONE;
    if (risk[0] == '\0')
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_RISK,
                             "%s: no risk of a trade is set", view->account.name);
    made->found.wish.balance = view->balance;
    made->found.wish.rates = &made->rates;
    code = risk_read("risk", risk, &view->account.currency, &made->found.wish.risk, error);
    if (code == ERROR_NONE)
        code = need_balance(view, wish->taken || made->found.wish.risk.by_percent, error);
    if (code == ERROR_NONE && wish->rates != NULL)
        code = size_rates_read(work, wish->rates, &made->rates, error);
    return code == ERROR_NONE ? known_rates_add(work, &made->rates, error) : code;
}

/* No more is risked than the limit on open risk leaves, and no more held than the account's
 * leverage allows. */
static int hold_down(const struct account_view *view, struct plan_made *made, struct error *error)
{
    struct size_wish *size = &made->found.wish;
    struct fraction share;
    size->own_leverage = account_leverage(view);
    if (!account_term_number(&view->terms, TERM_OPEN_RISK, &share))
        return ERROR_NONE;
    struct fraction all = fraction_multiply(money_fraction(&view->balance),
                                            fraction_divide(share, fraction_of(100, 1)));
    size->limited = true;
    if (!money_at_most(all, &view->account.currency, &size->room) ||
        !money_subtract(&size->room, &made->open_risk))
        return error_set(error, ERROR_INPUT, "the open risk is too large to be reckoned exactly");
    return ERROR_NONE;
}

/* What a plan is worked out from, once it is known. */
struct sources {
    const struct plan_wish *wish;
    const struct account_view *view;
    const struct size_case *opened;
    const struct order_words *words;
    struct fraction target; /* on the tick once there is a size; failed: none */
    struct plan *open;      /* of the account, with those that are closed */
    size_t open_count;
};

static int fill_plan(const struct sources *from, struct plan_made *made, struct error *error)
{
    const struct plan_wish *wish = from->wish;
    const struct account_view *view = from->view;
    const struct bars *bars = &from->opened->series.bars;
    struct plan *plan = &made->plan;
    const struct sizing *sizing = &made->found.sizing;
    const struct instrument *instrument = &made->found.wish.instrument;
    size_t count = bars_complete(bars);
    char text[FRACTION_TEXT_SIZE];
    plan->account = view->account.id;
    plan->known = count > 0 ? bars->time[count - 1] : INT64_MIN;
    snprintf(plan->account_name, sizeof plan->account_name, "%s", view->account.name);
    snprintf(plan->instrument, sizeof plan->instrument, "%s", instrument->name);
    snprintf(plan->currency, sizeof plan->currency, "%s", instrument->currency);
    if (wish->setup != NULL)
        snprintf(plan->setup, sizeof plan->setup, "%s", wish->setup->name);
    plan->is_short = sizing->is_short;
    plan->taken = wish->taken;
    plan_price_words(text, instrument, sizing->entry);
    snprintf(plan->entry, sizeof plan->entry, "%s", text);
    plan_price_words(text, instrument, sizing->stop);
    snprintf(plan->stop, sizeof plan->stop, "%s", text);
    plan_price_words(text, instrument, from->target);
    snprintf(plan->target, sizeof plan->target, "%s", text);
    fraction_format(text, sizing->size, 0, 15);
    snprintf(plan->size, sizeof plan->size, "%s", text);
    plan->at_risk = sizing->at_risk;
    plan->notional = sizing->notional;
    made->reward_r = size_reward(&made->found.wish, sizing, from->target);
    return plan_make_lines(plan, instrument, from->words) ? ERROR_NONE : error_memory(error);
}

static int read_open(struct work *work, const struct account_view *view, struct plan **plans,
                     size_t *count, struct error *error)
{
    struct book *book = NULL;
    *plans = NULL;
    *count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = plan_store_all(book, view->account.id, work_known_until(work), plans, count, error);
    work_return(work, book);
    return code == ERROR_NONE ? plans_settle(work, *plans, *count, work_known_until(work), error)
                              : code;
}

int plan_check_limits(const struct work *work, const struct account_view *view,
                      const struct plan *plans, size_t count, struct plan_made *made,
                      struct error *error)
{
    made->breach_count = 0;
    if (view->balance.units <= 0)
        return need_balance(view, made->plan.taken, error);
    const struct limit_question question = {.terms = &view->terms,
                                            .balance = view->balance,
                                            .plans = plans,
                                            .count = count,
                                            .fresh = &made->plan,
                                            .now = work_known_until(work)};
    if (limits_check(&question, made->breaches, &made->breach_count))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "%s: the limits cannot be reckoned exactly; the sums are too large",
                     view->account.name);
}

/* A target by hand goes to the tick away from the entry, and has to be beyond it there: a
 * setup's is both. */
static int set_target(struct sources *from, const struct plan_made *made, struct error *error)
{
    const struct sizing *sizing = &made->found.sizing;
    if (from->wish->setup != NULL || from->wish->target == NULL)
        return ERROR_NONE;
    bool held = size_on_tick(&made->found.wish.instrument, !sizing->is_short, &from->target);
    if (held && fraction_compare(from->target, sizing->entry) == (sizing->is_short ? -1 : 1))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "target: found '%.40s'; a price %s the entry, away from the stop, is allowed",
                     from->wish->target, sizing->is_short ? "below" : "above");
}

static int work_out(struct work *work, struct sources *from, bool held, struct plan_made *made,
                    struct error *error)
{
    struct size_wish *size = &made->found.wish;
    size->own_leverage = fraction_of_number(NAN);
    size->limited = false;
    int code = held ? hold_down(from->view, made, error) : ERROR_NONE;
    if (code == ERROR_NONE)
        code = size_find(from->opened, &made->found, error);
    if (code == ERROR_NONE)
        code = set_target(from, made, error);
    if (code == ERROR_NONE)
        code = fill_plan(from, made, error);
    return code == ERROR_NONE
               ? plan_check_limits(work, from->view, from->open, from->open_count, made, error)
               : code;
}

/* Sizes it beside the open plans, and holds it against the limits. A word for a breach leaves the
 * limits that hold a size down in force, unless they are the ones that it is for: no other is
 * broken, or they leave no size. */
static int work_out_beside(struct work *work, struct sources *from, struct plan_made *made,
                           struct error *error)
{
    int code = read_open(work, from->view, &from->open, &from->open_count, error);
    if (code == ERROR_NONE && !plans_open_risk(from->open, from->open_count,
                                               &from->view->account.currency, &made->open_risk))
        code = error_set(error, ERROR_INPUT, "the open risk is too large to be held");
    if (code == ERROR_NONE)
        code = work_out(work, from, true, made, error);
    if (code == ERROR_NONE && from->wish->breach != NULL &&
        (made->found.sizing.refused || made->breach_count == 0))
        code = work_out(work, from, false, made, error);
    free(from->open);
    return code;
}

static int look(struct work *work, struct notices *notices, const struct plan_wish *wish,
                const struct account_view *view, const struct size_case *opened,
                struct plan_made *made, struct error *error)
{
    struct order_words words = {0};
    struct sources from = {wish, view, opened, &words, fraction_of_number(NAN), NULL, 0};
    struct size_wish *size = &made->found.wish;
    size->instrument = opened->series.instrument;
    made->with_setup = wish->setup != NULL;
    int code = plan_find_orders(work, notices, wish, &opened->series.bars, size, &from.target,
                                &words, &made->rule, error);
    if (code == ERROR_NONE)
        code = read_terms(work, wish, view, made, error);
    if (code == ERROR_NONE)
        code = work_out_beside(work, &from, made, error);
    if (code == ERROR_NONE && made->with_setup)
        code = plan_study_find(work, wish->setup, &made->study, error);
    return code;
}

int plan_look(struct work *work, struct notices *notices, const struct plan_wish *wish,
              struct plan_made *made, struct error *error)
{
    struct account_view view = {0};
    struct size_case opened = {0};
    *made = (struct plan_made){.reward_r = fraction_of_number(NAN)};
    int code = plan_check_words(wish, error);
    if (code == ERROR_NONE)
        code = account_open(work, wish->account, &view, error);
    if (code == ERROR_NONE)
        code = size_open(work, notices, wish->word, &opened, error);
    if (code == ERROR_NONE)
        code = look(work, notices, wish, &view, &opened, made, error);
    size_close(&opened);
    account_close(&view);
    return code;
}
