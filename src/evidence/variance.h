/* The variance of a mean over dependent dates. */
#ifndef RUSHLIGHT_EVIDENCE_VARIANCE_H
#define RUSHLIGHT_EVIDENCE_VARIANCE_H

#include <stddef.h>

/* The stationary bootstrap's own variance of the sum of u, for blocks of mean
 * length `length` (>= 1), on the circle of `count` dates:
 *   V(L) = g(0) + 2 sum_{j>=1} (1 - j/N) (1 - 1/L)^j g(j),
 *   g(j) = sum_d u(d) u(d + j)
 * (Politis & Romano 1994, J. Am. Stat. Assoc. 89, 1303). With u = (x - mean)/N
 * it is the variance of the mean of x. u adds up to 0. Terms whose factor is
 * under 1e-13 are left out. */
double bootstrap_variance(const double *u, size_t count, double length);

/* max(V(L), 2 V(2L) - V(L)): the second takes out the part of the bias that
 * falls as 1/L. */
double corrected_variance(const double *u, size_t count, double length);

/* The automatic mean block length of the stationary bootstrap (Politis & White
 * 2004, Econometric Reviews 23, 53; corrected by Patton, Politis & White 2009,
 * 28, 372): c = 2, K = max(5, ceil(sqrt(log10 n))), m no more than
 * ceil(sqrt n) + K. Between 1 and ceil(min(3 sqrt n, n/3)); 1 for fewer than
 * 8 values or where all are equal. Where no lag passes the test, the largest
 * one is taken. Values need not have mean 0. */
double automatic_block_length(const double *values, size_t count);

#endif
