/* The case sheet: one signal on one page, with its figure, the checklist with
 * measured values, the plan, and what followed. */
#ifndef RUSHLIGHT_FIGURES_CASE_SHEET_H
#define RUSHLIGHT_FIGURES_CASE_SHEET_H

#include "base/text.h"
#include "draw/picture.h"
#include "figures/case_request.h"

/* Makes the sheet of one case; the caller frees it with picture_free. `prefix`
 * begins its ids. Only ERROR_MACHINE, for want of memory. */
int case_sheet_make(struct picture **picture, struct typesetter *typesetter,
                    const struct case_request *request, const char *prefix, struct error *error);

/* Several cases of one setup on one sheet, two beside one another: candles,
 * orders and what followed, with the date and the result above each. */
int case_sheet_make_several(struct picture **picture, struct typesetter *typesetter,
                            const struct case_request *requests, size_t count, const char *prefix,
                            struct error *error);

/* The figure of a case alone, without words around it: candles, what the rule saw
 * in them, and the orders, for a page that sets the words itself
 * (picture_write_bare). From CASE_FIGURE_WIDTH_LEAST units wide on. */
enum { CASE_FIGURE_WIDTH_LEAST = 320 };
int case_figure_make(struct picture **picture, struct typesetter *typesetter,
                     const struct case_request *request, double width, double height,
                     const char *prefix, struct error *error);
/* The plan in a trader's words, as a case sheet has it: "Buy when …". */
int case_plan_words(const struct case_request *request, struct text *text, struct error *error);

#endif
