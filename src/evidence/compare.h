/* Two setups on the same markets: what one wins over the other, candidate by
 * candidate (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_COMPARE_H
#define RUSHLIGHT_EVIDENCE_COMPARE_H

#include "base/text.h"
#include "evidence/study.h"

struct setup_comparison {
    const char *name[2];    /* of the setups, borrowed */
    size_t candidates;      /* of either */
    size_t own[2];          /* candidates of each */
    size_t filled[2];       /* closed trades of each, every signal on its own */
    size_t both;            /* candidates on which both closed a trade */
    size_t missed[2];       /* closed trades of the other that this one missed */
    double missed_mean[2];  /* their mean R; NaN for none */
    double mean[2];         /* mean R over all candidates, not filled = 0 */
    double mean_both[2];    /* over those on which both traded */
    struct estimate all;    /* first less second, over all candidates */
    struct estimate common; /* over those on which both traded */
    /* Drawdown while open: the worst excursion of the trades of `both`, as a
     * positive length, in ATR of the signal bar and, at equal risk, in R. */
    double against_atr[2];
    double against_r[2];
    struct estimate against_atr_difference;
    struct estimate against_r_difference;
};

/* Takes every candidate of either setup, its signal and its trade under each,
 * every signal on its own. Trades still open count on neither side. Both setups
 * have the same side; ERROR_INPUT otherwise. */
int comparison_run(struct setup_comparison *comparison, const struct setup *const setups[2],
                   const struct study_series *series, size_t series_count,
                   const struct study_options *options, struct error *error);

/* Appends what can and what cannot be said of the difference. */
void comparison_opening(struct text *text, const struct setup_comparison *comparison);
/* Appends the comparison as JSON members. */
void comparison_json(struct text *text, const struct setup_comparison *comparison);

#endif
