#include "desk/plan_store.h"

#include "book/instrument_store.h"

#include <stdlib.h>

static int take_plan(struct statement *s, void *one, const void *context, struct error *error)
{
    struct plan *plan = one;
    struct currency currency;
    char code[CURRENCY_SIZE];
    (void)context;
    *plan = (struct plan){.id = statement_integer(s, 0),
                          .made = statement_integer(s, 1),
                          .known = statement_integer(s, 2),
                          .account = statement_integer(s, 3),
                          .filled = INT64_MIN,
                          .is_short = statement_integer(s, 9) != 0,
                          .taken = statement_integer(s, 16) != 0};
    statement_copy(s, 4, plan->account_name, sizeof plan->account_name);
    statement_copy(s, 5, code, sizeof code);
    statement_copy(s, 6, plan->instrument, sizeof plan->instrument);
    statement_copy(s, 7, plan->currency, sizeof plan->currency);
    statement_copy(s, 8, plan->setup, sizeof plan->setup);
    statement_copy(s, 10, plan->entry, sizeof plan->entry);
    statement_copy(s, 11, plan->stop, sizeof plan->stop);
    statement_copy(s, 12, plan->target, sizeof plan->target);
    statement_copy(s, 13, plan->size, sizeof plan->size);
    statement_copy(s, 17, plan->reason, sizeof plan->reason);
    statement_copy(s, 18, plan->breach, sizeof plan->breach);
    statement_copy(s, 19, plan->lines, sizeof plan->lines);
    plan->since = plan->made;
    plan->state = plan->taken ? PLAN_WAITING : PLAN_PASSED;
    int failed = currency_find(code, &currency, error);
    plan->at_risk = (struct money){statement_integer(s, 14), currency};
    plan->notional = (struct money){statement_integer(s, 15), currency};
    return failed;
}

static int read_plans(struct book *book, int64_t account, int64_t known, struct plan **plans,
                      size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **plans, .take = take_plan};
    int code = statement_prepare(
        &statement, book,
        "SELECT p.id, p.made, p.known, p.account, a.name, a.currency, i.name, p.currency, p.setup, "
        "p.short, p.entry, p.stop, p.target, p.size, p.at_risk, p.notional, p.taken, p.reason, "
        "p.breach, p.lines FROM plan p JOIN account a ON a.id = p.account JOIN instrument i ON "
        "i.id = p.instrument WHERE (?1 = 0 OR p.account = ?1) AND p.made <= ?2 ORDER BY p.id",
        error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, account);
        statement_bind_integer(&statement, 2, known);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *plans = rows.list;
    *count = rows.count;
    return code;
}

static struct plan *find_plan(struct plan *plans, size_t count, int64_t id)
{
    size_t low = 0;
    size_t high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (plans[middle].id < id)
            low = middle + 1;
        else
            high = middle;
    }
    return low < count && plans[low].id == id ? &plans[low] : NULL;
}

static void take_step(struct statement *statement, struct plan *plans, size_t count)
{
    struct plan *plan = find_plan(plans, count, statement_integer(statement, 0));
    const char *word = statement_text(statement, 1);
    enum plan_step_kind kind = word != NULL ? plan_step_of(word) : STEP_KINDS;
    struct plan_step step = {.kind = kind,
                             .made = statement_integer(statement, 2),
                             .at = statement_is_null(statement, 5)
                                       ? INT64_MIN
                                       : statement_integer(statement, 5)};
    statement_copy(statement, 3, step.result, sizeof step.result);
    statement_copy(statement, 4, step.note, sizeof step.note);
    if (plan != NULL && kind != STEP_KINDS)
        plan_step_take(plan, &step);
}

int plan_store_all(struct book *book, int64_t account, int64_t known, struct plan **plans,
                   size_t *count, struct error *error)
{
    struct statement statement;
    bool row = false;
    *plans = NULL;
    *count = 0;
    int code = read_plans(book, account, known, plans, count, error);
    if (code != ERROR_NONE)
        return code;
    code = statement_prepare(
        &statement, book,
        "SELECT plan, kind, made, result, note, at FROM plan_step WHERE made <= ?1 ORDER BY id",
        error);
    if (code == ERROR_NONE)
        statement_bind_integer(&statement, 1, known);
    while (code == ERROR_NONE && (code = statement_step(&statement, &row, error)) == ERROR_NONE &&
           row)
        take_step(&statement, *plans, *count);
    statement_finish(&statement);
    return code;
}

static void bind_plan(struct statement *s, const struct plan *plan, int64_t instrument)
{
    statement_bind_integer(s, 1, plan->made);
    statement_bind_integer(s, 2, plan->known);
    statement_bind_integer(s, 3, plan->account);
    statement_bind_integer(s, 4, instrument);
    statement_bind_text(s, 5, plan->currency);
    statement_bind_text(s, 6, plan->setup);
    statement_bind_integer(s, 7, plan->is_short);
    statement_bind_text(s, 8, plan->entry);
    statement_bind_text(s, 9, plan->stop);
    statement_bind_text(s, 10, plan->target);
    statement_bind_text(s, 11, plan->size);
    statement_bind_integer(s, 12, plan->at_risk.units);
    statement_bind_integer(s, 13, plan->notional.units);
    statement_bind_integer(s, 14, plan->taken);
    statement_bind_text(s, 15, plan->reason);
    statement_bind_text(s, 16, plan->breach);
    statement_bind_text(s, 17, plan->lines);
}

int plan_store_keep(struct book *book, struct plan *plan, struct error *error)
{
    struct instrument instrument;
    struct statement statement;
    int code = instrument_store_need(book, plan->instrument, &instrument, error);
    if (code == ERROR_NONE)
        code = statement_prepare(
            &statement, book,
            "INSERT INTO plan(made, known, account, instrument, currency, setup, short, entry, "
            "stop, target, size, at_risk, notional, taken, reason, breach, lines) VALUES(?1, ?2, "
            "?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)",
            error);
    if (code != ERROR_NONE)
        return code;
    bind_plan(&statement, plan, instrument.id);
    code = statement_run(&statement, error);
    statement_finish(&statement);
    plan->id = book_last_row(book);
    return code;
}
