/* What a plan says, and the list of plans, once for every door. */
#ifndef RUSHLIGHT_ANSWER_PLAN_H
#define RUSHLIGHT_ANSWER_PLAN_H

#include "answer/listing.h"
#include "base/json.h"
#include "document/document.h"
#include "work/plan.h"

/* The orders as lines to type, the size with its reckoning, how it adds up with the open
 * plans, the limits it breaks, what the newest study of its setup found, and the
 * cautions. */
void answer_plan(struct document *document, const struct plan_made *made);
/* The same as members of the object that is open. */
void plan_json(struct json *json, const struct plan_made *made);

extern const struct listing plans_listing;
void plan_put(struct table *table, const struct plan *plan);
/* What the open ones come to, and the caution; below their rows. */
void plans_closing(struct text *words, const struct plan *plans, size_t count);

#endif
