/* What the next trades may look like, and how much one can risk on them: the
 * seen trades drawn again in blocks of dates (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_RUIN_H
#define RUSHLIGHT_EVIDENCE_RUIN_H

#include "evidence/estimate.h"

enum { RUIN_LEVELS = 5, RUIN_STEPS = 40 };

/* The quantiles that are reported: 5, 25, 50, 75 and 95%. */
extern const double ruin_levels[RUIN_LEVELS];

struct ruin_plan {
    size_t trades; /* n, the next trades; > 0 */
    double risk;   /* share of the account at risk on each, such as 0.01 */
    /* Limits as shares of the account, 0 for none: loss within one date from
     * its start, loss from the start, fall from the highest level so far. */
    double daily_limit;
    double total_limit;
    double trailing_limit;
    double block_length; /* L of the mean's estimate */
    struct estimate_plan draw;
};

struct ruin {
    double drawdown_r[RUIN_LEVELS];     /* largest drawdown of cumulated R */
    double drawdown_share[RUIN_LEVELS]; /* of the account at this risk, 0 to 1 */
    double streak[RUIN_LEVELS];         /* longest losing streak */
    double growth[RUIN_LEVELS];         /* account after n trades over that before */
    double loses;                       /* chance to end below the start */
    double hits_daily;                  /* chance to reach each limit; NaN: no limit set */
    double hits_total;
    double hits_trailing;
    double kelly;     /* the fraction of largest growth, as seen */
    double kelly_low; /* 95% of what replicates of the dates give */
    double kelly_high;
    double band_r[RUIN_LEVELS]; /* cumulated R after n trades */
    /* On the way: cumulated R after step[i] trades, level by level, and the
     * envelope: 95% of the paths stay inside it at all steps at once. Both of
     * the same paths; for holding a record of trades against a study, once. */
    size_t steps;
    double step[RUIN_STEPS];
    double path_r[RUIN_LEVELS * RUIN_STEPS]; /* path_r[level * steps + i] */
    double whole_low[RUIN_STEPS];
    double whole_high[RUIN_STEPS];
    double *drawdowns; /* largest drawdown in R of each path, ascending; NULL for an empty arm */
    size_t paths;
};

/* Draws plan->draw.resamples paths of plan->trades trades. Results of one date
 * stay together, in the order given; `arm` is sorted by date, weights are not
 * used. All figures are NaN for an empty arm. Same result for any number of
 * threads. The envelope is that of extreme ranks (Myllymäki, Mrkvička, Grabarnik,
 * Seijo & Hahn 2017, J. R. Stat. Soc. B 79, 381, from memory). The ruin is the
 * caller's to free, also after an error. */
int ruin_estimate(struct ruin *ruin, size_t date_count, const struct arm *arm,
                  const struct ruin_plan *plan, struct error *error);
void ruin_free(struct ruin *ruin);

#endif
