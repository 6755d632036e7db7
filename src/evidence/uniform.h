/* Are these numbers uniform? */
#ifndef RUSHLIGHT_EVIDENCE_UNIFORM_H
#define RUSHLIGHT_EVIDENCE_UNIFORM_H

#include "base/error.h"

#include <stddef.h>

/* The Kolmogorov-Smirnov distance of `count` > 0 numbers in 0..1, sorted
 * ascending, from the uniform law. */
double uniform_distance(const double *sorted, size_t count);

/* P(D_n < distance), exact (Marsaglia, Tsang & Wang 2003, J. Stat. Softw. 8,
 * 18). Writes the probability; ERROR_MACHINE without memory. */
int uniform_distance_below(double *chance, double distance, size_t count, struct error *error);

#endif
