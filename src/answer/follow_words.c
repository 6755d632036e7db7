#include "answer/follow_words.h"

#include "answer/size.h"
#include "base/calendar.h"
#include "base/words.h"
#include "draw/ticks.h"
#include "market/scale.h"

#include <math.h>
#include <string.h>

/* --- figures ------------------------------------------------------------------------------- */

void follow_append_price(struct text *text, const struct plan_case *one, double price)
{
    text_append_price(text, &one->opened.series.instrument, fraction_of_number(price));
}

void follow_append_r(struct text *text, double r)
{
    char number[TICK_TEXT_SIZE] = "–";
    if (isfinite(r))
        number_text(r, 2, number);
    text_append_format(text, "%s%s", r > 0 ? "+" : "", number);
}

void follow_append_date(struct text *text, const struct plan_case *one, size_t bar)
{
    const struct bars *bars = &one->opened.series.bars;
    char date[CALENDAR_TEXT_SIZE];
    time_format(date, bars->time[bar], interval_is_dated(bars->interval));
    text_append(text, date);
}

void follow_append_told(struct text *text, const struct plan_case *one, int64_t told, size_t bar)
{
    char date[CALENDAR_TEXT_SIZE];
    if (told == INT64_MIN) {
        follow_append_date(text, one, bar);
        return;
    }
    time_format(date, told, interval_is_dated(one->opened.series.bars.interval));
    text_append(text, date);
}

/* Shares are sums of a few decimals. */
static struct fraction share_of(double share)
{
    return fraction_of_number(round(share * 1e9) / 1e9);
}

/* The whole position in units of today. */
static struct fraction whole_size(const struct plan_case *one)
{
    struct fraction size = fraction_of_number(NAN);
    fraction_read(one->plan.size, strlen(one->plan.size), &size);
    return one->followed.rescaled
               ? fraction_multiply(size, fraction_of_number(one->followed.scale.split))
               : size;
}

static struct fraction whole_steps(const struct plan_case *one, struct fraction size)
{
    struct fraction step = fraction_of_number(one->opened.series.instrument.size_step);
    int64_t steps = 0;
    if (!fraction_floor(fraction_divide(size, step), &steps))
        return size;
    return fraction_multiply(step, fraction_of(steps, 1));
}

/* What is held of it, parts having left in whole steps. */
static struct fraction held_size(const struct plan_case *one, double remaining)
{
    struct fraction size = whole_size(one);
    struct fraction left = fraction_multiply(size, share_of(1 - remaining));
    return fraction_subtract(size, whole_steps(one, left));
}

void follow_append_size(struct text *text, const struct plan_case *one, double share)
{
    char size[FRACTION_TEXT_SIZE];
    double remaining = one->followed.standing.remaining;
    bool all = one->followed.state != PLAN_IN_TRADE || share >= remaining - 1e-9;
    struct fraction part = all ? held_size(one,
                                           one->followed.state == PLAN_IN_TRADE ? remaining : 1)
                               : whole_steps(one,
                                             fraction_multiply(whole_size(one), share_of(share)));
    fraction_format(size, part, 0, 8);
    text_append(text, size);
}

/* --- the state ------------------------------------------------------------------------------- */

static void append_name(struct text *text, const struct plan_case *one)
{
    text_append_format(text, "Plan %lld, %s %s", (long long)one->plan.id,
                       one->plan.is_short ? "short" : "long", one->plan.instrument);
    if (one->plan.setup[0] != '\0')
        text_append_format(text, " by %s,", one->plan.setup);
}

static void append_open(struct text *text, const struct plan_case *one)
{
    const struct bars *bars = &one->opened.series.bars;
    size_t last = bars_complete(bars) - 1;
    text_append(text, " is in trade since ");
    follow_append_told(text, one, one->followed.fill_to_come, one->followed.trade.entry_bar);
    text_append(text, " at ");
    follow_append_price(text, one, one->followed.trade.entry);
    if (one->followed.fill_to_come != INT64_MIN) {
        text_append(text, ", by your word; the bar of it is not in the book yet.");
        return;
    }
    text_append(text, "; left at the close of ");
    follow_append_price(text, one, bars->close[last]);
    text_append(text, " on ");
    follow_append_date(text, one, last);
    text_append(text, " it would come to ");
    follow_append_r(text, one->followed.standing.open_r);
    text_append(text, " R after costs.");
}

static void append_waiting(struct text *text, const struct plan_case *one)
{
    size_t left = one->followed.path.awaited.bars_left;
    text_append(text, " is waiting");
    if (one->followed.path.awaited.what != AWAITS_OPEN && left > 0 && left < 1000)
        text_append_format(text, ": it may still be entered on %zu coming %s", left,
                           count_word(left, "bar", "bars"));
    text_append_char(text, '.');
}

