/* Plans and their steps in the book; nothing is changed or removed. */
#ifndef RUSHLIGHT_DESK_PLAN_STORE_H
#define RUSHLIGHT_DESK_PLAN_STORE_H

#include "desk/plan.h"
#include "store/book.h"

/* Those of an account (0: of all) in the order of their making, with what their steps up
 * to this second came to. The array is the caller's to free. */
int plan_store_all(struct book *book, int64_t account, int64_t known, struct plan **plans,
                   size_t *count, struct error *error);

/* Keeps one that is new, which gets its number; inside a transaction. */
int plan_store_keep(struct book *book, struct plan *plan, struct error *error);

#endif
