/* Two setups on the same markets: what one wins over the other, candidate by
 * candidate (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_COMPARE_H
#define RUSHLIGHT_EVIDENCE_COMPARE_H

#include "evidence/study.h"

/* One candidate of either setup, with what each made of it. */
struct comparison_pair {
    size_t date; /* of the candle, on the grid */
    bool closed[2];
    size_t entry_date[2]; /* of a closed trade */
    double r[2];          /* 0 where there was no trade; NaN: still open */
    double against_atr[2];
    double against_r[2];
    size_t held; /* bars from the candle to the later exit */
};

struct setup_comparison {
    const char *name[2];         /* of the setups, borrowed */
    size_t candidates;           /* of either */
    size_t own[2];               /* candidates of each */
    size_t filled[2];            /* closed trades of each, every signal on its own */
    size_t both;                 /* candidates on which both closed a trade */
    size_t missed[2];            /* closed trades of the other that this one missed */
    double missed_mean[2];       /* their mean R; NaN for none */
    double mean[2];              /* mean R over all candidates, not filled = 0 */
    double mean_both[2];         /* over those on which both traded */
    struct estimate own_mean[2]; /* of each setup's own closed trades, by date of entry */
    struct estimate all;         /* first less second, over all candidates */
    struct estimate common;      /* over those on which both traded */
    /* Drawdown while open: the worst excursion of the trades of `both`, as a
     * positive length, in ATR of the signal bar and, at equal risk, in R. */
    double against_atr[2];
    double against_r[2];
    struct estimate against_atr_difference;
    struct estimate against_r_difference;
    struct date_grid grid;
    struct comparison_pair *pairs; /* all candidates, by instrument and candle */
};

/* Takes every candidate of either setup, its signal and its trade under each,
 * every signal on its own. Trades still open count on neither side. Both setups
 * have the same side; ERROR_INPUT otherwise. The
 * comparison is the caller's to free, also after an error. */
int comparison_run(struct setup_comparison *comparison, const struct setup *const setups[2],
                   const struct study_series *series, size_t series_count,
                   const struct study_options *options, struct error *error);
void comparison_free(struct setup_comparison *comparison);

/* The closed trades of one of the two; the caller's to free, also after an
 * error. */
int comparison_closed(struct closed_trades *closed, const struct setup_comparison *comparison,
                      size_t side, struct error *error);

#endif
