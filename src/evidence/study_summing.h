/* What the files of a study share. Private to the evidence layer. */
#ifndef RUSHLIGHT_EVIDENCE_STUDY_SUMMING_H
#define RUSHLIGHT_EVIDENCE_STUDY_SUMMING_H

#include "evidence/collect.h"

/* Everything that is asked of a summary. */
struct summing {
    struct study *study;
    const struct setup *setup;
    const struct study_series *series;
    size_t series_count;
    const struct study_options *options;
    struct estimate_plan plan; /* held_dates set from the setup's trades */
    struct error *error;
};

/* study->trades, counts and grid are there; the rest is filled in. */
int sum_results(struct summing *summing);
int sum_controls(struct summing *summing, const struct collected *collected);
int sum_splits(struct summing *summing);
int sum_resampled(struct summing *summing);
int sum_next(struct summing *summing);

#endif
