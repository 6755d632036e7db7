#include "work/plan_follow.h"

#include "base/array.h"
#include "base/number.h"
#include "desk/follow_store.h"
#include "desk/plan_store.h"

#include <stdlib.h>
#include <string.h>

/* --- out of the book ----------------------------------------------------------------------- */

static int read_rest(struct book *book, const struct plan *plan, int64_t known,
                     struct plan_rule *rule, struct plan_step **steps, size_t *count,
                     struct error *error)
{
    int code = plan_rule_store_read(book, plan, rule, error);
    return code == ERROR_NONE ? plan_step_store_read(book, plan->id, known, steps, count, error)
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

static int follow(struct plan_case *one, struct error *error)
{
    int code = put_lines(one, error);
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

static int open_rule(struct work *work, struct notices *notices, struct plan_case *one,
                     struct error *error)
{
    int code = make_setup(one, error);
    return code == ERROR_NONE ? open_bars(work, notices, one, error) : code;
}

static void close_rule(struct plan_case *one)
{
    rules_close(&one->opened);
    if (one->has_setup)
        setup_free(&one->setup);
    one->has_setup = false;
}

void plan_case_close(struct plan_case *one)
{
    close_rule(one);
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
        code = read_rest(book, &one->plan, work_known_until(work), &one->rule, &one->steps,
                         &one->step_count, error);
    work_return(work, book);
    free(plans);
    return code;
}

int plan_case_open(struct work *work, struct notices *notices, const char *number,
                   struct plan_case *one, struct error *error)
{
    *one = (struct plan_case){0};
    int code = read_one(work, number, one, error);
    if (code == ERROR_NONE)
        code = open_rule(work, notices, one, error);
    return code == ERROR_NONE ? follow(one, error) : code;
}

/* What of a plan stands in the book. */
struct kept {
    struct plan plan;
    struct plan_rule rule;
    struct plan_step *steps;
    size_t step_count;
};

static int compare_texts(const char *a, const char *b)
{
    return strcmp(a != NULL ? a : "", b != NULL ? b : "");
}

/* Below, at or above 0: at it the same bars and the same setup serve both. */
static int compare_rules(const struct plan *a, const struct plan_rule *x, const struct plan *b,
                         const struct plan_rule *y)
{
    int order = strcmp(a->instrument, b->instrument);
    order = order != 0 ? order : strcmp(x->interval, y->interval);
    order = order != 0 ? order : compare_texts(x->text, y->text);
    return order != 0 || !by_hand(x) ? order : a->is_short - b->is_short;
}

static int compare_kept(const void *a, const void *b)
{
    const struct kept *x = a;
    const struct kept *y = b;
    int order = compare_rules(&x->plan, &x->rule, &y->plan, &y->rule);
    return order != 0 ? order : (x->plan.id > y->plan.id) - (x->plan.id < y->plan.id);
}

static void free_kept(struct kept *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        plan_rule_free(&list[i].rule);
        free(list[i].steps);
    }
    free(list);
}

/* What the book has of those that are open, or of `each` of them. */
static int read_kept(struct work *work, const struct plan *plans, size_t all, bool each,
                     int64_t known, struct kept **list, size_t *count, struct error *error)
{
    struct book *book = NULL;
    *count = 0;
    *list = NULL;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE && (*list = array_new(all, sizeof **list)) == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < all; i++) {
        struct kept *one = &(*list)[*count];
        if (!each && !plan_is_open(&plans[i]))
            continue;
        *one = (struct kept){.plan = plans[i]};
        (*count)++;
        code = read_rest(book, &one->plan, known, &one->rule, &one->steps, &one->step_count, error);
    }
    work_return(work, book);
    return code;
}

/* Puts the plan into the case, whose bars stay open where they serve it too. */
static int follow_next(struct work *work, struct notices *notices, struct kept *kept,
                       struct plan_case *one, struct error *error)
{
    bool serves = one->opened.sheet != NULL &&
                  compare_rules(&one->plan, &one->rule, &kept->plan, &kept->rule) == 0;
    if (!serves)
        close_rule(one);
    free(one->steps);
    plan_rule_free(&one->rule);
    one->plan = kept->plan;
    one->rule = kept->rule;
    one->steps = kept->steps;
    one->step_count = kept->step_count;
    kept->rule.text = NULL;
    kept->steps = NULL;
    one->followed = (struct followed){.state = one->plan.state, .note = ""};
    int code = serves ? ERROR_NONE : open_rule(work, notices, one, error);
    if (code == ERROR_NONE)
        code = follow(one, error);
    if (code != ERROR_INPUT)
        return code;
    one->followed = (struct followed){.state = one->plan.state, .note = ""};
    return notices_add(notices, error, NOTICE_NO_BAR, "plan %lld: %s", (long long)one->plan.id,
                       error->text);
}

typedef int taking(void *context, const struct plan_case *one, struct error *error);

static int follow_all(struct work *work, struct notices *notices, const struct plan *plans,
                      size_t all, bool each, int64_t known, taking *take, void *context,
                      size_t *count, struct error *error)
{
    struct kept *list;
    struct plan_case one = {0};
    int code = read_kept(work, plans, all, each, known, &list, count, error);
    if (code == ERROR_NONE && *count > 0)
        qsort(list, *count, sizeof *list, compare_kept);
    for (size_t i = 0; code == ERROR_NONE && i < *count; i++) {
        code = follow_next(work, notices, &list[i], &one, error);
        if (code == ERROR_NONE)
            code = take(context, &one, error);
    }
    plan_case_close(&one);
    free_kept(list, *count);
    return code;
}

int plans_follow(struct work *work, struct notices *notices, bool each, taking *take, void *context,
                 size_t *count, struct error *error)
{
    struct book *book = NULL;
    struct plan *plans = NULL;
    size_t all = 0;
    *count = 0;
    int code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = plan_store_all(book, 0, work_known_until(work), &plans, &all, error);
    work_return(work, book);
    if (code == ERROR_NONE)
        code = follow_all(work, notices, plans, all, each, work_known_until(work), take, context,
                          count, error);
    free(plans);
    return code;
}

/* --- as the bars have them ------------------------------------------------------------------ */

struct settling {
    struct plan *plans;
    size_t count;
};

static int settle(void *context, const struct plan_case *one, struct error *error)
{
    const struct settling *settling = context;
    (void)error;
    for (size_t i = 0; i < settling->count; i++)
        if (settling->plans[i].id == one->plan.id)
            plan_settle(&settling->plans[i], &one->followed, &one->opened.series.bars);
    return ERROR_NONE;
}

int plans_settle(struct work *work, struct plan *plans, size_t count, int64_t known,
                 struct error *error)
{
    struct settling settling = {plans, count};
    struct notices notices = {0}; /* of other instruments than the one asked about: not said */
    size_t open = 0;
    int code = follow_all(work, &notices, plans, count, false, known, settle, &settling, &open,
                          error);
    notices_free(&notices);
    return code;
}
