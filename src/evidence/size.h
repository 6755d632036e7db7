/* How much to risk on a trade, and how fast that grows. */
#ifndef RUSHLIGHT_EVIDENCE_SIZE_H
#define RUSHLIGHT_EVIDENCE_SIZE_H

#include <stddef.h>

/* Mean of log(1 + fraction * R): growth per trade when that fraction of the
 * account is at risk on each (Kelly 1956, Bell Syst. Tech. J. 35, 917). Minus
 * infinity where a trade takes all; NaN for no trade. */
double growth_rate(const double *results, size_t count, double fraction);

/* The fraction with the largest growth over these results: 0 where the mean is
 * not above 0, infinity where nothing was ever lost, NaN for no trade. */
double kelly_fraction(const double *results, size_t count);

#endif
