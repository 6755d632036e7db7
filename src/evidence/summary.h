/* Plain figures of a list of results in R.
 *
 * Every function takes finite numbers and gives NaN where there are too few of
 * them for the figure to exist; it says how many that is. */
#ifndef RUSHLIGHT_EVIDENCE_SUMMARY_H
#define RUSHLIGHT_EVIDENCE_SUMMARY_H

#include <stddef.h>

/* Arithmetic mean; NaN for none. Shifted by the first value, so that a large
 * common offset costs no digits. */
double mean_of(const double *values, size_t count);

/* Standard deviation with n-1, in two passes; NaN for fewer than two. */
double deviation_of(const double *values, size_t count);

/* Quantile q (0 to 1) of values sorted ascending, linear between the order
 * statistics: type 7 of Hyndman & Fan 1996 (Am. Stat. 50, 361). NaN for none. */
double quantile_sorted(const double *sorted, size_t count, double q);
void sort_numbers(double *values, size_t count);

/* Number of values above 0: the wins (docs/method.md 10). */
size_t wins_of(const double *values, size_t count);

/* Mean of the wins, mean of the losses (<= 0); NaN where there are none. */
double mean_win(const double *values, size_t count);
double mean_loss(const double *values, size_t count);

/* Sum of wins over the absolute sum of losses: common practice, no source. NaN
 * for no trade, infinity where nothing was lost and something won, NaN where
 * both sums are 0. */
double profit_factor(const double *values, size_t count);

/* Largest fall of the cumulated sum from its running peak, which includes the
 * start at 0 (docs/method.md 10; Magdon-Ismail et al. 2004, J. Appl. Prob. 41,
 * 147); >= 0, 0 for none. */
double largest_drawdown(const double *values, size_t count);

/* Most consecutive values <= 0. */
size_t longest_losing_streak(const double *values, size_t count);

/* Chance of at least one run of `length` or more losses in `count` trades that
 * lose independently with chance `loss` (Feller vol. 1, XIII.7, as the
 * recurrence A[m] = A[m-1] - (1-q) q^k A[m-k-1]; with more than 5,000 trades and
 * 50 wins expected his formula (7.11), which is then the same to 1e-14).
 * 0 <= loss <= 1, length > 0. */
double losing_run_chance(double loss, size_t count, size_t length);

/* Expected length of the longest such run: the sum of the chances over all
 * lengths; with more than 5,000 trades and no more than 50 wins expected, from
 * the parts that the wins cut them into (to 1e-5 of it). */
double expected_longest_run(double loss, size_t count);

#endif
