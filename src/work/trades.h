/* Every trade that a setup would have made. */
#ifndef RUSHLIGHT_WORK_TRADES_H
#define RUSHLIGHT_WORK_TRADES_H

#include "work/rules.h"

/* Of all instruments together. */
struct trades_sum {
    size_t signals;
    size_t passed; /* over, while the setup was busy */
    size_t closed;
    size_t open;
    size_t wins;          /* closed above 0 R */
    size_t same_bar;      /* hung on the order of events within one bar */
    size_t parted;        /* closed, in several parts */
    size_t finer_missing; /* filled, and the finer bars that would tell are not there */
    size_t untold;        /* candles that nothing told against */
    size_t dated_back;    /* filled, by a level brought in with an older date */
    double sum_r;         /* of the closed ones, after costs */
};

/* A trial, entered before anything is opened and finished at the end: hands the
 * signals of each instrument and what became of them to `take`, in order, from
 * the calling thread; they are freed after it. */
int trades_each(struct work *work, const struct setup *setup,
                int (*take)(void *context, const struct rules_case *opened,
                            const struct trades *trades, struct error *error),
                void *context, struct trades_sum *sum, struct error *error);

#endif
