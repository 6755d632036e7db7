/* The bars of an instrument that fail one criterion only (nearly.h), ranked. */
#ifndef RUSHLIGHT_WORK_NEAR_MISSES_H
#define RUSHLIGHT_WORK_NEAR_MISSES_H

#include "setup/checklist.h"
#include "work/rules.h"

struct near_miss {
    size_t bar;
    double missed_by; /* prices in ATR, the rest as a share of the limit */
    struct check failed;
};

struct near_misses {
    struct near_miss *list;
    size_t count;
    size_t untold;
};

/* The `most` bars from `first` on that missed by least, nearest first, for the
 * caller to free. */
int near_misses_find(const struct rules_case *opened, size_t first, size_t most,
                     struct near_misses *misses, struct error *error);
void near_misses_free(struct near_misses *misses);

#endif
