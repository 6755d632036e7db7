#include "answer/follow.h"

#include "answer/follow_words.h"
#include "base/calendar.h"
#include "document/cautions.h"
#include "market/scale.h"

#include <math.h>

/* --- what happened ---------------------------------------------------------------------------- */

static const char *const happened_headings[] = {"date", "what", "price", "size"};

static void put_row(struct table *table, const struct plan_case *one, size_t bar, int64_t told,
                    const char *what, double price, double share)
{
    struct text text;
    text_init(&text);
    follow_append_told(&text, one, told, bar);
    table_text(table, text.bytes);
    table_text(table, what);
    text_clear(&text);
    if (!isnan(price))
        follow_append_price(&text, one, price);
    table_text(table, isnan(price) ? NULL : text.bytes);
    if (isnan(share))
        table_blank(table, 1);
    else
        table_decimals(table, 2, share);
    text_free(&text);
}

static void append_step(struct text *text, const struct trade_step *step)
{
    if (step->share > 0)
        text_append_format(text, "left %s", follow_exit_words(step->reason));
    else if (step->reason == TRADE_TRAIL)
        text_append(text, "stop followed");
    else if (step->reason == TRADE_BREAK_EVEN)
        text_append(text, "stop moved to the fill");
    else
        text_append(text, "stop moved, by your word");
}

static void put_happened(struct document *document, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    struct table *table = document_results(document, "happened", "What happened",
                                           "Sizes are shares of the whole position.",
                                           happened_headings, 4);
    put_row(table, one, followed->made_bar, INT64_MIN, "planned", followed->entry, NAN);
    if (!followed_is_own(followed))
        return;
    if (trade_filled(followed->trade.reason))
        put_row(table, one, followed->trade.entry_bar, followed->fill_to_come, "filled",
                followed->trade.entry, 1);
    else if (followed->state == PLAN_LAPSED && followed->note[0] != '\0')
        put_row(table, one, followed->trade.entry_bar, INT64_MIN, "lapsed", NAN, NAN);
    for (size_t i = 0; i < followed->path.count; i++) {
        const struct trade_step *step = &followed->path.steps[i];
        struct text text;
        text_init(&text);
        append_step(&text, step);
        put_row(table, one, step->bar,
                step->reason == TRADE_BY_HAND ? followed->close_to_come : INT64_MIN, text.bytes,
                step->price, step->share > 0 ? step->share : NAN);
        text_free(&text);
    }
}

/* --- the orders that stand ----------------------------------------------------------------------- */

static const char *const order_headings[] = {"order", "size", "price"};

static void put_order(struct table *table, const struct plan_case *one, const char *kind,
                      double price, double share)
{
    struct text text;
    text_init(&text);
    table_format(table, "%s %s", one->plan.is_short ? "buy" : "sell", kind);
    follow_append_size(&text, one, share);
    table_text(table, text.bytes);
    text_clear(&text);
    follow_append_price(&text, one, price);
    table_text(table, text.bytes);
    text_free(&text);
}

static void put_orders(struct document *document, const struct plan_case *one)
{
    const struct trade_standing *standing = &one->followed.standing;
    if (one->followed.state != PLAN_IN_TRADE || standing->remaining == 0)
        return;
    struct table *table = document_results(document, "orders", "Orders that have to stand", NULL,
                                           order_headings, 3);
    put_order(table, one, "stop", standing->stop, standing->remaining);
    for (size_t i = 0; i < standing->target_count; i++)
        put_order(table, one, "limit", standing->targets[i], standing->shares[i]);
}

/* --- the answer ------------------------------------------------------------------------------------ */

static void say_tasks(struct document *document, const struct plan_case *one)
{
    struct text text;
    text_init(&text);
    for (size_t i = 0; i < one->followed.task_count; i++) {
        text_append(&text, "To do: ");
        follow_task_words(&text, one, &one->followed.tasks[i]);
        text_append(&text, ".\n");
    }
    if (one->followed.known && one->followed.task_count == 0)
        text_append(&text, "Nothing is to be done.\n");
    document_lines(document, BLOCK_OPENING, &text);
}

