#include "desk/plan.h"

#include "base/calendar.h"

#include <stdio.h>
#include <string.h>

static const char *const step_words[STEP_KINDS] = {[STEP_PLACED] = "placed",
                                                   [STEP_FILLED] = "filled",
                                                   [STEP_DONE] = "done",
                                                   [STEP_LAPSED] = "lapsed",
                                                   [STEP_WITHDRAWN] = "withdrawn",
                                                   [STEP_MOVED_STOP] = "moved_stop",
                                                   [STEP_MOVED_TARGET] = "moved_target",
                                                   [STEP_CLOSED] = "closed"};
static const char *const state_words[] =
    {[PLAN_WAITING] = "waiting", [PLAN_IN_TRADE] = "in trade",   [PLAN_DONE] = "done",
     [PLAN_LAPSED] = "lapsed",   [PLAN_WITHDRAWN] = "withdrawn", [PLAN_PASSED] = "passed"};

const char *plan_step_word(enum plan_step_kind kind)
{
    return step_words[kind];
}

enum plan_step_kind plan_step_of(const char *word)
{
    int kind = 0;
    while (kind < STEP_KINDS && strcmp(step_words[kind], word) != 0)
        kind++;
    return (enum plan_step_kind)kind;
}

const char *plan_state_word(enum plan_state state)
{
    return state_words[state];
}

bool plan_is_open(const struct plan *plan)
{
    return plan->state == PLAN_WAITING || plan->state == PLAN_IN_TRADE;
}

/* What a person said so far comes first; what the bars made of it meanwhile opens the rest. */
static bool may_follow(const struct plan *plan, enum plan_state now, enum plan_step_kind step)
{
    bool waits = plan->state == PLAN_WAITING;
    bool trades = waits || plan->state == PLAN_IN_TRADE;
    bool filled = now == PLAN_IN_TRADE || now == PLAN_DONE;
    switch (step) {
    case STEP_PLACED: return waits && !plan->placed;
    case STEP_FILLED: return waits;
    case STEP_MOVED_STOP:
    case STEP_MOVED_TARGET: return trades && now == PLAN_IN_TRADE;
    case STEP_CLOSED:
    case STEP_DONE: return trades && filled;
    case STEP_LAPSED: return waits;
    case STEP_WITHDRAWN: return waits && !filled;
    case STEP_KINDS: break;
    }
    return false;
}

/* A fill can be put right after a close, too. */
static bool may_correct(const struct plan *plan, enum plan_step_kind step)
{
    bool follows = plan->state == PLAN_IN_TRADE || plan->closed;
    return step == STEP_FILLED ? plan->said_filled && follows : step == STEP_CLOSED && plan->closed;
}

int plan_step_check(const struct plan *plan, enum plan_state now, enum plan_step_kind step,
                    bool corrects, struct error *error)
{
    static const char *const doing[STEP_KINDS] = {[STEP_PLACED] = "placed",
                                                  [STEP_FILLED] = "filled",
                                                  [STEP_DONE] = "done",
                                                  [STEP_LAPSED] = "lapsed",
                                                  [STEP_WITHDRAWN] = "withdrawn",
                                                  [STEP_MOVED_STOP] = "given another stop",
                                                  [STEP_MOVED_TARGET] = "given another target",
                                                  [STEP_CLOSED] = "closed"};
    bool placed = plan->placed && now == PLAN_WAITING;
    if (corrects ? may_correct(plan, step) : may_follow(plan, now, step))
        return ERROR_NONE;
    if (corrects)
        return error_set(error, ERROR_INPUT,
                         "plan %lld: there is nothing to correct: it was not said to be %s",
                         (long long)plan->id, doing[step]);
    if (may_correct(plan, step))
        return error_because(error, ERROR_INPUT, ERROR_REASON_SAID,
                             "plan %lld: it was said to be %s before", (long long)plan->id,
                             doing[step]);
    return error_set(error, ERROR_INPUT,
                     "plan %lld is %s%s, and cannot be %s: a plan that waits is placed once, and "
                     "filled, lapsed or withdrawn; one in trade is moved, closed or done",
                     (long long)plan->id, state_words[now], placed ? " and placed" : "",
                     doing[step]);
}

