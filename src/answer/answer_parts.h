/* What the files of an answer share. Private to the layer. */
#ifndef RUSHLIGHT_ANSWER_ANSWER_PARTS_H
#define RUSHLIGHT_ANSWER_ANSWER_PARTS_H

#include "answer/answer.h"
#include "draw/chart.h"

/* What it comes to, in a line ended by a newline, and that no costs are in it where none
 * were given. `trials` may be NULL. */
void study_headline(struct text *text, const struct study *study,
                    const struct study_trials *trials);
void comparison_headline(struct text *text, const struct setup_comparison *comparison);
/* Nothing of a map alone. */
void sensitivity_headline(struct text *text, const struct sensitivity *found, size_t count);
/* The answer in three sentences, each ended by a newline: what the setup of this
 * title did and how
 * sure that is, what it may be due to, what it would take to know. `trials` may
 * be NULL. */
void study_answer(struct text *text, const char *title, const struct study *study,
                  const struct study_trials *trials);
/* What a trader asks beside it, as a line: win rate, longest losing streak,
 * deepest drawdown; nothing without a closed trade. */
void study_beside(struct text *text, const struct study *study);

/* Appends what can be said first; of a study what its answer does not say already.
 * Sentences on one line, paragraphs ended by a newline. */
void study_opening(struct text *text, const struct study *study, const struct study_trials *trials);
void comparison_opening(struct text *text, const struct setup_comparison *comparison);
void sensitivity_opening(struct text *text, const struct sensitivity *found, size_t count);

/* Add the figures that there is something to show in; the document keeps what
 * they draw from. */
void study_figures(struct document *document, const struct study *study);
void comparison_figures(struct document *document, const struct setup_comparison *comparison);
void sensitivity_figures(struct document *document, const struct sensitivity *found, size_t count);

/* Add the tables. */
void study_tables(struct document *document, const struct study *study);
void comparison_tables(struct document *document, const struct setup_comparison *comparison);
/* A map also has one of its intervals. */
void sensitivity_table(struct document *document, const struct sensitivity *found);

const char *sensitivity_form_words(enum sensitivity_form form);

/* A row of an interval chart; too little behind it shows faint. */
struct chart_row estimate_row(const char *label, const struct estimate *estimate);

/* Heights that figures want: of rows with intervals, and of all others. */
double figure_rows_height(size_t count);
double figure_plain_height(void);

#endif
