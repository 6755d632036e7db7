/* The orders that a plan is of: those of a signal, or by hand. */
#include "base/number.h"
#include "trade/plan.h"
#include "work/plan_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

static struct order_words words_of(const struct setup *setup)
{
    const struct entry_rule *rule = &setup->entry;
    bool retest = rule->entry->kind == ENTRY_RETEST;
    bool waits = retest || rule->entry->kind == ENTRY_CLOSE;
    bool stands = entry_stands(rule->entry, rule->retest_of);
    return (struct order_words){.kind = rule->entry->kind,
                                .help = waits && !stands ? rule->entry->help : NULL,
                                .moves = waits && !stands && rule->entry->level != NULL,
                                .at_close = rule->at_close,
                                .valid = retest ? (size_t)rule->values[RETEST_BREAK_WITHIN]
                                                : rule->valid,
                                .valid_again = retest ? (size_t)rule->values[RETEST_RETEST_WITHIN]
                                                      : 0,
                                .targets = setup->exit.target_count,
                                .time_stop = setup->exit.time_stop};
}

/* The setup as it is now, and the candle, by which the plan will be followed. */
static int take_rule(const struct rules_case *opened, const struct setup *setup,
                     const struct signal *signal, struct plan_rule *rule, struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    struct text text;
    text_init(&text);
    setup_write(setup, &text);
    if (text_failed(&text))
        return error_memory(error);
    rule->text = text_take(&text);
    rule->signal = bars->time[signal->at];
    rule->candle = bars->time[signal->candle.at];
    rule->choice = signal->candle.choice;
    return ERROR_NONE;
}

static int take_orders(const struct rules_case *opened, const struct setup *setup,
                       struct size_wish *wish, struct fraction *target, struct order_words *words,
                       struct plan_rule *rule, struct error *error)
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
    *words = words_of(setup);
    return take_rule(opened, setup, &signal, rule, error);
}

static int of_setup(struct work *work, struct notices *notices, const struct plan_wish *wish,
                    struct size_wish *size, struct fraction *target, struct order_words *words,
                    struct plan_rule *rule, struct error *error)
{
    struct rules_case opened;
    int code = rules_open(work, notices, wish->word, wish->setup, &opened, error);
    if (code == ERROR_NONE)
        code = take_orders(&opened, wish->setup, size, target, words, rule, error);
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

/* A price to buy at above the close, or to sell at below it, is a stop order; another, the close
 * itself among them, a limit order. */
static void order_by_hand(const struct bars *bars, const struct size_wish *size,
                          struct order_words *words)
{
    size_t count = bars_complete(bars);
    bool is_short = fraction_compare(size->entry, size->stop) < 0;
    struct fraction close = fraction_of_number(count > 0 ? bars->close[count - 1] : NAN);
    *words = (struct order_words){.kind = ENTRY_LIMIT, .either = fraction_failed(close)};
    if (!words->either && fraction_compare(size->entry, close) == (is_short ? -1 : 1))
        words->kind = ENTRY_STOP_ORDER;
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
    if (code == ERROR_NONE)
        order_by_hand(bars, size, words);
    return code;
}

/* What is known of it without a setup, and which bars were asked for. */
static int settle_rule(struct work *work, const struct plan_wish *wish, const struct bars *bars,
                       const struct order_words *words, struct plan_rule *rule, struct error *error)
{
    struct interval interval;
    size_t count = bars_complete(bars);
    int code = series_word_interval(work, wish->word, &interval, error);
    if (code != ERROR_NONE)
        return code;
    interval_format_kept(rule->interval, interval);
    if (wish->setup != NULL)
        return ERROR_NONE;
    rule->signal = rule->candle = count > 0 ? bars->time[count - 1] : INT64_MIN;
    rule->kind = words->kind;
    rule->kind_known = !words->either;
    return ERROR_NONE;
}

int plan_find_orders(struct work *work, struct notices *notices, const struct plan_wish *wish,
                     const struct bars *bars, struct size_wish *size, struct fraction *target,
                     struct order_words *words, struct plan_rule *rule, struct error *error)
{
    int code = wish->setup != NULL ? of_setup(work, notices, wish, size, target, words, rule, error)
                                   : by_hand(wish, bars, size, target, words, error);
    return code == ERROR_NONE ? settle_rule(work, wish, bars, words, rule, error) : code;
}
