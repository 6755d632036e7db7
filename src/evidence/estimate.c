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

/* An arm ready for replicates: running sums over the dates. */
struct running_arm {
    double *sum;
    double *weight;
    bool present;
};

/* What one replicate needs for itself: the block sums of both arms. */
struct replicate {
    double *block[2][2]; /* [arm][sum, weight] */
    size_t block_count;
};

bool estimate_has_p(const struct estimate *estimate)
{
    return estimate->method == ESTIMATE_STUDENT || estimate->method == ESTIMATE_BOOTSTRAP;
}

static double ratio(const struct date_sums *sums)
{
    return sums->total_weight > 0 ? sums->total_sum / sums->total_weight : NAN;
}

static int running_init(struct running_arm *arm, const struct date_sums *sums, struct error *error)
{
    *arm = (struct running_arm){.present = sums != NULL};
    if (sums == NULL)
        return ERROR_NONE;
    arm->sum = array_new(sums->count + 1, sizeof *arm->sum);
    arm->weight = array_new(sums->count + 1, sizeof *arm->weight);
    if (arm->sum == NULL || arm->weight == NULL)
        return error_memory(error);
    running_sums(arm->sum, sums->sum, sums->count);
    running_sums(arm->weight, sums->weight, sums->count);
    return ERROR_NONE;
}

static void running_free(struct running_arm *arm)
{
    free(arm->sum);
    free(arm->weight);
}

/* The blocks of one replicate as sums; the room is date_count + 1 for each. */
static void draw_blocks(struct replicate *replicate, const struct running_arm arms[2],
                        size_t date_count, double length, uint64_t seed, size_t number)
{
    struct block_draw draw;
    struct block block;
    replicate->block_count = 0;
    blocks_start(&draw, seed, number, date_count, length);
    while (blocks_next(&draw, &block)) {
        size_t k = replicate->block_count++;
        for (int a = 0; a < 2 && arms[a].present; a++) {
            replicate->block[a][0][k] = block_sum(arms[a].sum, date_count, block);
            replicate->block[a][1][k] = block_sum(arms[a].weight, date_count, block);
        }
    }
}

/* t* = (m* - m) / sqrt(V*), V* from the block sums of the replicate's own u;
 * NaN where an arm is empty or V* is 0. */
static double studentised(const struct replicate *replicate, const struct running_arm arms[2],
                          double value)
{
    double mean[2] = {0, 0};
    double weight[2] = {1, 1};
    for (int a = 0; a < 2 && arms[a].present; a++) {
        double sum = 0;
        weight[a] = 0;
        for (size_t k = 0; k < replicate->block_count; k++) {
            sum += replicate->block[a][0][k];
            weight[a] += replicate->block[a][1][k];
        }
        /* Running sums leave a little dust where no trade was drawn. */
        if (!(weight[a] > 1e-9))
            return NAN;
        mean[a] = sum / weight[a];
    }
    double variance = 0;
    for (size_t k = 0; k < replicate->block_count; k++) {
        double u = (replicate->block[0][0][k] - mean[0] * replicate->block[0][1][k]) / weight[0];
        if (arms[1].present)
            u -= (replicate->block[1][0][k] - mean[1] * replicate->block[1][1][k]) / weight[1];
        variance += u * u;
    }
    double difference = mean[0] - mean[1];
    return variance > 1e-24 ? (difference - value) / sqrt(variance) : NAN;
}

/* One thread's share of the replicates into t[]; false without memory. */
static bool replicate_share(double *t, const struct running_arm arms[2], size_t date_count,
                            const struct estimate *estimate, const struct estimate_plan *plan,
                            size_t first, size_t last)
{
    struct replicate replicate = {.block_count = 0};
    double *room = array_new(4 * (date_count + 1), sizeof *room);
    if (room == NULL)
        return false;
    for (size_t i = 0; i < 4; i++)
        replicate.block[i / 2][i % 2] = room + i * (date_count + 1);
    for (size_t r = first; r < last; r++) {
        draw_blocks(&replicate, arms, date_count, estimate->block_length, plan->seed, r);
        t[r] = studentised(&replicate, arms, estimate->value);
    }
    free(room);
    return true;
}

static int all_replicates(double *t, const struct running_arm arms[2], size_t date_count,
                          const struct estimate *estimate, const struct estimate_plan *plan,
                          struct error *error)
{
    enum { SHARES = 16 };
    bool failed = false;
#pragma omp parallel for num_threads(plan->threads) schedule(dynamic) reduction(|| : failed)
    for (size_t s = 0; s < SHARES; s++) {
        size_t first = plan->resamples * s / SHARES;
        size_t last = plan->resamples * (s + 1) / SHARES;
        failed = failed || !replicate_share(t, arms, date_count, estimate, plan, first, last);
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
    struct running_arm arms[2] = {{0}, {0}};
    double *t = array_new(plan->resamples, sizeof *t);
    int code = t == NULL ? error_memory(error) : running_init(&arms[0], a, error);
    if (code == ERROR_NONE)
        code = running_init(&arms[1], b, error);
    if (code == ERROR_NONE)
        code = all_replicates(t, arms, a->count, estimate, plan, error);
    if (code == ERROR_NONE)
        read_replicates(estimate, t, plan->resamples);
    running_free(&arms[0]);
    running_free(&arms[1]);
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
        estimate->deff = estimate->variance / (deviation * deviation / (double)arm->count);
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
                                  .deff = NAN,
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