static void add_note(struct plan *plan, const char *note)
{
    size_t length = strlen(plan->notes);
    if (note[0] != '\0')
        snprintf(plan->notes + length, sizeof plan->notes - length, "%s%s", length > 0 ? "; " : "",
                 note);
}

static void take_end(struct plan *plan, const struct plan_step *step)
{
    plan->state = PLAN_DONE;
    plan->closed = step->kind == STEP_CLOSED;
    memcpy(plan->result, step->result, sizeof plan->result);
}

void plan_step_take(struct plan *plan, const struct plan_step *step)
{
    int64_t when = step->at != INT64_MIN ? step->at : step->made;
    plan->since = step->made;
    switch (step->kind) {
    case STEP_PLACED: plan->placed = true; break;
    case STEP_FILLED:
        plan->state = PLAN_IN_TRADE;
        plan->filled = when;
        plan->said_filled = true;
        plan->closed = false;
        break;
    case STEP_CLOSED: plan->since = when; /* fall through */
    case STEP_DONE: take_end(plan, step); break;
    case STEP_LAPSED: plan->state = PLAN_LAPSED; break;
    case STEP_WITHDRAWN: plan->state = PLAN_WITHDRAWN; break;
    case STEP_MOVED_STOP:
    case STEP_MOVED_TARGET:
    case STEP_KINDS: break;
    }
    add_note(plan, step->note);
}

/* --- limits ----------------------------------------------------------------------------- */

bool plans_open_risk(const struct plan *plans, size_t count, const struct currency *currency,
                     struct money *risk)
{
    *risk = (struct money){0, *currency};
    for (size_t i = 0; i < count; i++)
        if (plan_is_open(&plans[i]) && !money_add(risk, &plans[i].at_risk))
            return false;
    return true;
}

static const char *currency_of(const struct plan *plan)
{
    return plan->currency[0] != '\0' ? plan->currency : plan->at_risk.currency.code;
}

/* Which open plans count with the new one. */
static bool counts(enum account_term_id term, const struct plan *plan, const struct plan *fresh)
{
    if (!plan_is_open(plan))
        return false;
    if (term == TERM_SIDE_RISK)
        return plan->is_short == fresh->is_short;
    return term != TERM_CURRENCY_RISK || strcmp(currency_of(plan), currency_of(fresh)) == 0;
}

/* Risk, or worth, of the new plan and those that count with it. */
static struct fraction sum_of(const struct limit_question *question, enum account_term_id term)
{
    bool worth = term == TERM_LEVERAGE;
    const struct plan *fresh = question->fresh;
    struct fraction sum = money_fraction(worth ? &fresh->notional : &fresh->at_risk);
    for (size_t i = 0; i < question->count; i++) {
        const struct plan *plan = &question->plans[i];
        if (counts(term, plan, fresh))
            sum = fraction_add(sum, money_fraction(worth ? &plan->notional : &plan->at_risk));
    }
    return sum;
}

/* Fails without a balance above 0: a share below 0 would keep to every limit. */
static struct fraction of_balance(const struct limit_question *question, struct fraction sum,
                                  int64_t whole)
{
    if (question->balance.units <= 0)
        return fraction_divide(sum, fraction_of(0, 1));
    return fraction_multiply(fraction_divide(sum, money_fraction(&question->balance)),
                             fraction_of(whole, 1));
}

/* Of one that is done, its R; else false. */
static bool result_of(const struct plan *plan, struct fraction *result)
{
    return plan->state == PLAN_DONE && fraction_read(plan->result, strlen(plan->result), result);
}

/* R lost since this second, above 0 where more was lost than won. */
static struct fraction lost_since(const struct limit_question *question, int64_t since)
{
    struct fraction sum = fraction_of(0, 1);
    for (size_t i = 0; i < question->count; i++) {
        const struct plan *plan = &question->plans[i];
        struct fraction result;
        if (plan->since >= since && result_of(plan, &result))
            sum = fraction_subtract(sum, result);
    }
    return sum;
}

