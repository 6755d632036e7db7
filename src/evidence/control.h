/* Does the candle add anything to its place? The setup's trades against the
 * trades of the other bars of the place (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_CONTROL_H
#define RUSHLIGHT_EVIDENCE_CONTROL_H

#include "evidence/estimate.h"

enum { CONTROL_BANDS = 5 };

/* One filled trade of either arm. */
struct control_trade {
    size_t instrument;
    size_t date;     /* of entry */
    double r;        /* NaN while the trade is open: it counts for the bands alone */
    double risk_atr; /* initial risk in ATR of the signal bar; NaN: in no band, left out */
};

struct control {
    struct estimate difference; /* theta with its interval and p */
    double others_mean;         /* weighted mean R of the others; NaN without any */
    size_t setup;               /* the setup's closed trades that were compared */
    size_t others;              /* closed trades of other bars that were compared */
    size_t without_others;      /* the setup's closed trades in cells without others */
    size_t bands;               /* 1 or CONTROL_BANDS */
    double edges[CONTROL_BANDS - 1];
};

/* Weighs and compares. Cells are instrument by band; bands end at the 20, 40,
 * 60 and 80% quantiles of risk_atr over the setup's trades of all instruments,
 * one band where the outer ones differ by under 1% of the median. In a cell an
 * other trade weighs n_setup / n_other. `setup_cell_others`, where not NULL,
 * gets for each of the setup's trades the mean R of its cell's others, NaN
 * where there are none. */
int control_estimate(struct control *control, const struct control_trade *setup, size_t setup_count,
                     const struct control_trade *others, size_t other_count,
                     size_t instrument_count, size_t date_count, const struct estimate_plan *plan,
                     double *setup_cell_others, struct error *error);

#endif
