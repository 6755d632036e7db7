#include "null_tally.h"

#include "evidence/uniform.h"

#include <math.h>
#include <stdlib.h>

bool tally_init(struct tally *tally, const char *name, size_t seeds, bool finer)
{
    *tally = (struct tally){.name = name, .seeds = seeds, .finer = finer};
    tally->p = calloc(seeds, sizeof *tally->p);
    tally->mean = calloc(seeds, sizeof *tally->mean);
    bool whole = tally->p != NULL && tally->mean != NULL;
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        tally->assumed[i] = calloc(seeds, sizeof(double));
        whole = whole && tally->assumed[i] != NULL;
    }
    for (size_t w = 0; w < WAY_COUNT; w++) {
        tally->way_p[w] = calloc(seeds, sizeof(double));
        whole = whole && tally->way_p[w] != NULL;
    }
    return whole;
}

void tally_free(struct tally *tally)
{
    free(tally->p);
    free(tally->mean);
    for (size_t i = 0; i < SAME_BAR_COUNT; i++)
        free(tally->assumed[i]);
    for (size_t w = 0; w < WAY_COUNT; w++)
        free(tally->way_p[w]);
}

double uniform_p(double *p, size_t count)
{
    double below = 0;
    struct error error;
    if (count == 0)
        return NAN;
    sort_numbers(p, count);
    uniform_distance_below(&below, uniform_distance(p, count), count, &error);
    return 1 - below;
}

double share_below(const double *p, size_t count, double level)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++)
        found += p[i] < level;
    return (double)found / (double)count;
}

/* Whether so many of `count` may fall under a share without being a sign that
 * the true share is larger: three standard errors of the binomial law. */
static double slack(double share, size_t count)
{
    return 3 * sqrt(share * (1 - share) / (double)count);
}

struct promise tally_promise(const struct tally *tally)
{
    struct promise promise = {
        .trades = tally->trades / (double)tally->seeds,
        .ks = uniform_p(tally->p, tally->with_p),
        .small = share_below(tally->p, tally->with_p, 0.05),
        .covered = (double)tally->covered / (double)tally->with_mean,
        .covered_alone = (double)tally->covered_alone / (double)tally->alone,
    };
    bool few = tally->with_p < 10 || tally->with_mean < 10;
    /* A full run must keep the bounds as they are; a short one gets the slack
     * of its number of seeds about the promised 5% and 95%. */
    bool full = tally->with_p >= 200;
    double most_small = full ? 0.09 : 0.05 + slack(0.05, tally->with_p);
    double least_covered = full ? 0.91 : 0.95 - slack(0.05, tally->with_mean);
    double most_covered = full ? 0.99 : 1;
    promise.kept = few || (promise.ks >= 0.01 && promise.small <= most_small &&
                           promise.covered >= least_covered && promise.covered <= most_covered &&
                           (!full || promise.trades < 200 || promise.small >= 0.02));
    promise.words = few ? "too few" : promise.kept ? "kept" : "BROKEN";
    return promise;
}
