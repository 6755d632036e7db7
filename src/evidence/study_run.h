/* The run of a study. */
#ifndef RUSHLIGHT_EVIDENCE_STUDY_RUN_H
#define RUSHLIGHT_EVIDENCE_STUDY_RUN_H

#include "evidence/study.h"

/* Runs the study. `study` is the caller's to free with study_free, also after
 * an error. Without a single trade it is whole and says so by its counts. */
int study_run(struct study *study, const struct setup *setup, const struct study_series *series,
              size_t series_count, const struct study_options *options, struct error *error);

#endif
