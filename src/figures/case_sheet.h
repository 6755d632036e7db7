/* The case sheet: one signal on one page, with its figure, the checklist with
 * measured values, the plan, and what followed. */
#ifndef RUSHLIGHT_FIGURES_CASE_SHEET_H
#define RUSHLIGHT_FIGURES_CASE_SHEET_H

#include "base/text.h"
#include "draw/picture.h"
#include "trade/trade.h"

/* What a case is made of; all of it stays the caller's. */
struct case_request {
    const struct setup_view *view;
    const struct trade_terms *terms;
    const char *instrument;
    struct signal signal;
    bool outcome; /* also what followed; false: nothing after the signal is read or drawn */
    /* R of every closed trade of this setup known to the caller, for the rank
     * of this one; may be empty. */
    const double *ranked;
    size_t ranked_count;
    int number; /* of the figure: "Figure 1" */
};

/* Makes the sheet of one case; the caller frees it with picture_free. `prefix`
 * begins its ids. Only ERROR_MACHINE, for want of memory. */
int case_sheet_make(struct picture **picture, struct typesetter *typesetter,
                    const struct case_request *request, const char *prefix, struct error *error);

/* What is said wherever a plan or a result is shown. */
extern const char case_caution[];

#endif
