/* Plans of the book followed by their bars, and a person's words on them. */
#ifndef RUSHLIGHT_WORK_PLAN_FOLLOW_H
#define RUSHLIGHT_WORK_PLAN_FOLLOW_H

#include "desk/follow.h"
#include "work/rules.h"

/* One plan with everything that it is followed by. */
struct plan_case {
    struct plan plan;
    struct plan_rule rule;
    struct plan_step *steps;
    size_t step_count;
    struct setup setup;
    bool has_setup;
    struct rules_case opened;
    struct followed followed;
};

/* Follows the plan of this number up to the date wished for. ERROR_INPUT where there is none
 * of it, and what opening its bars has. Cleared with plan_case_close, also after an error. */
int plan_case_open(struct work *work, struct notices *notices, const char *number,
                   struct plan_case *one, struct error *error);
void plan_case_close(struct plan_case *one);

/* Hands the plans that are taken and at no end that a person told of, or all of them, to `take`,
 * in the order of their instruments; those of one instrument and setup share what is opened; one whose bars cannot be opened is handed on with what stands in the
 * book alone (followed.known false), and said aside. */
int plans_follow(struct work *work, struct notices *notices, bool all,
                 int (*take)(void *context, const struct plan_case *one, struct error *error),
                 void *context, size_t *count, struct error *error);

/* Brings those of these plans that are open to what their bars and the words up to `known` made
 * of them (desk/follow.h); one whose bars cannot be opened stays as it was said to be. */
int plans_settle(struct work *work, struct plan *plans, size_t count, int64_t known,
                 struct error *error);

/* What a person says of a plan. */
struct plan_word_wish {
    const char *number;
    enum plan_step_kind kind;
    const char *price;  /* NULL: none */
    int64_t at;         /* of the bar it is about; INT64_MIN: now */
    bool at_is_date;    /* `at` is a date, at 00:00 UTC */
    const char *result; /* R of one that is done; NULL */
    const char *note;   /* NULL: none */
    bool corrects;      /* a fill or a close that was said before */
};

/* Keeps it with the moment, where it can be; ERROR_INPUT says in a line why not. */
int plan_say(struct work *work, struct notices *notices, const struct plan_word_wish *wish,
             struct error *error);

#endif
