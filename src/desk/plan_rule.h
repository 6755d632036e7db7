/* What a plan is followed by: its setup as it was when the plan was made, with the candle
 * it was made from, or the orders by hand. */
#ifndef RUSHLIGHT_DESK_PLAN_RULE_H
#define RUSHLIGHT_DESK_PLAN_RULE_H

#include "desk/plan.h"
#include "setup/signals.h"

struct plan_rule {
    char interval[INTERVAL_TEXT_SIZE]; /* of the bars that were asked for; empty: their usual */
    char *text;                        /* of the setup; empty: by hand. Owned */
    int64_t signal;                    /* the time of the newest bar when it was made */
    int64_t candle;                    /* the time of the candle's last bar */
    size_t choice;                     /* which of the setup's shapes it is */
    enum entry_kind kind;              /* by hand: a stop order or a limit order */
    bool kind_known;                   /* false for plans of earlier books */
};

void plan_rule_free(struct plan_rule *rule);

/* "stop" or "limit"; "" where it is not known, and for a setup's. */
const char *plan_kind_word(const struct plan_rule *rule);
/* Reads such a word. */
void plan_kind_read(const char *word, struct plan_rule *rule);

/* A setup whose entry, stop and target are those of a plan by hand; they are put in by
 * plan_hand_lines. The caller frees it with setup_free. ERROR_MACHINE. */
int plan_hand_setup(const struct plan *plan, struct setup *setup, struct error *error);
/* Puts the lines of the plan, as they are in the prices of these bars, into that setup;
 * `bar` is the newest that was known when it was made. Where the kind is not known,
 * an entry beyond the close of that bar is a stop order, another a limit order. False where a decimal of the plan cannot be read. */
bool plan_hand_lines(const struct plan *plan, const struct plan_rule *rule, const struct bars *bars,
                     size_t bar, struct setup *setup);

#endif
