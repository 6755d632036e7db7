/* A band round whole paths, not round each point of them. */
#ifndef RUSHLIGHT_EVIDENCE_ENVELOPE_H
#define RUSHLIGHT_EVIDENCE_ENVELOPE_H

#include "base/error.h"

#include <stddef.h>

/* low[i] and high[i] for i < steps, such that at least `share` (0 to 1) of the
 * paths lie inside, ends included, at all steps at once; the narrowest band of
 * its kind: between the c-th smallest and the c-th largest value of each step.
 * values[i * paths + p] is path p at step i, finite; paths and steps > 0. The
 * envelope of extreme ranks (Myllymäki, Mrkvička, Grabarnik, Seijo & Hahn 2017,
 * J. R. Stat. Soc. B 79, 381, from memory). */
int path_envelope(double *low, double *high, const double *values, size_t paths, size_t steps,
                  double share, struct error *error);

#endif
