/* What working a plan out and keeping it share. Private to the layer. */
#ifndef RUSHLIGHT_WORK_PLAN_PARTS_H
#define RUSHLIGHT_WORK_PLAN_PARTS_H

#include "work/plan.h"

/* How the entry comes about, for the line that is typed. */
struct order_words {
    enum entry_kind kind;
    bool either;      /* by hand: the close is not known, which tells a stop order from a limit */
    const char *help; /* of a rule that waits for more than a close beyond one price; else NULL */
    bool moves;       /* that price is another one at every bar */
    bool at_close;
    size_t valid;       /* bars; 0: not said */
    size_t valid_again; /* of a retest: bars for the close after it */
    size_t targets;     /* of the setup, the nearest of which is taken for the whole size */
    size_t time_stop;   /* bars after the entry bar; 0: none */
};

/* The orders of the newest signal, or those by hand: entry, stop and costs go into the wish,
 * the target is failed where there is none; the rule is what it will be followed by.
 * ERROR_INPUT as of plan_look. */
int plan_find_orders(struct work *work, struct notices *notices, const struct plan_wish *wish,
                     const struct bars *bars, struct size_wish *size, struct fraction *target,
                     struct order_words *words, struct plan_rule *rule, struct error *error);

/* A price with the places of its tick. */
void plan_price_words(char text[FRACTION_TEXT_SIZE], const struct instrument *instrument,
                      struct fraction price);
/* Fills `lines` of a plan whose prices and size are there; false without memory. */
bool plan_make_lines(struct plan *plan, const struct instrument *instrument,
                     const struct order_words *words);

/* Whether the words of a wish can be kept: those that are given, and one for a breach is not
 * empty. ERROR_INPUT says which cannot. */
int plan_check_words(const struct plan_wish *wish, struct error *error);

/* Holds the plan against the limits of its account beside these plans of it. ERROR_INPUT where
 * a sum cannot be held, and for one taken without a balance above 0. */
int plan_check_limits(const struct work *work, const struct account_view *view,
                      const struct plan *plans, size_t count, struct plan_made *made,
                      struct error *error);

#endif
