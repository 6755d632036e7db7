#include "evidence/estimate.h"

#include "base/array.h"
#include "evidence/blocks.h"
#include "evidence/proportion.h"
#include "evidence/summary.h"
#include "evidence/variance.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sums and weights of the arms over the dates, running, side by side: a block
 * asks for all of them at its two ends. */
enum { ARM_COLUMNS = 2, MOST_COLUMNS = 2 * ARM_COLUMNS };

struct running {
    double *at;     /* at[date * columns + 2 * arm], and the weight beside it */
    size_t columns; /* 2 for one arm, 4 for two */
    size_t dates;
    struct block_law law;
};

bool estimate_has_p(const struct estimate *estimate)
{
    return estimate->method == ESTIMATE_STUDENT || estimate->method == ESTIMATE_BOOTSTRAP;
}

static double ratio(const struct date_sums *sums)
{
    return sums->total_weight > 0 ? sums->total_sum / sums->total_weight : NAN;
}

static void running_add(struct running *running, size_t column, const double *values)
{
    running->at[column] = 0;
    for (size_t d = 0; d < running->dates; d++)
        running->at[(d + 1) * running->columns + column] = running
                                                               ->at[d * running->columns + column] +
                                                           values[d];
}

/* `b` may be NULL. */
static int running_init(struct running *running, const struct date_sums *a,
                        const struct date_sums *b, double length, struct error *error)
{
    running->columns = b != NULL ? MOST_COLUMNS : ARM_COLUMNS;
    running->dates = a->count;
    running->at = array_new((a->count + 1) * running->columns, sizeof *running->at);
    if (running->at == NULL)
        return error_memory(error);
    block_law_init(&running->law, length);
    running_add(running, 0, a->sum);
    running_add(running, 1, a->weight);
    if (b != NULL) {
        running_add(running, 2, b->sum);
        running_add(running, 3, b->weight);
    }
    return ERROR_NONE;
}

/* The blocks of one replicate as sums, column by column for each block; their
 * number. The columns are a constant where this is inlined. */
static inline size_t draw_blocks(double *sums, const struct running *running, size_t columns,
                                 uint64_t seed, size_t number)
{
    struct block_draw draw;
    struct block block;
    size_t dates = running->dates;
    size_t count = 0;
    blocks_start(&draw, seed, number, dates, &running->law);
    while (blocks_next(&draw, &block)) {
        const double *from = running->at + block.start * columns;
        const double *all = running->at + dates * columns;
        size_t end = block.start + block.length;
        const double *to = running->at + (end <= dates ? end : end - dates) * columns;
        double *out = sums + columns * count++;
        for (size_t c = 0; c < columns; c++)
            out[c] = end <= dates ? to[c] - from[c] : all[c] - from[c] + to[c];
    }
    return count;
}

/* t* = (m* - m) / sqrt(V*), V* from the block sums of the replicate's own u;
 * NaN where an arm is empty or V* is 0. */
static inline double studentised(const double *sums, size_t columns, size_t count, double value)
{
    double mean[2] = {0, 0};
    double weight[2] = {1, 1};
    for (size_t a = 0; a < columns / ARM_COLUMNS; a++) {
        double sum = 0;
        weight[a] = 0;
        for (size_t k = 0; k < count; k++) {
            sum += sums[k * columns + 2 * a];
            weight[a] += sums[k * columns + 2 * a + 1];
        }
        /* Running sums leave a little dust where no trade was drawn. */
        if (!(weight[a] > 1e-9))
            return NAN;
        mean[a] = sum / weight[a];
    }
    double variance = 0;
    for (size_t k = 0; k < count; k++) {
        const double *block = sums + k * columns;
        double u = (block[0] - mean[0] * block[1]) / weight[0];
        if (columns > ARM_COLUMNS)
            u -= (block[2] - mean[1] * block[3]) / weight[1];
        variance += u * u;
    }
    double difference = mean[0] - mean[1];
    return variance > 1e-24 ? (difference - value) / sqrt(variance) : NAN;
}

