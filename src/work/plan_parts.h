/* What working a plan out and keeping it share. Private to the layer. */
#ifndef RUSHLIGHT_WORK_PLAN_PARTS_H
#define RUSHLIGHT_WORK_PLAN_PARTS_H

#include "work/plan.h"

/* Whether the words of a wish can be kept: those that are given, and one for a breach is not
 * empty. ERROR_INPUT says which cannot. */
int plan_check_words(const struct plan_wish *wish, struct error *error);

/* Holds the plan against the limits of its account beside these plans of it. ERROR_INPUT where
 * a sum cannot be held, and for one taken without a balance above 0. */
int plan_check_limits(const struct work *work, const struct account_view *view,
                      const struct plan *plans, size_t count, struct plan_made *made,
                      struct error *error);

#endif