const char *follow_exit_words(enum trade_reason reason)
{
    static const char *const words[] = {
        [TRADE_STOP] = "at its stop",
        [TRADE_TARGET] = "at its target",
        [TRADE_TIME] = "by time",
        [TRADE_TRAIL] = "at the stop that followed",
        [TRADE_BREAK_EVEN] = "at the stop moved to the fill",
        [TRADE_WHEN] = "on the conditions to leave",
        [TRADE_ENDED] = "with the instrument's end",
        [TRADE_BY_HAND] = "by hand",
    };
    return trade_closed(reason) ? words[reason] : "";
}

void follow_trade_words(struct text *text, const struct plan_case *one, const struct trade *trade)
{
    if (!trade_filled(trade->reason)) {
        text_append(text, trade->reason == TRADE_WAITING ? "still waiting" : "not entered: ");
        text_append(text, trade->reason == TRADE_WAITING ? "" : trade->note);
        return;
    }
    bool own = trade == &one->followed.trade;
    text_append(text, "entered on ");
    follow_append_told(text, one, own ? one->followed.fill_to_come : INT64_MIN, trade->entry_bar);
    text_append(text, " at ");
    follow_append_price(text, one, trade->entry);
    if (!trade_closed(trade->reason)) {
        text_append(text, ", and still in trade");
        return;
    }
    text_append(text, ", left on ");
    follow_append_told(text, one, own ? one->followed.close_to_come : INT64_MIN, trade->exit_bar);
    text_append(text, " at ");
    follow_append_price(text, one, trade->exit);
    text_append_format(text, "%s %s: ", trade->exits > 1 ? " on average, the last" : "",
                       follow_exit_words(trade->reason));
    follow_append_r(text, trade->r);
    text_append(text, " R after costs");
}

static void append_done(struct text *text, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    text_append(text, " is done: ");
    if (followed->result[0] != '\0') {
        text_append_format(text, "%s R, in your own word.", followed->result);
        return;
    }
    follow_trade_words(text, one, &followed->trade);
    text_append_char(text, '.');
}

void follow_state_words(struct text *text, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    append_name(text, one);
    if (!followed->known) {
        text_append_format(text,
                           " is %s by what was said of it: the bar that it was made on is not in "
                           "the book, so that it cannot be followed.",
                           plan_state_word(followed->state));
        return;
    }
    switch (followed->state) {
    case PLAN_WAITING: append_waiting(text, one); break;
    case PLAN_IN_TRADE: append_open(text, one); break;
    case PLAN_DONE: append_done(text, one); break;
    case PLAN_LAPSED:
        if (followed->note[0] != '\0') {
            text_append(text, " lapsed on ");
            follow_append_date(text, one, followed->trade.entry_bar);
            text_append_format(text, ": %s.", followed->note);
            break;
        }
        text_append(text, " lapsed, in your own word.");
        break;
    case PLAN_WITHDRAWN: text_append(text, " was withdrawn."); break;
    case PLAN_PASSED: text_append(text, " was passed by."); break;
    }
}

/* --- what to do -------------------------------------------------------------------------------- */

static void append_order(struct text *text, const struct plan_case *one, const char *kind,
                         const struct plan_task *task)
{
    text_append_format(text, "%s %s ", one->plan.is_short ? "buy" : "sell", kind);
    follow_append_size(text, one, task->share);
    text_append(text, " at ");
    follow_append_price(text, one, task->price);
}

static void append_entry(struct text *text, const struct plan_case *one,
                         const struct plan_task *task)
{
    const char *verb = one->plan.is_short ? "sell" : "buy";
    const struct trade_awaited *awaited = &one->followed.path.awaited;
    if (isnan(task->price)) {
        text_append_format(text, "%s ", verb);
        follow_append_size(text, one, 1);
        text_append(text, " at the next open; then the stop at ");
    } else {
        text_append_format(text, "place %s %s ", verb,
                           awaited->what == AWAITS_PULLBACK ? "limit" : "stop");
        follow_append_size(text, one, 1);
        text_append(text, " at ");
        follow_append_price(text, one, task->price);
        if (awaited->bars_left < 1000)
            text_append_format(text, ", good for %zu %s", awaited->bars_left,
                               count_word(awaited->bars_left, "bar", "bars"));
        text_append(text, "; once it is filled, the stop at ");
    }
    follow_append_price(text, one, one->followed.stop);
    if (!isnan(one->followed.target)) {
        text_append(text, " and the target at ");
        follow_append_price(text, one, one->followed.target);
    }
}

/* What the rule waits for where that is more than a close beyond one price. */
static void append_help(struct text *text, const struct plan_case *one)
{
    const struct entry_rule *rule = &one->setup.entry;
    if (!one->has_setup || entry_stands(rule->entry, rule->retest_of))
        return;
    text_append_format(text, " (%s%s)", rule->entry->help,
                       rule->entry->level != NULL ? "; the price is that of the coming bar" : "");
}

