#include "desk/follow_store.h"

#include "base/array.h"

/* --- rules ------------------------------------------------------------------------------- */

static int take_rule(struct statement *s, struct plan_rule *rule, struct error *error)
{
    const char *orders = statement_text(s, 4);
    const char *text = statement_text(s, 5);
    statement_copy(s, 0, rule->interval, sizeof rule->interval);
    rule->signal = statement_integer(s, 1);
    rule->candle = statement_integer(s, 2);
    rule->choice = (size_t)statement_integer(s, 3);
    plan_kind_read(orders != NULL ? orders : "", rule);
    rule->text = string_copy(text != NULL ? text : "");
    return rule->text != NULL ? ERROR_NONE : error_memory(error);
}

int plan_rule_store_read(struct book *book, const struct plan *plan, struct plan_rule *rule,
                         struct error *error)
{
    struct statement statement;
    bool row = false;
    *rule = (struct plan_rule){.signal = plan->known, .candle = plan->known};
    int code = statement_prepare(
        &statement, book,
        "SELECT interval, signal, candle, choice, orders, text FROM plan_rule WHERE plan = ?1",
        error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, plan->id);
    if (code == ERROR_NONE)
        code = statement_step(&statement, &row, error);
    if (code == ERROR_NONE && row)
        code = take_rule(&statement, rule, error);
    statement_finish(&statement);
    return code;
}

int plan_rule_store_keep(struct book *book, int64_t plan, const struct plan_rule *rule,
                         struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book,
                                 "INSERT INTO plan_rule(plan, interval, signal, candle, choice, "
                                 "orders, text) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                                 error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_integer(&statement, 1, plan);
    statement_bind_text(&statement, 2, rule->interval);
    statement_bind_integer(&statement, 3, rule->signal);
    statement_bind_integer(&statement, 4, rule->candle);
    statement_bind_integer(&statement, 5, (int64_t)rule->choice);
    statement_bind_text(&statement, 6, plan_kind_word(rule));
    statement_bind_text(&statement, 7, rule->text != NULL ? rule->text : "");
    code = statement_run(&statement, error);
    statement_finish(&statement);
    return code;
}

/* --- steps ---------------------------------------------------------------------------------- */

static int take_step(struct statement *s, void *one, const void *context, struct error *error)
{
    struct plan_step *step = one;
    const char *word = statement_text(s, 0);
    (void)context;
    (void)error;
    *step = (struct plan_step){.kind = word != NULL ? plan_step_of(word) : STEP_KINDS,
                               .made = statement_integer(s, 1),
                               .at = statement_is_null(s, 2) ? INT64_MIN : statement_integer(s, 2)};
    statement_copy(s, 3, step->price, sizeof step->price);
    statement_copy(s, 4, step->result, sizeof step->result);
    statement_copy(s, 5, step->note, sizeof step->note);
    return ERROR_NONE;
}

int plan_step_store_read(struct book *book, int64_t plan, int64_t known, struct plan_step **steps,
                         size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **steps, .take = take_step};
    int code = statement_prepare(&statement, book,
                                 "SELECT kind, made, at, price, result, note FROM plan_step WHERE "
                                 "plan = ?1 AND made <= ?2 ORDER BY id",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, plan);
        statement_bind_integer(&statement, 2, known);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *steps = rows.list;
    *count = rows.count;
    return code;
}

int plan_step_store_keep(struct book *book, int64_t plan, const struct plan_step *step,
                         struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book,
                                 "INSERT INTO plan_step(plan, kind, made, at, price, result, note) "
                                 "VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                                 error);
    if (code != ERROR_NONE)
        return code;
    statement_bind_integer(&statement, 1, plan);
    statement_bind_text(&statement, 2, plan_step_word(step->kind));
    statement_bind_integer(&statement, 3, step->made);
    if (step->at == INT64_MIN)
        statement_bind_null(&statement, 4);
    else
        statement_bind_integer(&statement, 4, step->at);
    statement_bind_text(&statement, 5, step->price);
    statement_bind_text(&statement, 6, step->result);
    statement_bind_text(&statement, 7, step->note);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    return code;
}
