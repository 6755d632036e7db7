/* What the studies of one case of the null test gave, and what was promised of
 * them. */
#ifndef RUSHLIGHT_TESTS_NULL_TALLY_H
#define RUSHLIGHT_TESTS_NULL_TALLY_H

#include "evidence/summary.h"
#include "null_market.h"
#include "null_ways.h"

struct tally {
    const char *name;
    size_t seeds;
    bool finer; /* a case in which the order inside a bar matters */
    double *p;  /* of the control */
    size_t with_p;
    size_t with_mean;
    size_t covered;
    size_t covered_alone; /* by the interval that takes trades as independent */
    /* Of each study with two trades or more: its mean, and what one assumption
     * about the inside of a bar alone would have made of it. */
    size_t alone;
    double *mean;
    double *assumed[SAME_BAR_COUNT];
    double *way_p[WAY_COUNT];
    size_t with_way[WAY_COUNT];
    double trades; /* of all studies */
};

bool tally_init(struct tally *tally, const char *name, size_t seeds, bool finer);
void tally_free(struct tally *tally);

/* The figures that were promised, and whether they are kept. */
struct promise {
    double trades; /* a study */
    double ks;     /* p of Kolmogorov and Smirnov's test that the p are uniform */
    double small;  /* share of p below 0.05 */
    double covered;
    double covered_alone;
    bool kept;
    const char *words; /* kept, BROKEN, too few */
};
struct promise tally_promise(const struct tally *tally);

/* p of the same test; sorts. NaN for none. */
double uniform_p(double *p, size_t count);
double share_below(const double *p, size_t count, double level);

/* Writes the report of all cases; false, with a word on stderr, where it
 * cannot. */
bool null_report(const char *path, struct tally *tallies, size_t count);

#endif