static double replicate(double *sums, const struct running *running, double value, uint64_t seed,
                        size_t number)
{
    if (running->columns == ARM_COLUMNS)
        return studentised(sums, ARM_COLUMNS, draw_blocks(sums, running, ARM_COLUMNS, seed, number),
                           value);
    return studentised(sums, MOST_COLUMNS, draw_blocks(sums, running, MOST_COLUMNS, seed, number),
                       value);
}

/* Replicates first to last into t[]; false without memory. */
static bool replicate_share(double *t, const struct running *running, double value, uint64_t seed,
                            size_t first, size_t last)
{
    double *sums = array_new(running->columns * (running->dates + 1), sizeof *sums);
    if (sums == NULL)
        return false;
    for (size_t r = first; r < last; r++)
        t[r] = replicate(sums, running, value, seed, r);
    free(sums);
    return true;
}

static int all_replicates(double *t, const struct running *running, double value,
                          const struct estimate_plan *plan, struct error *error)
{
    enum { SHARES = 16 };
    bool failed = false;
#pragma omp parallel for num_threads(plan->threads) schedule(dynamic) reduction(|| : failed)
    for (size_t s = 0; s < SHARES; s++) {
        size_t first = plan->resamples * s / SHARES;
        size_t last = plan->resamples * (s + 1) / SHARES;
        failed = failed || !replicate_share(t, running, value, plan->seed, first, last);
    }
    return failed ? error_memory(error) : ERROR_NONE;
}

/* Interval and p from the studentised replicates. */
static void read_replicates(struct estimate *estimate, double *t, size_t count)
{
    double scale = sqrt(estimate->variance);
    double seen = estimate->value / scale;
    size_t kept = 0;
    size_t beyond = 0;
    for (size_t r = 0; r < count; r++) {
        if (isnan(t[r]))
            continue;
        beyond += t[r] >= seen;
        t[kept++] = t[r];
    }
    estimate->left_out = count - kept;
    if (kept < count / 2 || kept == 0) {
        estimate->method = ESTIMATE_NONE;
        return;
    }
    sort_numbers(t, kept);
    estimate->low = estimate->value - quantile_sorted(t, kept, 0.975) * scale;
    estimate->high = estimate->value - quantile_sorted(t, kept, 0.025) * scale;
    estimate->p = (1 + (double)beyond) / (1 + (double)kept);
}

static int bootstrap(struct estimate *estimate, const struct date_sums *a,
                     const struct date_sums *b, const struct estimate_plan *plan,
                     struct error *error)
{
    struct running running = {.at = NULL};
    double *t = array_new(plan->resamples, sizeof *t);
    int code = t == NULL ? error_memory(error)
                         : running_init(&running, a, b, estimate->block_length, error);
    if (code == ERROR_NONE)
        code = all_replicates(t, &running, estimate->value, plan, error);
    if (code == ERROR_NONE)
        read_replicates(estimate, t, plan->resamples);
    free(running.at);
    free(t);
    return code;
}

/* nu: the effective number of blocks of L dates less one. */
static double block_freedom(const struct arm *arm, size_t date_count, double length)
{
    size_t step = (size_t)fmax(1, ceil(length));
    size_t blocks = date_count / step + 1;
    double *trades = calloc(blocks, sizeof *trades);
    if (trades == NULL)
        return NAN;
    for (size_t i = 0; i < arm->count; i++)
        trades[arm->date[i] / step]++;
    double squares = 0;
    for (size_t k = 0; k < blocks; k++)
        squares += trades[k] * trades[k];
    free(trades);
    return (double)arm->count * (double)arm->count / squares - 1;
}

static void student(struct estimate *estimate, const struct arm *arm, size_t date_count)
{
    double nu = block_freedom(arm, date_count, estimate->block_length);
    if (!(nu >= 1)) {
        estimate->method = ESTIMATE_NONE;
        return;
    }
    double scale = sqrt(estimate->variance * (nu + 1) / nu);
    double half = gsl_cdf_tdist_Pinv(0.975, nu) * scale;
    estimate->freedom = nu;
    estimate->low = estimate->value - half;
    estimate->high = estimate->value + half;
    estimate->p = gsl_cdf_tdist_Q(estimate->value / scale, nu);
}

/* The limits of the win rate in R, with the average win and loss as they were
 * seen; an average loss that was never seen counts as -1 R, the risk taken. */
