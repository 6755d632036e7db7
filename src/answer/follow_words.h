/* Sentences of a plan that is followed. */
#ifndef RUSHLIGHT_ANSWER_FOLLOW_WORDS_H
#define RUSHLIGHT_ANSWER_FOLLOW_WORDS_H

#include "base/text.h"
#include "work/plan_follow.h"

/* The state in a sentence, with its dates, prices and R; no end of line. */
void follow_state_words(struct text *text, const struct plan_case *one);
/* "change the stop to sell stop 98 at 12.00": what to do. */
void follow_task_words(struct text *text, const struct plan_case *one,
                       const struct plan_task *task);
/* A trade in a sentence, from its fill to its end. */
void follow_trade_words(struct text *text, const struct plan_case *one, const struct trade *trade);
/* What splits, rolls, dividends and bars put right did to its lines since it was made; nothing
 * without one. */
void follow_scale_words(struct text *text, const struct plan_case *one);

/* "at its stop": how a part of it was left; "" for no such reason. */
const char *follow_exit_words(enum trade_reason reason);

void follow_append_price(struct text *text, const struct plan_case *one, double price);
/* "+1.20"; a dash where it is not known. */
void follow_append_r(struct text *text, double r);
/* The day of a bar; of one that a person told of and that is not there yet, as it was told
 * (INT64_MIN: it is there). */
void follow_append_told(struct text *text, const struct plan_case *one, int64_t told, size_t bar);
void follow_append_date(struct text *text, const struct plan_case *one, size_t bar);
/* The size of a share of the position: whole steps, down; where nothing of it stays, all that
 * is held. */
void follow_append_size(struct text *text, const struct plan_case *one, double share);

#endif
