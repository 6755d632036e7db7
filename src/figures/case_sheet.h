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
    bool nearly;  /* no signal: a bar that fails one criterion; `outcome` is false then */
    bool context; /* also lines and zones that the setup has no rule about */
    bool outcome; /* also what followed; false: nothing after the signal is read or drawn */
    /* R of every closed trade of this setup known to the caller, for the rank
     * of this one; may be empty. */
    const double *ranked;
    size_t ranked_count;
    int number;    /* of the figure: "Figure 1" */
    size_t before; /* bars shown before the candle; 0: as many as its fall needs */
};

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
