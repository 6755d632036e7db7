/* Sums over calendar dates, the ground of every variance here: trades of one
 * date, and of overlapping days, rise and fall together (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_DATES_H
#define RUSHLIGHT_EVIDENCE_DATES_H

#include "base/error.h"

#include <stddef.h>

/* One arm of a comparison: results with their date and weight. The arrays are
 * borrowed. */
struct arm {
    size_t count;
    const size_t *date;   /* 0 to the number of dates less one */
    const double *value;  /* finite, R */
    const double *weight; /* > 0; NULL: all 1 */
};

/* Per date the weighted sum of the values and the sum of the weights. */
struct date_sums {
    size_t count; /* N: all dates, those without a trade too */
    double *sum;
    double *weight;
    double total_sum;
    double total_weight;
};

/* Sums an arm (NULL or empty: zeros everywhere). The caller's to free with
 * date_sums_free, also after an error (only ERROR_MACHINE). */
int date_sums_init(struct date_sums *sums, size_t date_count, const struct arm *arm,
                   struct error *error);
void date_sums_free(struct date_sums *sums);

/* Number of dates with at least one result. */
size_t dates_used(const struct date_sums *sums);

/* u(d) of the ratio mean of `a`, or of the difference of the ratio means of
 * `a` and `b`: per date (sum - mean * weight) / total weight, less the same of
 * `b`. It adds up to 0. `b` may be NULL; an arm without weight adds nothing.
 * `u` has a->count places. */
void date_influence(double *u, const struct date_sums *a, const struct date_sums *b);

#endif