/* Entries since this second, and those that may still come about. */
static int64_t entered_since(const struct limit_question *question, int64_t since)
{
    int64_t entered = 1; /* the new one */
    for (size_t i = 0; i < question->count; i++) {
        const struct plan *plan = &question->plans[i];
        entered += plan->state == PLAN_WAITING || plan->filled >= since;
    }
    return entered;
}

/* Losses at the end of the closed trades, the last closed first. */
static int64_t losses_in_a_row(const struct limit_question *question)
{
    int64_t losses = 0;
    int64_t before = INT64_MAX;
    size_t before_at = SIZE_MAX;
    for (;;) {
        const struct plan *last = NULL;
        size_t last_at = 0;
        struct fraction result;
        for (size_t i = 0; i < question->count; i++) {
            const struct plan *plan = &question->plans[i];
            bool earlier = plan->since < before || (plan->since == before && i < before_at);
            if (plan->state == PLAN_DONE && earlier &&
                (last == NULL || plan->since >= last->since)) {
                last = plan;
                last_at = i;
            }
        }
        if (last == NULL || !result_of(last, &result) || fraction_sign(result) >= 0)
            return losses;
        losses++;
        before = last->since;
        before_at = last_at;
    }
}

static struct fraction found_of(const struct limit_question *question, enum account_term_id term)
{
    int64_t day = day_of_time(question->now);
    int64_t monday = day - weekday_of_day(day);
    switch (term) {
    case TERM_OPEN_RISK:
    case TERM_SIDE_RISK:
    case TERM_CURRENCY_RISK: return of_balance(question, sum_of(question, term), 100);
    case TERM_LEVERAGE: return of_balance(question, sum_of(question, term), 1);
    case TERM_DAY_LOSS: return lost_since(question, day * SECONDS_PER_DAY);
    case TERM_WEEK_LOSS: return lost_since(question, monday * SECONDS_PER_DAY);
    case TERM_DAY_TRADES: return fraction_of(entered_since(question, day * SECONDS_PER_DAY), 1);
    case TERM_PAUSE: return fraction_of(losses_in_a_row(question), 1);
    case TERM_RISK:
    case TERM_COUNT: break;
    }
    return fraction_of(0, 1);
}

/* A loss or a row of losses that has come to the limit is enough; the others may come to it. */
static bool breaks(enum account_term_id term, struct fraction found, struct fraction allowed)
{
    int side = fraction_compare(found, allowed);
    bool reached = term == TERM_DAY_LOSS || term == TERM_WEEK_LOSS || term == TERM_PAUSE;
    return reached ? side >= 0 : side > 0;
}

bool limits_check(const struct limit_question *question, struct breach breaches[TERM_COUNT],
                  size_t *count)
{
    *count = 0;
    for (int term = TERM_OPEN_RISK; term < TERM_COUNT; term++) {
        struct breach breach = {.term = (enum account_term_id)term};
        if (!account_term_number(question->terms, breach.term, &breach.allowed))
            continue;
        breach.found = found_of(question, breach.term);
        if (fraction_failed(breach.found))
            return false;
        if (breaks(breach.term, breach.found, breach.allowed))
            breaches[(*count)++] = breach;
    }
    return true;
}

void breach_found(char text[FRACTION_TEXT_SIZE], const struct breach *breach)
{
    int side = fraction_compare(breach->found, breach->allowed);
    struct fraction shown;
    int places = 2;
    do {
        fraction_format(text, breach->found, 0, places);
        places += 2;
    } while (places <= FRACTION_PLACES && fraction_read(text, strlen(text), &shown) &&
             !fraction_failed(shown) && fraction_compare(shown, breach->allowed) != side);
}

void breach_words(struct text *text, const struct breach *breach)
{
    const struct account_term *term = &account_terms[breach->term];
    const char *unit = term->whole ? "" : term->unit;
    const char *space = unit[0] != '\0' ? " " : "";
    char found[FRACTION_TEXT_SIZE], allowed[FRACTION_TEXT_SIZE];
    breach_found(found, breach);
    fraction_format(allowed, breach->allowed, 0, 15);
    text_append_format(text, "%s %s%s%s, and the limit is %s%s%s", term->breach, found, space, unit,
                       allowed, space, unit);
}
