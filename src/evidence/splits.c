#include "evidence/splits.h"

#include "base/array.h"
#include "evidence/blocks.h"
#include "evidence/variance.h"

#include <math.h>
#include <stdlib.h>

/* The cells that are tested, ready for replicates. */
struct tested {
    size_t count;
    double **running_sum;
    double **running_weight;
    double *mean;
    double *variance;
};

/* Cochran's Q of deviations x with variances. */
static double heterogeneity(const double *x, const double *variance, size_t count)
{
    double weights = 0;
    double weighted = 0;
    for (size_t c = 0; c < count; c++) {
        weights += 1 / variance[c];
        weighted += x[c] / variance[c];
    }
    double q = 0;
    for (size_t c = 0; c < count; c++)
        q += (x[c] - weighted / weights) * (x[c] - weighted / weights) / variance[c];
    return q;
}

static int measure_cell(struct split_cell *cell, size_t date_count,
                        const struct estimate_plan *plan, struct date_sums *sums, double *length,
                        struct error *error)
{
    int code = date_sums_init(sums, date_count, &cell->arm, error);
    if (code != ERROR_NONE)
        return code;
    cell->dates = dates_used(sums);
    cell->mean = sums->total_weight > 0 ? sums->total_sum / sums->total_weight : NAN;
    cell->variance = NAN;
    if (cell->dates < STUDENT_DATES)
        return ERROR_NONE;
    double *u = array_new(date_count, sizeof *u);
    if (u == NULL)
        return error_memory(error);
    date_influence(u, sums, NULL);
    double own = fmax(automatic_block_length(u, date_count), fmax(1, 3 * plan->held_dates));
    own = fmin(own, fmax(1, (double)date_count / 2));
    cell->variance = corrected_variance(u, date_count, own);
    *length = fmax(*length, own);
    free(u);
    return ERROR_NONE;
}

static int add_tested(struct tested *tested, const struct split_cell *cell, struct date_sums *sums,
                      struct error *error)
{
    size_t c = tested->count;
    tested->running_sum[c] = array_new(sums->count + 1, sizeof(double));
    tested->running_weight[c] = array_new(sums->count + 1, sizeof(double));
    tested->mean[c] = cell->mean;
    tested->variance[c] = cell->variance;
    tested->count++;
    if (tested->running_sum[c] == NULL || tested->running_weight[c] == NULL)
        return error_memory(error);
    running_sums(tested->running_sum[c], sums->sum, sums->count);
    running_sums(tested->running_weight[c], sums->weight, sums->count);
    return ERROR_NONE;
}

static double replicate_q(const struct tested *tested, size_t date_count,
                          const struct block_law *law, uint64_t seed, size_t number, double *room)
{
    double *sum = room;
    double *weight = room + tested->count;
    struct block_draw draw;
    struct block block;
    for (size_t c = 0; c < 2 * tested->count; c++)
        room[c] = 0;
    blocks_start(&draw, seed, number, date_count, law);
    while (blocks_next(&draw, &block)) {
        for (size_t c = 0; c < tested->count; c++) {
            sum[c] += block_sum(tested->running_sum[c], date_count, block);
            weight[c] += block_sum(tested->running_weight[c], date_count, block);
        }
    }
    for (size_t c = 0; c < tested->count; c++)
        sum[c] = weight[c] > 1e-9 ? sum[c] / weight[c] - tested->mean[c] : 0;
    return heterogeneity(sum, tested->variance, tested->count);
}

static int tested_init(struct tested *tested, size_t cell_count, struct error *error)
{
    tested->running_sum = calloc(cell_count, sizeof *tested->running_sum);
    tested->running_weight = calloc(cell_count, sizeof *tested->running_weight);
    tested->mean = array_new(cell_count, sizeof(double));
    tested->variance = array_new(cell_count, sizeof(double));
    return tested->running_sum == NULL || tested->running_weight == NULL || tested->mean == NULL ||
                   tested->variance == NULL
               ? error_memory(error)
               : ERROR_NONE;
}

static void tested_free(struct tested *tested)
{
    for (size_t c = 0; c < tested->count; c++) {
        free(tested->running_sum[c]);
        free(tested->running_weight[c]);
    }
    free(tested->running_sum);
    free(tested->running_weight);
    free(tested->mean);
    free(tested->variance);
}

static int run_test(const struct tested *tested, size_t date_count, double length,
                    const struct estimate_plan *plan, double *p, struct error *error)
{
    enum { SHARES = 16 };
    double seen = heterogeneity(tested->mean, tested->variance, tested->count);
    bool failed = false;
    size_t beyond = 0;
    struct block_law law;
    block_law_init(&law, length);
#pragma omp parallel for num_threads(plan->threads) schedule(dynamic) reduction(|| : failed) \
    reduction(+ : beyond)
    for (size_t s = 0; s < SHARES; s++) {
        double *room = array_new(2 * tested->count, sizeof *room);
        failed = failed || room == NULL;
        size_t last = plan->resamples * (s + 1) / SHARES;
        for (size_t r = plan->resamples * s / SHARES; room != NULL && r < last; r++)
            beyond += replicate_q(tested, date_count, &law, plan->seed, r, room) >= seen;
        free(room);
    }
    *p = (1 + (double)beyond) / (1 + (double)plan->resamples);
    return failed ? error_memory(error) : ERROR_NONE;
}

int test_splits(struct split_cell *cells, size_t cell_count, size_t date_count,
                const struct estimate_plan *plan, double *p, struct error *error)
{
    struct tested tested = {0};
    double length = 1;
    *p = NAN;
    int code = tested_init(&tested, cell_count, error);
    for (size_t c = 0; c < cell_count && code == ERROR_NONE; c++) {
        struct date_sums sums = {0};
        code = measure_cell(&cells[c], date_count, plan, &sums, &length, error);
        if (code == ERROR_NONE && cells[c].variance > 1e-24)
            code = add_tested(&tested, &cells[c], &sums, error);
        date_sums_free(&sums);
    }
    if (code == ERROR_NONE && tested.count >= 2)
        code = run_test(&tested, date_count, length, plan, p, error);
    tested_free(&tested);
    return code;
}
