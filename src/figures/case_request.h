/* What a case sheet is asked for. */
#ifndef RUSHLIGHT_FIGURES_CASE_REQUEST_H
#define RUSHLIGHT_FIGURES_CASE_REQUEST_H

#include "trade/trade.h"

#include <stdbool.h>
#include <stddef.h>

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

#endif
