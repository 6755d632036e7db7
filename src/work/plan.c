#include "work/plan.h"

#include "base/array.h"
#include "base/number.h"
#include "base/text.h"
#include "base/words.h"
#include "trade/plan.h"
#include "work/plan_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* How the entry comes about, for the line that is typed. */
struct order_words {
    enum entry_kind kind;
    bool at_close;
    size_t valid;     /* bars; 0: not said */
    size_t targets;   /* of the setup, the nearest of which is taken for the whole size */
    size_t time_stop; /* bars after the entry bar; 0: none */
};

/* --- the orders of a signal ------------------------------------------------------------ */

/* The signal of the newest whole bar, of the newest candle where there are several. */
static int find_signal(const struct rules_case *opened, const struct setup *setup,
                       struct signal *signal, struct error *error)
{
    size_t count = bars_complete(&opened->series.bars);
    size_t back = setup->confirm_wait + 1;
    struct signals signals = {0};
    bool found = false;
    int code = count > 0 ? signals_find(&opened->view, count > back ? count - back : 0, count, true,
                                        &signals, error)
                         : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < signals.count; i++) {
        if (signals.list[i].at + 1 != count)
            continue;
        *signal = signals.list[i];
        found = true;
    }
    free(signals.list);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT,
                         "%s: its newest whole bar gives no signal of %s; a plan is made before "
                         "anything later is known, or by hand",
                         opened->series.instrument.name, setup->name);
    return code;
}

static int take_orders(const struct rules_case *opened, const struct setup *setup,
                       struct size_wish *wish, struct fraction *target, struct order_words *words,
                       struct error *error)
{
    static const struct planned_lines unmoved = {NAN, NAN, NAN};
    struct planned_orders orders;
    struct signal signal;
    int code = find_signal(opened, setup, &signal, error);
    if (code != ERROR_NONE)
        return code;
    trade_plan(&opened->view, &opened->terms, &signal, &unmoved, &orders);
    if (sheet_failed(opened->sheet))
        return error_memory(error);
    if (orders.note[0] != '\0' || isnan(orders.stop) || isnan(orders.risk))
        return error_set(error, ERROR_INPUT, "%s: no orders by %s yet: %s",
                         opened->series.instrument.name, setup->name,
                         orders.note[0] != '\0' ? orders.note
                                                : "the stop is known only once the entry is");
    wish->entry = fraction_of_number(orders.entry);
    wish->stop = fraction_of_number(orders.stop);
    *target = fraction_of_number(orders.target);
    if (setup->costs_given)
        wish->instrument.costs = setup->costs;
    *words = (struct order_words){.kind = setup->entry.entry->kind,
                                  .at_close = setup->entry.at_close,
                                  .valid = setup->entry.valid,
                                  .targets = setup->exit.target_count,
                                  .time_stop = setup->exit.time_stop};
    return ERROR_NONE;
}

static int of_setup(struct work *work, struct notices *notices, const struct plan_wish *wish,
                    struct size_wish *size, struct fraction *target, struct order_words *words,
                    struct error *error)
{
    struct rules_case opened;
    int code = rules_open(work, notices, wish->word, wish->setup, &opened, error);
    if (code == ERROR_NONE)
        code = take_orders(&opened, wish->setup, size, target, words, error);
    rules_close(&opened);
    return code;
}

/* --- the orders by hand ------------------------------------------------------------------ */

static int read_price(const char *what, const char *text, struct fraction *price,
                      struct error *error)
{
    if (text != NULL && fraction_read(text, strlen(text), price) && !fraction_failed(*price))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT, "%s: found '%.40s'; a price such as 101.35 is allowed",
                     what, text != NULL ? text : "");
}

/* A price to buy at above the close, or to sell at below it, is a stop order. */
static enum entry_kind kind_by_hand(const struct bars *bars, const struct size_wish *size)
{
    size_t count = bars_complete(bars);
    bool is_short = fraction_compare(size->entry, size->stop) < 0;
    int side = count > 0 ? fraction_compare(size->entry, fraction_of_number(bars->close[count - 1]))
                         : 0;
    if (side == 0)
        return ENTRY_MARKET;
    return (side > 0) != is_short ? ENTRY_STOP_ORDER : ENTRY_LIMIT;
}

static int by_hand(const struct plan_wish *wish, const struct bars *bars, struct size_wish *size,
                   struct fraction *target, struct order_words *words, struct error *error)
{
    int code = read_price("entry", wish->entry, &size->entry, error);
    if (code == ERROR_NONE)
        code = read_price("stop", wish->stop, &size->stop, error);
    *target = fraction_of_number(NAN);
    if (code == ERROR_NONE && wish->target != NULL)
        code = read_price("target", wish->target, target, error);
    if (code != ERROR_NONE)
        return code;
    int side = fraction_compare(size->entry, size->stop);
    if (wish->target != NULL && side * fraction_compare(*target, size->entry) <= 0)
        return error_set(error, ERROR_INPUT,
                         "target: found '%.40s'; a price beyond the entry, away from the stop, "
                         "is allowed",
                         wish->target);
    *words = (struct order_words){.kind = kind_by_hand(bars, size)};
    return ERROR_NONE;
}

/* --- the lines to type ---------------------------------------------------------------------- */

static void price_words(char text[FRACTION_TEXT_SIZE], const struct instrument *instrument,
                        struct fraction price)
{
    fraction_format(text, price, instrument->tick_known ? instrument->tick.digits : 0, 15);
}

