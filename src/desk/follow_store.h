/* What a plan is followed by, and what a person said of it, in the book; nothing is changed
 * or removed. */
#ifndef RUSHLIGHT_DESK_FOLLOW_STORE_H
#define RUSHLIGHT_DESK_FOLLOW_STORE_H

#include "desk/follow.h"
#include "store/book.h"

/* That of a plan; for one of an earlier book its known bar alone. Free it with
 * plan_rule_free, also after an error. */
int plan_rule_store_read(struct book *book, const struct plan *plan, struct plan_rule *rule,
                         struct error *error);
/* Inside the transaction that keeps the plan. */
int plan_rule_store_keep(struct book *book, int64_t plan, const struct plan_rule *rule,
                         struct error *error);

/* Those of a plan up to this second, in the order in which they were said. The array is the
 * caller's to free. */
int plan_step_store_read(struct book *book, int64_t plan, int64_t known, struct plan_step **steps,
                         size_t *count, struct error *error);
/* Inside a transaction. */
int plan_step_store_keep(struct book *book, int64_t plan, const struct plan_step *step,
                         struct error *error);

#endif
