#include "answer/plan.h"

#include "answer/plan_words.h"
#include "answer/size.h"
#include "base/calendar.h"
#include "document/cautions.h"

#include <string.h>

/* --- one plan ---------------------------------------------------------------------------- */

static void say_orders(struct document *document, const struct plan_made *made)
{
    struct text text;
    text_init(&text);
    text_append_format(&text, "The orders to type: %s.\n", made->plan.lines);
    document_lines(document, BLOCK_OPENING, &text);
}

static void say_reward(struct text *text, const struct plan_made *made)
{
    char reward[FRACTION_TEXT_SIZE];
    if (fraction_failed(made->reward_r))
        return;
    fraction_format(reward, made->reward_r, 2, 2);
    text_append_format(text,
                       "Filled at the entry and then at the target it comes to %s R after costs; "
                       "whether it gets there is not known.\n",
                       reward);
}

static void say_sums(struct text *text, const struct plan_made *made)
{
    const struct size_found *found = &made->found;
    struct money all = made->open_risk;
    if (!money_add(&all, &made->plan.at_risk) || found->wish.balance.units <= 0)
        return;
    char share[FRACTION_TEXT_SIZE];
    struct fraction of_balance = fraction_divide(money_fraction(&all),
                                                 money_fraction(&found->wish.balance));
    fraction_format(share, fraction_multiply(of_balance, fraction_of(100, 1)), 0, 2);
    text_append(text, "The open plans of ");
    text_append(text, made->plan.account_name);
    text_append(text, " risk ");
    text_append_money(text, &made->open_risk);
    text_append(text, "; with this one it is ");
    text_append_money(text, &all);
    text_append_format(text, ", %s %% of the balance.\n", share);
}

static void say_breach(struct text *text, const struct breach *breach)
{
    text_append(text, "Against a limit of your own: ");
    breach_words(text, breach);
    text_append(text, ".\n");
}

static void say_study(struct text *text, const struct plan_made *made)
{
    const struct plan_study *study = &made->study;
    char date[CALENDAR_TEXT_SIZE] = "";
    if (!made->with_setup)
        return;
    if (study->found)
        time_format(date, study->at, true);
    plan_study_words(text, study, date);
    text_append_char(text, '\n');
}

void answer_plan(struct document *document, const struct plan_made *made)
{
    struct text text;
    answer_size(document, &made->found);
    document_title(document, "Plan");
    if (!made->found.sizing.refused)
        say_orders(document, made);
    text_init(&text);
    if (!made->found.sizing.refused) {
        say_reward(&text, made);
        say_sums(&text, made);
        for (size_t i = 0; i < made->breach_count; i++)
            say_breach(&text, &made->breaches[i]);
    }
    say_study(&text, made);
    document_lines(document, BLOCK_PARAGRAPH, &text);
}

static void member_decimal(struct json *json, const char *key, struct fraction fraction)
{
    char text[FRACTION_TEXT_SIZE];
    fraction_format(text, fraction, 0, 6);
    json_put_key(json, key);
    if (text[0] != '\0')
        json_put_written(json, text, strlen(text));
    else
        json_put_null(json);
}

void plan_json(struct json *json, const struct plan_made *made)
{
    const struct plan *plan = &made->plan;
    char risk[MONEY_TEXT_SIZE], found[FRACTION_TEXT_SIZE];
    size_json(json, &made->found);
    json_member_string(json, "account", plan->account_name);
    json_member_string(json, "setup", plan->setup[0] != '\0' ? plan->setup : NULL);
    json_member_string(json, "orders", plan->lines);
    member_decimal(json, "reward_r", made->reward_r);
    money_format(risk, &made->open_risk);
    json_put_key(json, "open_risk");
    json_put_written(json, risk, strlen(risk));
    json_member_array(json, "breaches");
    for (size_t i = 0; i < made->breach_count; i++) {
        json_begin_object(json);
        json_member_string(json, "limit", account_terms[made->breaches[i].term].name);
        breach_found(found, &made->breaches[i]);
        json_put_key(json, "found");
        json_put_written(json, found, strlen(found));
        member_decimal(json, "allowed", made->breaches[i].allowed);
        json_end_object(json);
    }
    json_end_array(json);
    if (plan->id > 0)
        json_member_integer(json, "plan", plan->id);
}

/* --- the list ------------------------------------------------------------------------------ */

static const struct column columns[] = {
    {"plan", "plan", COLUMN_INTEGER, 0, ""},
    {"state", "state", COLUMN_TEXT, 0, ""},
    {"placed", "placed", COLUMN_BOOLEAN, 0, ""},
    {"account", "account", COLUMN_TEXT, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"setup", "setup", COLUMN_TEXT, 0, ""},
    {"side", "side", COLUMN_TEXT, 0, ""},
    {"size", "size", COLUMN_FIGURE, 0, ""},
    {"entry", "entry", COLUMN_FIGURE, 0, ""},
    {"stop", "stop", COLUMN_FIGURE, 0, ""},
    {"target", "target", COLUMN_FIGURE, 0, ""},
    {"at_risk", "at risk", COLUMN_FIGURE, 0, ""},
    {"currency", "", COLUMN_TEXT, 0, ""},
    {"r", "R", COLUMN_FIGURE, 0, "R"},
    {"reason", "reason", COLUMN_TEXT, 0, ""},
    {"breach", "breach", COLUMN_TEXT, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
    {"known", "known up to", COLUMN_TEXT, 0, ""},
    {"made", "made", COLUMN_TEXT, 0, ""},
};
const struct listing plans_listing = {"plans", columns, sizeof columns / sizeof columns[0],
                                      "The book has no plans yet."};

static const char *or_nothing(const char *text)
{
    return text[0] != '\0' ? text : NULL;
}

static void put_time(struct table *table, int64_t time, bool date)
{
    char text[CALENDAR_TEXT_SIZE];
    time_format(text, time, date);
    table_text(table, text);
}

void plan_put(struct table *table, const struct plan *plan)
{
    char risk[MONEY_TEXT_SIZE];
    money_format(risk, &plan->at_risk);
    table_integer(table, plan->id);
    table_text(table, plan_state_word(plan->state));
    table_integer(table, plan->placed);
    table_text(table, plan->account_name);
    table_text(table, plan->instrument);
    table_text(table, or_nothing(plan->setup));
    table_text(table, plan->is_short ? "short" : "long");
    table_text(table, plan->size);
    table_text(table, plan->entry);
    table_text(table, plan->stop);
    table_text(table, or_nothing(plan->target));
    table_text(table, risk);
    table_text(table, plan->at_risk.currency.code);
    table_text(table, or_nothing(plan->result));
    table_text(table, plan->reason);
    table_text(table, or_nothing(plan->breach));
    table_text(table, or_nothing(plan->notes));
    if (plan->known != INT64_MIN)
        put_time(table, plan->known, plan->known % SECONDS_PER_DAY == 0);
    else
        table_blank(table, 1);
    put_time(table, plan->made, false);
}

void plans_closing(struct text *words, const struct plan *plans, size_t count)
{
    size_t open = 0;
    size_t unplaced = 0;
    for (size_t i = 0; i < count; i++) {
        open += plan_is_open(&plans[i]);
        unplaced += plans[i].state == PLAN_WAITING && !plans[i].placed;
    }
    text_append_format(words, "%zu open, of which the orders of %zu are still to be placed. ", open,
                       unplaced);
    text_append(words, caution_plan);
}
