/* The cautions, each in one wording for every door: terminal, case sheet,
 * report, page. They stand this low because figures say them too. */
#ifndef RUSHLIGHT_DOCUMENT_CAUTIONS_H
#define RUSHLIGHT_DOCUMENT_CAUTIONS_H

#include "base/text.h"

/* Wherever results are summed up. */
extern const char caution_results[];
/* Beside them, where no costs were given. */
extern const char caution_costs[];
/* Wherever a signal, a plan or a single trade is shown. */
extern const char caution_plan[];
/* Where there is room for a line only: at the foot of a page, in a list. */
extern const char caution_short[];

/* Appends a caution broken to lines, without the end of the last. */
void text_append_caution(struct text *text, const char *caution);

#endif
