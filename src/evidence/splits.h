/* Do the parts of a study differ more than chance lets them? */
#ifndef RUSHLIGHT_EVIDENCE_SPLITS_H
#define RUSHLIGHT_EVIDENCE_SPLITS_H

#include "evidence/estimate.h"

/* One part: its own arm, and what is known of it. */
struct split_cell {
    struct arm arm;
    double mean;     /* filled in; NaN for no trade */
    double variance; /* filled in; NaN where not tested */
    size_t dates;    /* filled in; under 20 the cell takes no part in the test */
};

/* Tests that all cells have the same mean: Cochran's Q (Cochran 1954,
 * Biometrics 10, 101) over the cells of 20 dates or more, its law taken from
 * the same date blocks as everything else, drawn for all cells together about
 * the cells' own means; so cells may share dates. Writes
 * p = (1 + #{Q* >= Q}) / (1 + resamples), NaN with fewer than two such cells. */
int test_splits(struct split_cell *cells, size_t cell_count, size_t date_count,
                const struct estimate_plan *plan, double *p, struct error *error);

#endif
