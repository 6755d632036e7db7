/* What the newest study of a setup found, as the ledger has it. */
#ifndef RUSHLIGHT_WORK_PLAN_STUDY_H
#define RUSHLIGHT_WORK_PLAN_STUDY_H

#include "evidence/evidence_store.h"
#include "setup/setup.h"
#include "work/work.h"

struct plan_study {
    bool found;
    int64_t at; /* when it was run, UTC */
    int64_t closed;
    double mean_r, low, high; /* in R after costs, with its 95 % interval */
    size_t instruments;
};

/* The newest finished study of just this setup: every word of its rule. Only
 * ERROR_MACHINE and what opening the book has. */
int plan_study_find(struct work *work, const struct setup *setup, struct plan_study *study,
                    struct error *error);
/* The same out of a ledger that is read already. ERROR_MACHINE. */
int plan_study_in(const struct ledger *ledger, const struct setup *setup, struct plan_study *study,
                  struct error *error);

#endif
