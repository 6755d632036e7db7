/* What is known of orders such as these, once for every door. */
#ifndef RUSHLIGHT_ANSWER_PLAN_WORDS_H
#define RUSHLIGHT_ANSWER_PLAN_WORDS_H

#include "base/text.h"
#include "trade/plan.h"
#include "work/plan_study.h"

/* What they come to: 1 R, and target and stop after costs; or why there is no R. */
void orders_words(struct text *text, const struct planned_orders *orders, bool is_short);

/* What the newest study of the setup found, or that there is none. `date` is that
 * of the study, written as the door writes dates; unused where there is none. */
void plan_study_words(struct text *text, const struct plan_study *study, const char *date);
/* The same for a list: "29 trades, mean +0.96 R (+0.24 to +1.68)", "not studied". */
void plan_study_figure_words(struct text *text, const struct plan_study *study);
/* And that it may be luck, where the interval holds 0 and nothing more is said beside it. */
void plan_study_short_words(struct text *text, const struct plan_study *study);

#endif
