/* The entries of a ledger as the trials that they are. */
#ifndef RUSHLIGHT_ANSWER_LEDGER_TRIALS_H
#define RUSHLIGHT_ANSWER_LEDGER_TRIALS_H

#include "base/text.h"
#include "evidence/evidence_store.h"

/* A trial: the same rule on the same bars, however often it was entered. */
struct ledger_trial {
    const struct ledger_line *line; /* the newest study among its entries, else the newest
                                     * with a mean, else the newest */
    size_t entries;
};

/* Fills trials[0..count) in the order of those entries, the oldest first, and returns the
 * count, at most that of the lines; `trials` has room for as many. */
size_t ledger_trials_of(const struct ledger *ledger, struct ledger_trial *trials);

/* Appends what was tried: the kind of the entry and its setup, or of a number that was moved
 * what it was moved to, as "exit.targets.1.r 1.25 of the-setup", by what it differs in from
 * its setup as another entry has it. */
void ledger_say(struct text *text, const struct ledger *ledger, const struct ledger_line *line);

#endif