static void entry_line(struct text *text, const struct plan *plan, const struct order_words *words)
{
    const char *verb = plan->is_short ? "sell" : "buy";
    const char *beyond = plan->is_short ? "below" : "above";
    const char *then = words->at_close ? "at that close" : "at the next open";
    switch (words->kind) {
    case ENTRY_STOP_ORDER:
        text_append_format(text, "%s stop %s at %s", verb, plan->size, plan->entry);
        break;
    case ENTRY_LIMIT:
        text_append_format(text, "%s limit %s at %s", verb, plan->size, plan->entry);
        break;
    case ENTRY_MARKET: text_append_format(text, "%s %s at the next open", verb, plan->size); break;
    case ENTRY_CLOSE:
        text_append_format(text, "if it closes %s %s, %s %s %s", beyond, plan->entry, verb,
                           plan->size, then);
        break;
    case ENTRY_RETEST:
        text_append_format(text,
                           "if it closes %s %s, comes back to it and closes %s it again, %s %s %s",
                           beyond, plan->entry, beyond, verb, plan->size, then);
        break;
    }
    if (words->valid > 0)
        text_append_format(text, ", good for %zu bar%s", words->valid,
                           words->valid == 1 ? "" : "s");
}

static bool make_lines(struct plan *plan, const struct order_words *words)
{
    const char *back = plan->is_short ? "buy" : "sell";
    struct text text;
    text_init(&text);
    entry_line(&text, plan, words);
    /* Before there is a position either of these would open one. */
    text_append_format(&text, "; once it is filled: %s stop %s at %s", back, plan->size,
                       plan->stop);
    if (plan->target[0] != '\0')
        text_append_format(&text, " and %s limit %s at %s, of which one filled cancels the other",
                           back, plan->size, plan->target);
    if (plan->target[0] != '\0' && words->targets > 1)
        text_append_format(&text, " (the nearest of %zu targets, here for the whole size)",
                           words->targets);
    if (words->time_stop > 0)
        text_append_format(&text, "; out at the close %zu %s after the entry bar", words->time_stop,
                           count_word(words->time_stop, "bar", "bars"));
    bool made = !text_failed(&text);
    snprintf(plan->lines, sizeof plan->lines, "%s", text.bytes);
    text_free(&text);
    return made;
}

/* --- working it out --------------------------------------------------------------------------- */

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
    account_hold_leverage(view, &size->instrument);
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

/* What the target brings after costs, in R: no slippage on its order. */
static struct fraction reward_of(const struct size_found *found, struct fraction target)
{
    const struct instrument *instrument = &found->wish.instrument;
    const struct costs *costs = &instrument->costs;
    const struct sizing *sizing = &found->sizing;
    struct fraction value = fraction_of_number(instrument->point_value);
    struct fraction percent = fraction_divide(fraction_of_number(costs->commission_percent),
                                              fraction_of(100, 1));
    struct fraction fills = fraction_add(fraction_absolute(sizing->entry),
                                         fraction_absolute(target));
    struct fraction paid = fraction_add(fraction_of_number(costs->spread),
                                        fraction_of_number(costs->slippage));
    paid = fraction_add(paid, fraction_multiply(percent, fills));
    paid = fraction_add(paid, fraction_divide(fraction_multiply(fraction_of(2, 1),
                                                                fraction_of_number(
                                                                    costs->commission_per_unit)),
                                              value));
    paid = fraction_add(paid, fraction_divide(fraction_of_number(costs->commission_per_trade),
                                              fraction_multiply(value, sizing->size)));
    struct fraction way = fraction_absolute(fraction_subtract(target, sizing->entry));
    return fraction_divide(fraction_subtract(way, paid), sizing->distance);
}

/* What a plan is worked out from, once it is known. */
struct sources {
    const struct plan_wish *wish;
    const struct account_view *view;
    const struct size_case *opened;
    const struct order_words *words;
    struct fraction target;
    struct plan *open; /* of the account, with those that are closed */
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
    price_words(text, instrument, sizing->entry);
    snprintf(plan->entry, sizeof plan->entry, "%s", text);
    price_words(text, instrument, sizing->stop);
    snprintf(plan->stop, sizeof plan->stop, "%s", text);
    price_words(text, instrument, from->target);
    snprintf(plan->target, sizeof plan->target, "%s", text);
    fraction_format(text, sizing->size, 0, 15);
    snprintf(plan->size, sizeof plan->size, "%s", text);
    plan->at_risk = sizing->at_risk;
    plan->notional = sizing->notional;
    made->reward_r = reward_of(&made->found, from->target);
    return make_lines(plan, from->words) ? ERROR_NONE : error_memory(error);
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
    return code;
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

static int work_out(struct work *work, const struct sources *from, bool held,
                    struct plan_made *made, struct error *error)
{
    struct size_wish *size = &made->found.wish;
    size->instrument.leverage = from->opened->series.instrument.leverage;
    size->limited = false;
    int code = held ? hold_down(from->view, made, error) : ERROR_NONE;
    if (code == ERROR_NONE)
        code = size_find(from->opened, &made->found, error);
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
    int code = made->with_setup
                   ? of_setup(work, notices, wish, size, &from.target, &words, error)
                   : by_hand(wish, &opened->series.bars, size, &from.target, &words, error);
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
