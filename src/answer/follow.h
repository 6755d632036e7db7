/* What a plan that is followed says, and the list of those that are, once for every door. */
#ifndef RUSHLIGHT_ANSWER_FOLLOW_H
#define RUSHLIGHT_ANSWER_FOLLOW_H

#include "answer/listing.h"
#include "base/json.h"
#include "document/document.h"
#include "work/plan_follow.h"

/* Its state, what to do now, what a split or dividend did to it, what happened, the orders
 * that stand, what the rules alone would have done, and the caution. */
void answer_follow(struct document *document, const struct plan_case *one);
/* The same as members of the object that is open. */
void follow_json(struct json *json, const struct plan_case *one);

extern const struct listing followed_listing;
void follow_put(struct table *table, const struct plan_case *one);
/* How many there are and have something to be done, and the caution; below their rows. */
void follow_closing(struct text *words, size_t count, size_t to_do);

#endif
