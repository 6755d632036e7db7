/* How far Kelly's fraction is known: its limits over the same dates drawn
 * again. */
#ifndef RUSHLIGHT_EVIDENCE_KELLY_H
#define RUSHLIGHT_EVIDENCE_KELLY_H

#include "evidence/estimate.h"

enum { KELLY_DRAWS = 1000 };

struct kelly {
    double fraction; /* the fraction of largest growth, as seen; see kelly_fraction */
    double low;      /* 2.5 and 97.5% of those of KELLY_DRAWS replicates */
    double high;
};

/* Replicates are blocks of dates of mean length `block_length`, drawn with
 * draw->seed. `arm` has at least one trade and is sorted by date; first[d] to
 * first[d + 1] are the trades of date d; weights are not used. Where there are
 * so many trades that the replicates' fractions lie close together, each is
 * read off slopes that are added up by date beforehand, to 1e-9 of what its
 * trades give one by one. Same result for any number of threads. Only
 * ERROR_MACHINE. */
int kelly_limits(struct kelly *kelly, const struct arm *arm, const size_t *first, size_t date_count,
                 double block_length, const struct estimate_plan *draw, struct error *error);

#endif
