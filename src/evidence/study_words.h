/* A study in words and tables, the same for the terminal and for a report. */
#ifndef RUSHLIGHT_EVIDENCE_STUDY_WORDS_H
#define RUSHLIGHT_EVIDENCE_STUDY_WORDS_H

#include "base/text.h"
#include "evidence/section.h"
#include "evidence/study.h"

/* What the ledger knows when the study is shown. */
struct study_tries {
    size_t family;           /* tries of this family on overlapping data, this one included */
    size_t all;              /* of all families */
    double p_adjusted;       /* Benjamini-Hochberg over the family; NaN: not known */
    double p_reality_check;  /* NaN: not known */
    const char *sealed_from; /* a date, NULL: nothing is sealed */
};

/* Appends the opening paragraph: what can and what cannot be said, in that
 * order only where something can. Sentences on one line, paragraphs ended by a
 * newline. It says neither "works" nor "proven". */
void study_opening(struct text *text, const struct study *study, const struct setup *setup,
                   const struct study_tries *tries);

/* The cautions that stand wherever a result is shown. */
extern const char study_caution[];

/* Adds all tables of a study. ERROR_MACHINE without memory. */
int study_sections(struct sections *sections, const struct study *study, struct error *error);

/* Appends the study as JSON members, from "signals" on, without the braces
 * around them: the stable keys of docs/commands.md. */
void study_json(struct text *text, const struct study *study, const struct study_tries *tries);

/* Appends the study as CSV, one figure a line:
 * figure,of,value,low,high,p,count. */
void study_csv(struct text *text, const struct study *study);

#endif
