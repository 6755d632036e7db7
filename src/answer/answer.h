/* What each answer says, as a document, once for every door.
 *
 * A document is filled after document_init, and fails as one (document.h);
 * results and setups are borrowed and must outlive it. Words as text, tables
 * and figures come from the evidence alone. */
#ifndef RUSHLIGHT_ANSWER_ANSWER_H
#define RUSHLIGHT_ANSWER_ANSWER_H

#include "base/json.h"
#include "document/document.h"
#include "evidence/compare.h"
#include "evidence/evidence_store.h"
#include "evidence/sensitivity.h"
#include "evidence/study.h"
#include "evidence/trials.h"

/* A study: what can and what cannot be said, in that order only where something
 * can (it says neither "works" nor "proven"), cautions, figures, all tables.
 * `trials` may be NULL. */
void answer_study(struct document *document, const struct study *study, const struct setup *setup,
                  const struct study_trials *trials);
/* Two setups compared. */
void answer_comparison(struct document *document, const struct setup_comparison *comparison);
/* Strips and maps of one setup's numbers. */
void answer_sensitivity(struct document *document, const char *setup,
                        const struct sensitivity *found, size_t count);
/* The ledger; adjusted[i] is the p of line i after Benjamini-Hochberg, NaN
 * without p. */
void answer_ledger(struct document *document, const struct ledger *ledger, const double *adjusted);

/* The same as members of the object that is open: the stable keys of
 * docs/commands.md. A sensitivity is an object of its own. */
void study_json(struct json *json, const struct study *study, const struct setup *setup,
                const struct study_trials *trials);
void comparison_json(struct json *json, const struct setup_comparison *comparison);
void sensitivity_json(struct json *json, const struct sensitivity *sensitivity);

/* Appends the study as CSV, one figure a line:
 * figure,of,value,low,high,p,count. */
void study_csv(struct text *text, const struct study *study);

#endif