/* What the rules alone would have done, where a person had another word. */
static void say_rules(struct document *document, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    struct text text;
    if (!followed->known || (followed_is_own(followed) && !followed->differs))
        return;
    text_init(&text);
    text_append(&text, "By its rules alone: ");
    follow_trade_words(&text, one, &followed->rules);
    text_append(&text, ".\n");
    document_lines(document, BLOCK_PARAGRAPH, &text);
}

void answer_follow(struct document *document, const struct plan_case *one)
{
    struct text text;
    text_init(&text);
    follow_state_words(&text, one);
    text_append_char(&text, '\n');
    document_lines(document, BLOCK_ANSWER, &text);
    document_title(document, "Plan");
    say_tasks(document, one);
    if (one->followed.known) {
        text_init(&text);
        follow_scale_words(&text, one);
        document_lines(document, BLOCK_PARAGRAPH, &text);
        put_happened(document, one);
        put_orders(document, one);
    }
    say_rules(document, one);
    document_words(document, BLOCK_CAUTION, caution_plan);
}

/* --- JSON --------------------------------------------------------------------------------------------- */

static void member_day(struct json *json, const char *key, const struct plan_case *one,
                       int64_t told, size_t bar)
{
    struct text date;
    text_init(&date);
    follow_append_told(&date, one, told, bar);
    json_member_string(json, key, date.bytes);
    text_free(&date);
}

static void member_trade(struct json *json, const char *key, const struct plan_case *one,
                         const struct trade *trade)
{
    bool own = trade == &one->followed.trade;
    json_put_key(json, key);
    json_begin_object(json);
    json_member_string(json, "reason", trade_reason_name(trade->reason));
    json_member_string(json, "note", trade->note);
    if (trade_filled(trade->reason)) {
        member_day(json, "entry_date", one, own ? one->followed.fill_to_come : INT64_MIN,
                   trade->entry_bar);
        json_member_number(json, "entry", trade->entry);
    }
    if (trade_closed(trade->reason)) {
        member_day(json, "exit_date", one, own ? one->followed.close_to_come : INT64_MIN,
                   trade->exit_bar);
        json_member_number(json, "exit", trade->exit);
        json_member_number(json, "r", trade->r);
    }
    json_end_object(json);
}

static const char *const task_names[] = {[TASK_PLACE] = "place",
                                         [TASK_WAIT] = "wait",
                                         [TASK_CANCEL] = "cancel",
                                         [TASK_SAY_PLACED] = "say_placed",
                                         [TASK_MOVE_STOP] = "move_stop",
                                         [TASK_MOVE_TARGET] = "move_target",
                                         [TASK_PLACE_TARGET] = "place_target",
                                         [TASK_LEAVE_AT_OPEN] = "leave_at_open",
                                         [TASK_LEAVE_AT_CLOSE] = "leave_at_close",
                                         [TASK_SAY_CLOSED] = "say_closed"};

static void put_tasks(struct json *json, const struct plan_case *one)
{
    json_member_array(json, "to_do");
    for (size_t i = 0; i < one->followed.task_count; i++) {
        const struct plan_task *task = &one->followed.tasks[i];
        struct text text;
        text_init(&text);
        follow_task_words(&text, one, task);
        json_begin_object(json);
        json_member_string(json, "what", task_names[task->kind]);
        json_member_number(json, "price", task->price);
        json_member_number(json, "share", task->share);
        json_member_string(json, "words", text.bytes);
        json_end_object(json);
        text_free(&text);
    }
    json_end_array(json);
}

static void put_standing(struct json *json, const struct trade_standing *standing)
{
    json_member_number(json, "open_r", standing->open_r);
    json_member_number(json, "remaining", standing->remaining);
    json_member_number(json, "stop_now", standing->stop);
    json_member_array(json, "targets_now");
    for (size_t i = 0; i < standing->target_count; i++)
        json_put_number(json, standing->targets[i]);
    json_end_array(json);
}

