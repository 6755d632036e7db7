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

#endif