static void append_wait(struct text *text, const struct plan_case *one)
{
    const struct trade_awaited *awaited = &one->followed.path.awaited;
    const char *beyond = one->plan.is_short ? "below" : "above";
    text_append(text, "type nothing yet: if it ");
    if (awaited->what == AWAITS_RETURN)
        text_append(text, "comes back to ");
    else
        text_append_format(text, "closes %s ", beyond);
    follow_append_price(text, one, awaited->price);
    if (awaited->what == AWAITS_BREAK)
        text_append(text, ", comes back to it");
    if (awaited->what != AWAITS_CLOSE)
        text_append_format(text, " and closes %s it%s", beyond,
                           awaited->what == AWAITS_BREAK ? " again" : "");
    append_help(text, one);
    text_append_format(text, ", %s ", one->plan.is_short ? "sell" : "buy");
    follow_append_size(text, one, 1);
    text_append(text, one->setup.entry.at_close ? " at that close" : " at the next open");
}

void follow_task_words(struct text *text, const struct plan_case *one, const struct plan_task *task)
{
    const char *back = one->plan.is_short ? "buy" : "sell";
    switch (task->kind) {
    case TASK_PLACE: append_entry(text, one, task); break;
    case TASK_WAIT: append_wait(text, one); break;
    case TASK_CANCEL: text_append(text, "cancel the order to enter"); break;
    case TASK_SAY_PLACED:
        text_append(text, "say whether its order was placed and at what price it was filled, or "
                          "that it lapsed: by the bars it was filled, and nobody said so");
        break;
    case TASK_MOVE_STOP:
        text_append(text, "change the stop to ");
        append_order(text, one, "stop", task);
        break;
    case TASK_MOVE_TARGET:
        text_append(text, task->price == one->followed.target ? "change the target to "
                                                              : "move the target to ");
        append_order(text, one, "limit", task);
        break;
    case TASK_PLACE_TARGET:
        text_append(text, "place ");
        append_order(text, one, "limit", task);
        break;
    case TASK_LEAVE_AT_OPEN:
    case TASK_LEAVE_AT_CLOSE:
        text_append_format(text, "%s ", back);
        follow_append_size(text, one, task->share);
        text_append_format(text, " at the %s, and cancel stop and target",
                           task->kind == TASK_LEAVE_AT_OPEN ? "next open"
                                                            : "close of the coming bar");
        break;
    case TASK_SAY_CLOSED:
        text_append(text, "say at what price it was left, and cancel what is left of its orders");
        break;
    }
}

/* --- splits and dividends ------------------------------------------------------------------------ */

static void append_lines_now(struct text *text, const struct plan_case *one)
{
    text_append(text, "entry ");
    follow_append_price(text, one, one->followed.entry);
    text_append(text, ", stop ");
    follow_append_price(text, one, one->followed.stop);
    if (!isnan(one->followed.target)) {
        text_append(text, ", target ");
        follow_append_price(text, one, one->followed.target);
    }
}

static void append_dividends(struct text *text, const struct plan_case *one)
{
    const struct series *series = &one->opened.series;
    const struct trade *trade = &one->followed.trade;
    if (!one->followed.known || !trade_filled(trade->reason))
        return;
    for (size_t i = 0; i < series->dividend_count; i++) {
        const struct action *dividend = &series->dividends[i];
        char date[CALENDAR_TEXT_SIZE];
        if (dividend->date <= series->bars.time[trade->entry_bar] ||
            dividend->date > series->bars.time[trade->exit_bar])
            continue;
        time_format(date, dividend->date, true);
        text_append_format(text,
                           "A dividend of %g a unit on %s is in its R; stop and target stay where "
                           "they are.\n",
                           dividend->value, date);
    }
}

void follow_scale_words(struct text *text, const struct plan_case *one)
{
    const struct price_scale *scale = &one->followed.scale;
    char date[CALENDAR_TEXT_SIZE];
    if (one->followed.rescaled) {
        time_format(date, scale->before, true);
        text_append_format(text, "Since it was made, prices and sizes are others, from %s on",
                           date);
        if (scale->split != 1)
            text_append_format(text, ", a split making %g of each unit", scale->split);
        if (scale->shift != 0)
            text_append_format(text, ", a roll of contracts adding %g", scale->shift);
        if (scale->share != 1)
            text_append(text, ", dividends being taken off");
        text_append(text, ": as it was typed, entry ");
        text_append_format(text, "%s, stop %s, size %s; now ", one->plan.entry, one->plan.stop,
                           one->plan.size);
        append_lines_now(text, one);
        char size[FRACTION_TEXT_SIZE];
        fraction_format(size, whole_size(one), 0, 8);
        text_append_format(text,
                           ", size %s. See that the orders that stood before are changed to it.\n",
                           size);
    }
    append_dividends(text, one);
    if (!one->followed.restated)
        return;
    text_append(text, "The bars that it was made on are others in the book by now: its rule would "
                      "have the stop at ");
    follow_append_price(text, one, one->followed.path.stop);
    text_append(text, ", and not at ");
    follow_append_price(text, one, one->followed.stop);
    text_append(text, ", and is followed so.\n");
}