void follow_json(struct json *json, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    json_member_integer(json, "plan", one->plan.id);
    json_member_string(json, "instrument", one->plan.instrument);
    json_member_string(json, "setup", one->plan.setup[0] != '\0' ? one->plan.setup : NULL);
    json_member_string(json, "side", one->plan.is_short ? "short" : "long");
    json_member_string(json, "state", plan_state_word(followed->state));
    put_tasks(json, one);
    if (!followed->known)
        return;
    if (followed->state == PLAN_IN_TRADE)
        put_standing(json, &followed->standing);
    if (followed->result[0] != '\0')
        json_member_string(json, "r", followed->result);
    if (followed_is_own(followed))
        member_trade(json, "trade", one, &followed->trade);
    member_trade(json, "rules", one, &followed->rules);
}

/* --- the list --------------------------------------------------------------------------------------------- */

static const struct column columns[] = {
    {"plan", "plan", COLUMN_INTEGER, 0, ""},
    {"state", "state", COLUMN_TEXT, 0, ""},
    {"account", "account", COLUMN_TEXT, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"entry_date", "entered", COLUMN_TEXT, 0, ""},
    {"entry", "entry", COLUMN_FIGURE, 0, ""},
    {"stop", "stop now", COLUMN_FIGURE, 0, ""},
    {"target", "target now", COLUMN_FIGURE, 0, ""},
    {"r", "R", COLUMN_FIGURE, 0, "R"},
    {"rules_r", "R by the rules", COLUMN_FIGURE, 0, "R"},
    {"to_do", "to do", COLUMN_TEXT, 0, ""},
};
const struct listing followed_listing = {"followed", columns, sizeof columns / sizeof columns[0],
                                         "No plan is open: there is none to follow."};

static void put_price(struct table *table, const struct plan_case *one, double price)
{
    struct text text;
    text_init(&text);
    if (!isnan(price))
        follow_append_price(&text, one, price);
    table_text(table, isnan(price) ? NULL : text.bytes);
    text_free(&text);
}

static void put_r(struct table *table, double r)
{
    struct text text;
    text_init(&text);
    follow_append_r(&text, r);
    table_text(table, isfinite(r) ? text.bytes : NULL);
    text_free(&text);
}

static void put_own_r(struct table *table, const struct followed *followed)
{
    if (followed->result[0] != '\0')
        table_text(table, followed->result);
    else if (followed->state == PLAN_IN_TRADE)
        put_r(table, followed->standing.open_r);
    else
        put_r(table, followed_is_own(followed) ? followed->trade.r : NAN);
}

static void put_lines(struct table *table, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    const struct trade_standing *standing = &followed->standing;
    bool filled = followed_is_own(followed) && trade_filled(followed->trade.reason);
    bool open = followed->state == PLAN_IN_TRADE;
    double target = standing->target_count > 0 ? standing->targets[0] : NAN;
    struct text text;
    text_init(&text);
    if (filled)
        follow_append_told(&text, one, followed->fill_to_come, followed->trade.entry_bar);
    table_text(table, filled ? text.bytes : NULL);
    text_free(&text);
    put_price(table, one, filled ? followed->trade.entry : followed->entry);
    put_price(table, one, open ? standing->stop : followed->stop);
    put_price(table, one, open ? target : followed->target);
    put_own_r(table, followed);
    put_r(table, followed->rules.r);
}

void follow_put(struct table *table, const struct plan_case *one)
{
    const struct followed *followed = &one->followed;
    struct text text;
    table_integer(table, one->plan.id);
    table_text(table, plan_state_word(followed->state));
    table_text(table, one->plan.account_name);
    table_text(table, one->plan.instrument);
    table_text(table, one->plan.is_short ? "short" : "long");
    if (followed->known)
        put_lines(table, one);
    else
        table_blank(table, 6);
    text_init(&text);
    for (size_t i = 0; i < followed->task_count; i++) {
        text_append(&text, i > 0 ? "; " : "");
        follow_task_words(&text, one, &followed->tasks[i]);
    }
    table_text(table, followed->task_count > 0 ? text.bytes : NULL);
    text_free(&text);
}

void follow_closing(struct text *words, size_t count, size_t to_do)
{
    text_append_format(words, "%zu followed; something is to be done with %zu. ", count, to_do);
    text_append(words, caution_plan);
}
