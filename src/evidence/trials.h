/* Many trials: how much of the best of them is luck. */
#ifndef RUSHLIGHT_EVIDENCE_TRIALS_H
#define RUSHLIGHT_EVIDENCE_TRIALS_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

/* What the ledger knows of a trial when its outcome is shown. */
struct study_trials {
    size_t family;           /* trials of this family on overlapping data, this one included */
    size_t all;              /* of all families */
    double p_adjusted;       /* Benjamini-Hochberg over the family; NaN: not known */
    double p_reality_check;  /* NaN: not known */
    const char *sealed_from; /* a date, NULL: nothing is sealed */
};

/* Adjusted p-values that control the false discovery rate (Benjamini &
 * Hochberg 1995, J. R. Stat. Soc. B 57, 289): for the i-th smallest of m, the
 * least of p m / j over j >= i, at most 1. p in 0..1; `adjusted` may be `p`. */
int adjust_trials(double *adjusted, const double *p, size_t count, struct error *error);

/* White's reality check (White 2000, Econometrica 68, 1097): the chance that
 * the best of `trial_count` worthless trials looks as good as the best one does.
 * results[k][d] is trial k's result on common date d (0 without a trade). The
 * statistic is sqrt(N) times the largest mean over dates; the replicates are
 * those of the stationary bootstrap about each trial's own mean. Writes
 * (1 + #{V* >= V}) / (1 + resamples); NaN without a trial or a date. */
int reality_check(double *p, const double *const *results, size_t trial_count, size_t date_count,
                  double block_length, size_t resamples, uint64_t seed, int threads,
                  struct error *error);

#endif
