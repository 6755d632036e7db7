#include "base/text.h"
#include "desk/follow_store.h"
#include "work/plan_follow.h"
#include "work/plan_parts.h"
#include "work/work_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void name_breaches(const struct plan_made *made, struct text *text)
{
    for (size_t i = 0; i < made->breach_count; i++) {
        text_append(text, i > 0 ? "; " : "");
        breach_words(text, &made->breaches[i]);
    }
}

/* The limits that it breaks and a person's word on them, in front of each other. */
static int keep_breach(const struct plan_wish *wish, struct plan_made *made, struct error *error)
{
    struct plan *plan = &made->plan;
    struct text text;
    text_init(&text);
    name_breaches(made, &text);
    int code = ERROR_NONE;
    if (wish->breach == NULL)
        code = error_because(error, ERROR_INPUT, ERROR_REASON_LIMIT, "%s: it breaks a limit: %s",
                             plan->account_name, text.bytes);
    text_append_format(&text, ": %s", wish->breach != NULL ? wish->breach : "");
    if (code == ERROR_NONE)
        code = work_copy_words(plan->breach, sizeof plan->breach, 1, "breach", text.bytes, error);
    text_free(&text);
    return code;
}

int plan_check_words(const struct plan_wish *wish, struct error *error)
{
    char words[PLAN_REASON_SIZE];
    int code = work_copy_words(words, sizeof words, 0, "reason", wish->reason, error);
    /* By itself, not as part of what is kept, so that it cannot be empty. */
    if (code == ERROR_NONE && wish->breach != NULL)
        code = work_copy_words(words, sizeof words, 1, "breach", wish->breach, error);
    return code;
}

static int may_be_kept(const struct plan_wish *wish, struct plan_made *made, struct error *error)
{
    struct plan *plan = &made->plan;
    bool breaks = wish->taken && made->breach_count > 0;
    int code = work_copy_words(plan->reason, sizeof plan->reason, 1, "reason", wish->reason, error);
    if (code != ERROR_NONE)
        return code;
    if (wish->taken && made->found.sizing.refused)
        return error_set(error, ERROR_INPUT,
                         "%s: no size keeps to the limits, so it cannot be taken; pass it by, or "
                         "allow more",
                         plan->instrument);
    if (wish->breach != NULL && !breaks)
        return error_set(error, ERROR_INPUT,
                         "breach: found '%.40s', and %s breaks no limit; leave it out",
                         wish->breach, wish->taken ? "the plan" : "what is passed by");
    return breaks ? keep_breach(wish, made, error) : ERROR_NONE;
}

/* Inside the transaction, so that nobody else's plan comes between the check and the keeping:
 * whatever is in the book by now counts, also what another clock calls later. */
static int keep(struct work *work, struct book *book, const struct plan_wish *wish,
                struct plan_made *made, struct error *error)
{
    struct account_view view = {0};
    struct plan *plans = NULL;
    size_t count = 0;
    int code = account_read(work, book, wish->account, &view, error);
    if (code == ERROR_NONE)
        code = plan_store_all(book, view.account.id, INT64_MAX, &plans, &count, error);
    if (code == ERROR_NONE)
        code = plans_settle(work, plans, count, INT64_MAX, error);
    if (code == ERROR_NONE)
        code = plan_check_limits(work, &view, plans, count, made, error);
    if (code == ERROR_NONE)
        code = may_be_kept(wish, made, error);
    if (code == ERROR_NONE)
        code = plan_store_keep(book, &made->plan, error);
    if (code == ERROR_NONE)
        code = plan_rule_store_keep(book, made->plan.id, &made->rule, error);
    free(plans);
    account_close(&view);
    return code;
}

void plan_made_clear(struct plan_made *made)
{
    plan_rule_free(&made->rule);
}

int plan_keep(struct work *work, const struct plan_wish *wish, struct plan_made *made,
              struct error *error)
{
    struct book *book = NULL;
    made->plan.made = made->plan.since = work_wishes(work)->now;
    made->plan.state = wish->taken ? PLAN_WAITING : PLAN_PASSED;
    int code = work_writer(work, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "keeping a plan", error);
    if (code != ERROR_NONE)
        return code;
    return book_settle(book, keep(work, book, wish, made, error), error);
}

/* --- what becomes of them --------------------------------------------------------------------- */

int plans_read(struct work *work, struct plan **plans, size_t *count, struct error *error)
{
    struct book *book = NULL;
    *plans = NULL;
    *count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = plan_store_all(book, 0, work_known_until(work), plans, count, error);
    work_return(work, book);
    return code == ERROR_NONE ? plans_settle(work, *plans, *count, work_known_until(work), error)
                              : code;
}
