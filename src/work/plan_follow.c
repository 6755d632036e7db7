#include "work/plan_follow.h"

#include "base/number.h"
#include "desk/follow_store.h"
#include "work/plan.h"

#include <stdlib.h>
#include <string.h>

/* --- out of the book ----------------------------------------------------------------------- */

static int read_rest(struct work *work, struct book *book, struct plan_case *one,
                     struct error *error)
{
    int code = plan_rule_store_read(book, &one->plan, &one->rule, error);
    return code == ERROR_NONE ? plan_step_store_read(book, one->plan.id, work_known_until(work),
                                                     &one->steps, &one->step_count, error)
                              : code;
}

static int find_plan(const struct plan *plans, size_t count, const char *number, struct plan *plan,
                     struct error *error)
{
    int64_t id = 0;
    number_parse_integer(number, strlen(number), &id);
    for (size_t i = 0; i < count; i++)
        if (plans[i].id == id) {
            *plan = plans[i];
            return ERROR_NONE;
        }
    return error_set(error, ERROR_INPUT,
                     "plan: found '%.20s'; the number of a plan of the book is allowed", number);
}

/* --- its bars ------------------------------------------------------------------------------ */

static bool by_hand(const struct plan_rule *rule)
{
    return rule->text == NULL || rule->text[0] == '\0';
}

static int make_setup(struct plan_case *one, struct error *error)
{
    int code = by_hand(&one->rule)
                   ? plan_hand_setup(&one->plan, &one->setup, error)
                   : setup_read_kept(&one->setup, one->plan.setup, one->rule.text, error);
    one->has_setup = code == ERROR_NONE;
    return code;
}

static int open_bars(struct work *work, struct notices *notices, struct plan_case *one,
                     struct error *error)
{
    struct text word;
    struct interval interval;
    char length[INTERVAL_TEXT_SIZE];
    text_init(&word);
    text_append(&word, one->plan.instrument);
    if (interval_parse_kept(one->rule.interval, &interval)) {
        interval_format(length, interval);
        text_append_format(&word, "@%s", length);
    }
    int code = text_failed(&word)
                   ? error_memory(error)
                   : rules_open(work, notices, word.bytes, &one->setup, &one->opened, error);
    text_free(&word);
    return code;
}

/* Lines by hand are those of the bar on which they were made. */
static int put_lines(struct plan_case *one, struct error *error)
{
    const struct bars *bars = &one->opened.series.bars;
    size_t bar = bars_find(bars, one->rule.signal);
    if (!by_hand(&one->rule) || bar == bars->count)
        return ERROR_NONE;
    if (plan_hand_lines(&one->plan, &one->rule, bars, bar, &one->setup))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT, "plan %lld: its lines are no prices",
                     (long long)one->plan.id);
}

static int follow(struct work *work, struct notices *notices, struct plan_case *one,
                  struct error *error)
{
    int code = make_setup(one, error);
    if (code == ERROR_NONE)
        code = open_bars(work, notices, one, error);
    if (code == ERROR_NONE)
        code = put_lines(one, error);
    if (code != ERROR_NONE)
        return code;
    const struct follow_question question = {.plan = &one->plan,
                                             .rule = &one->rule,
                                             .view = &one->opened.view,
                                             .terms = &one->opened.terms,
                                             .steps = one->steps,
                                             .step_count = one->step_count};
    return plan_follow(&question, &one->followed, error);
}

void plan_case_close(struct plan_case *one)
{
    rules_close(&one->opened);
    if (one->has_setup)
        setup_free(&one->setup);
    free(one->steps);
    plan_rule_free(&one->rule);
    *one = (struct plan_case){0};
}

/* --- one, and all that are open ------------------------------------------------------------- */

static int read_one(struct work *work, const char *number, struct plan_case *one,
                    struct error *error)
{
    struct book *book = NULL;
    struct plan *plans = NULL;
    size_t count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = plan_store_all(book, 0, work_known_until(work), &plans, &count, error);
    if (code == ERROR_NONE)
        code = find_plan(plans, count, number, &one->plan, error);
    if (code == ERROR_NONE)
        code = read_rest(work, book, one, error);
    work_return(work, book);
    free(plans);
    return code;
}

int plan_case_open(struct work *work, struct notices *notices, const char *number,
                   struct plan_case *one, struct error *error)
{
    *one = (struct plan_case){0};
    int code = read_one(work, number, one, error);
    return code == ERROR_NONE ? follow(work, notices, one, error) : code;
}

static int follow_one(struct work *work, struct notices *notices, const struct plan *plan,
                      struct plan_case *one, struct error *error)
{
    struct book *book = NULL;
    *one = (struct plan_case){.plan = *plan};
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = read_rest(work, book, one, error);
    work_return(work, book);
    if (code != ERROR_NONE)
        return code;
    one->followed.state = plan->state;
    one->followed.note = "";
    code = follow(work, notices, one, error);
    if (code == ERROR_INPUT) {
        one->followed = (struct followed){.state = plan->state, .note = ""};
        code = notices_add(notices, error, NOTICE_NO_BAR, "plan %lld: %s", (long long)plan->id,
                           error->text);
    }
    return code;
}

int plans_follow(struct work *work, struct notices *notices,
                 int (*take)(void *context, const struct plan_case *one, struct error *error),
                 void *context, size_t *count, struct error *error)
{
    struct plan *plans;
    size_t all = 0;
    *count = 0;
    int code = plans_read(work, &plans, &all, error);
    for (size_t i = 0; code == ERROR_NONE && i < all; i++) {
        struct plan_case one;
        if (!plan_is_open(&plans[i]))
            continue;
        code = follow_one(work, notices, &plans[i], &one, error);
        if (code == ERROR_NONE)
            code = take(context, &one, error);
        plan_case_close(&one);
        (*count)++;
    }
    free(plans);
    return code;
}
