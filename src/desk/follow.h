/* A plan followed: what has come of it by the newest bar, by the rules of its setup and a
 * person's words, what stands now, and what to do next (docs/method.md 9). No book is read
 * here: the same bars, rule and words give the same answer. */
#ifndef RUSHLIGHT_DESK_FOLLOW_H
#define RUSHLIGHT_DESK_FOLLOW_H

#include "desk/plan_rule.h"
#include "trade/trade.h"

struct follow_question {
    const struct plan *plan;
    const struct plan_rule *rule;
    const struct setup_view *view; /* of its setup, on the bars that are known */
    const struct trade_terms *terms;
    const struct plan_step *steps; /* in the order in which they were said */
    size_t step_count;
};

/* What to do now. */
enum task_kind {
    TASK_PLACE,         /* the entry's order, or at the coming open (price NaN) */
    TASK_WAIT,          /* nothing is typed before a bar has closed: `awaited` says how */
    TASK_CANCEL,        /* the entry's order, which came to nothing */
    TASK_SAY_PLACED,    /* the bars filled an order of which nobody said that it was placed */
    TASK_MOVE_STOP,     /* to the price, for so much of the position */
    TASK_MOVE_TARGET,   /* likewise; the nearest one */
    TASK_PLACE_TARGET,  /* likewise; one more */
    TASK_LEAVE_AT_OPEN, /* with all that is left, at the coming open */
    TASK_LEAVE_AT_CLOSE,
    TASK_SAY_CLOSED /* at what price it was left; what is left of its orders is cancelled */
};

struct plan_task {
    enum task_kind kind;
    double price; /* of the newest bars */
    double share; /* of the whole position */
};

enum { PLAN_TASKS = 4 + TARGET_LIMIT };

struct followed {
    bool known; /* false: the bar that it was made on is not there, and nothing is told */
    enum plan_state state;
    const char *note;   /* of one that lapsed */
    size_t made_bar;    /* the newest bar when it was made */
    struct trade trade; /* with the person's words */
    struct trade_path path;
    struct trade_standing standing;
    /* The bars of a fill and a close that a person told of and that are not there yet; the trade
     * has the last bar in their place. INT64_MIN: they are there, or none was told of. */
    int64_t fill_to_come, close_to_come;
    struct trade rules;         /* what the rules alone would have done */
    bool differs;               /* the person's words made another trade of it */
    double entry, stop, target; /* the plan's lines in prices of the newest bars; NaN: none */
    struct price_scale scale;   /* from those traded then to those */
    bool rescaled;
    bool restated; /* the bars it was made on are others now: the rule's stop is not the plan's */
    char result[PLAN_DECIMAL_SIZE]; /* R in a person's own word; empty: none */
    struct plan_task tasks[PLAN_TASKS];
    size_t task_count;
};

/* Only ERROR_MACHINE. */
int plan_follow(const struct follow_question *question, struct followed *followed,
                struct error *error);

/* Whether `trade` is what became of the plan: not of one that was taken back, passed by, lapsed
 * by a person's word or done with an R alone. */
bool followed_is_own(const struct followed *followed);

/* Brings the plan to what the bars and a person's words made of it: its state, since when, its
 * fill and its R. Nothing where the plan was not followed. */
void plan_settle(struct plan *plan, const struct followed *followed, const struct bars *bars);

/* The bar of a step: the first that begins at or after its time; the count of the bars
 * where that is not known yet. */
size_t plan_step_bar(const struct bars *bars, const struct plan_step *step);

#endif