static void carry_wins(struct estimate *estimate, const struct arm *arm)
{
    double win = mean_win(arm->value, arm->count);
    double loss = mean_loss(arm->value, arm->count);
    if (isnan(win))
        return;
    if (isnan(loss))
        loss = -1;
    double share = (double)wins_of(arm->value, arm->count) / (double)arm->count;
    struct limits limits = wilson_limits(share, (double)arm->count, NORMAL_975);
    estimate->low = limits.low * win + (1 - limits.low) * loss;
    estimate->high = limits.high * win + (1 - limits.high) * loss;
    estimate->method = ESTIMATE_WINS;
}

static enum estimate_method choose_method(const struct estimate *estimate, const struct arm *arm)
{
    size_t wins = wins_of(arm->value, arm->count);
    if (!(estimate->variance > 1e-24))
        return ESTIMATE_NONE;
    if (estimate->dates >= BOOTSTRAP_DATES)
        return ESTIMATE_BOOTSTRAP;
    if (estimate->dates >= STUDENT_DATES && wins >= STUDENT_EACH &&
        arm->count - wins >= STUDENT_EACH)
        return ESTIMATE_STUDENT;
    return ESTIMATE_NONE;
}

/* Everything that needs u(d): L, V and the design effect. */
static int measure_spread(struct estimate *estimate, const struct date_sums *a,
                          const struct date_sums *b, const struct arm *arm,
                          const struct estimate_plan *plan, struct error *error)
{
    double *u = array_new(a->count, sizeof *u);
    if (u == NULL)
        return error_memory(error);
    date_influence(u, a, b);
    double most = fmax(1, (double)a->count / 2);
    estimate->block_length = fmin(fmax(automatic_block_length(u, a->count),
                                       fmax(1, 3 * plan->held_dates)),
                                  most);
    estimate->variance = corrected_variance(u, a->count, estimate->block_length);
    double deviation = deviation_of(arm->value, arm->count);
    if (deviation > 0)
        estimate->design_effect = estimate->variance / (deviation * deviation / (double)arm->count);
    free(u);
    return ERROR_NONE;
}

static int estimate_arms(struct estimate *estimate, const struct date_sums *a,
                         const struct date_sums *b, const struct arm *arm,
                         const struct estimate_plan *plan, struct error *error)
{
    estimate->dates = dates_used(a);
    estimate->value = ratio(a) - (b != NULL ? ratio(b) : 0);
    if (isnan(estimate->value))
        return ERROR_NONE;
    int code = measure_spread(estimate, a, b, arm, plan, error);
    if (code != ERROR_NONE)
        return code;
    estimate->method = choose_method(estimate, arm);
    if (estimate->method == ESTIMATE_BOOTSTRAP)
        code = bootstrap(estimate, a, b, plan, error);
    else if (estimate->method == ESTIMATE_STUDENT)
        student(estimate, arm, a->count);
    else if (b == NULL)
        carry_wins(estimate, arm);
    return code;
}

int estimate_difference(struct estimate *estimate, size_t date_count, const struct arm *a,
                        const struct arm *b, const struct estimate_plan *plan, struct error *error)
{
    struct date_sums sums[2] = {{0}, {0}};
    *estimate = (struct estimate){.method = ESTIMATE_NONE,
                                  .value = NAN,
                                  .low = NAN,
                                  .high = NAN,
                                  .p = NAN,
                                  .variance = NAN,
                                  .design_effect = NAN,
                                  .block_length = NAN,
                                  .freedom = NAN,
                                  .count = a->count};
    if (a->count == 0 || date_count == 0)
        return ERROR_NONE;
    int code = date_sums_init(&sums[0], date_count, a, error);
    if (code == ERROR_NONE && b != NULL)
        code = date_sums_init(&sums[1], date_count, b, error);
    if (code == ERROR_NONE)
        code = estimate_arms(estimate, &sums[0], b != NULL ? &sums[1] : NULL, a, plan, error);
    date_sums_free(&sums[0]);
    date_sums_free(&sums[1]);
    return code;
}

int estimate_mean(struct estimate *estimate, size_t date_count, const struct arm *arm,
                  const struct estimate_plan *plan, struct error *error)
{
    return estimate_difference(estimate, date_count, arm, NULL, plan, error);
}
