#include "evidence/trials.h"

#include "base/array.h"
#include "evidence/blocks.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

struct ranked {
    double p;
    size_t place;
};

static int by_p(const void *a, const void *b)
{
    const struct ranked *x = a;
    const struct ranked *y = b;
    return (x->p > y->p) - (x->p < y->p);
}

int adjust_trials(double *adjusted, const double *p, size_t count, struct error *error)
{
    struct ranked *ranked = array_new(count, sizeof *ranked);
    if (ranked == NULL)
        return error_memory(error);
    for (size_t i = 0; i < count; i++)
        ranked[i] = (struct ranked){p[i], i};
    qsort(ranked, count, sizeof *ranked, by_p);
    double least = 1;
    for (size_t i = count; i-- > 0;) {
        least = fmin(least, ranked[i].p * (double)count / (double)(i + 1));
        adjusted[ranked[i].place] = least;
    }
    free(ranked);
    return ERROR_NONE;
}

/* running[k] holds the running sums of trial k less its mean. */
static double best_replicate(double *const *running, size_t trial_count, size_t date_count,
                             const struct block_law *law, uint64_t seed, size_t number,
                             double *sums)
{
    struct block_draw draw;
    struct block block;
    for (size_t k = 0; k < trial_count; k++)
        sums[k] = 0;
    blocks_start(&draw, seed, number, date_count, law);
    while (blocks_next(&draw, &block))
        for (size_t k = 0; k < trial_count; k++)
            sums[k] += block_sum(running[k], date_count, block);
    double best = -INFINITY;
    for (size_t k = 0; k < trial_count; k++)
        best = fmax(best, sums[k]);
    return best;
}

static int count_better(size_t *better, double *const *running, size_t trial_count,
                        size_t date_count, double length, double seen, size_t resamples,
                        uint64_t seed, int threads, struct error *error)
{
    enum { SHARES = 16 };
    bool failed = false;
    size_t count = 0;
    struct block_law law;
    block_law_init(&law, length);
#pragma omp parallel for num_threads(threads) schedule(dynamic) reduction(|| : failed) \
    reduction(+ : count)
    for (size_t s = 0; s < SHARES; s++) {
        double *sums = array_new(trial_count, sizeof *sums);
        failed = failed || sums == NULL;
        for (size_t r = resamples * s / SHARES; sums != NULL && r < resamples * (s + 1) / SHARES;
             r++)
            /* A hair below, so that ties count whatever the order of summing. */
            count += best_replicate(running, trial_count, date_count, &law, seed, r, sums) >=
                     seen - 1e-9 * (1 + fabs(seen));
        free(sums);
    }
    *better = count;
    return failed ? error_memory(error) : ERROR_NONE;
}

int reality_check(double *p, const double *const *results, size_t trial_count, size_t date_count,
                  double block_length, size_t resamples, uint64_t seed, int threads,
                  struct error *error)
{
    *p = NAN;
    if (trial_count == 0 || date_count == 0)
        return ERROR_NONE;
    double **running = calloc(trial_count, sizeof *running);
    double *centred = array_new(date_count, sizeof *centred);
    int code = running == NULL || centred == NULL ? error_memory(error) : ERROR_NONE;
    double seen = -INFINITY;
    for (size_t k = 0; k < trial_count && code == ERROR_NONE; k++) {
        double sum = 0;
        for (size_t d = 0; d < date_count; d++)
            sum += results[k][d];
        seen = fmax(seen, sum);
        running[k] = array_new(date_count + 1, sizeof *running[k]);
        if (running[k] == NULL) {
            code = error_memory(error);
            break;
        }
        for (size_t d = 0; d < date_count; d++)
            centred[d] = results[k][d] - sum / (double)date_count;
        running_sums(running[k], centred, date_count);
    }
    size_t better = 0;
    if (code == ERROR_NONE)
        code = count_better(&better, running, trial_count, date_count, block_length, seen,
                            resamples, seed, threads, error);
    if (code == ERROR_NONE)
        *p = (1 + (double)better) / (1 + (double)resamples);
    for (size_t k = 0; running != NULL && k < trial_count; k++)
        free(running[k]);
    free(running);
    free(centred);
    return code;
}
