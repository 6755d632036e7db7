/* The reports of a study, of two setups compared, of a setup's numbers moved,
 * and of all tries. All figures are drawn from what the evidence layer gives. */
#ifndef RUSHLIGHT_REPORT_STUDY_REPORT_H
#define RUSHLIGHT_REPORT_STUDY_REPORT_H

#include "evidence/compare.h"
#include "evidence/evidence_store.h"
#include "evidence/sensitivity.h"
#include "evidence/study_words.h"
#include "report/report.h"

/* Appends the report of a study: the opening paragraph, figures, all tables.
 * `tries` may be NULL. */
int study_report(const struct report_target *target, const struct study *study,
                 const struct setup *setup, const struct study_tries *tries, struct error *error);

/* The same of a comparison; target->setups are the two. */
int comparison_report(const struct report_target *target, const struct setup_comparison *comparison,
                      struct error *error);

/* The same of strips and maps of one setup. */
int sensitivity_report(const struct report_target *target, const struct sensitivity *found,
                       size_t count, struct error *error);

/* The same of the ledger; target->setups are none. adjusted[i] is the p of line
 * i after Benjamini-Hochberg, NaN without p. */
int ledger_report(const struct report_target *target, const struct ledger *ledger,
                  const double *adjusted, struct error *error);

#endif
