/* Plans: made from a signal of the newest bar or by hand, sized, held against the limits,
 * and kept with the reason before the outcome is known. */
#ifndef RUSHLIGHT_WORK_PLAN_H
#define RUSHLIGHT_WORK_PLAN_H

#include "desk/plan_rule.h"
#include "desk/plan_store.h"
#include "work/account.h"
#include "work/plan_study.h"
#include "work/rules.h"
#include "work/size.h"

struct plan_wish {
    const char *word;          /* an instrument of the book */
    const char *account;       /* its name */
    const struct setup *setup; /* the signal's; NULL: by hand */
    const char *entry, *stop;  /* by hand: decimals */
    const char *target;        /* by hand: one, or NULL */
    const char *risk;          /* NULL: the account's */
    const char *rates;         /* beside those of the book; NULL: none */
    const char *reason;        /* may be NULL where nothing is kept */
    const char *breach;        /* why the limits do not hold this time; NULL: they do */
    bool taken;                /* false: passed by */
};

struct plan_made {
    struct plan plan;
    struct plan_rule rule; /* what it will be followed by */
    struct size_found found;
    struct rates rates;       /* what `found` was reckoned with */
    struct fraction reward_r; /* at the target after costs; failed: there is none */
    struct breach breaches[TERM_COUNT];
    size_t breach_count;
    struct money open_risk; /* of the open plans beside this one */
    struct plan_study study;
    bool with_setup;
};

/* Works a plan out; nothing is kept. It must stay where it is, and is cleared with
 * plan_made_clear, also after an error. ERROR_INPUT where the newest
 * whole bar gives no signal of the setup, for a stop that the rule does not know yet, and
 * for what size_work_out refuses. */
int plan_look(struct work *work, struct notices *notices, const struct plan_wish *wish,
              struct plan_made *made, struct error *error);
void plan_made_clear(struct plan_made *made);
/* Keeps it, held once more against the limits beside all that the book has by then. ERROR_INPUT
 * without a reason, for one taken without a size or against a limit where no word says why, and
 * for such a word where no limit is broken. */
int plan_keep(struct work *work, const struct plan_wish *wish, struct plan_made *made,
              struct error *error);

/* All plans of the book up to the date wished for, by their numbers, as their bars and a person's
 * words have them; the caller frees them. */
int plans_read(struct work *work, struct plan **plans, size_t *count, struct error *error);

#endif
