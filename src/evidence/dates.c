#include "evidence/dates.h"

#include "base/array.h"

#include <stdlib.h>

int date_sums_init(struct date_sums *sums, size_t date_count, const struct arm *arm,
                   struct error *error)
{
    *sums = (struct date_sums){.count = date_count};
    sums->sum = array_new(date_count, sizeof *sums->sum);
    sums->weight = array_new(date_count, sizeof *sums->weight);
    if (sums->sum == NULL || sums->weight == NULL)
        return error_memory(error);
    for (size_t d = 0; d < date_count; d++) {
        sums->sum[d] = 0;
        sums->weight[d] = 0;
    }
    for (size_t i = 0; arm != NULL && i < arm->count; i++) {
        double weight = arm->weight != NULL ? arm->weight[i] : 1;
        sums->sum[arm->date[i]] += weight * arm->value[i];
        sums->weight[arm->date[i]] += weight;
    }
    for (size_t d = 0; d < date_count; d++) {
        sums->total_sum += sums->sum[d];
        sums->total_weight += sums->weight[d];
    }
    return ERROR_NONE;
}

void date_sums_free(struct date_sums *sums)
{
    free(sums->sum);
    free(sums->weight);
    *sums = (struct date_sums){0};
}

size_t dates_used(const struct date_sums *sums)
{
    size_t used = 0;
    for (size_t d = 0; d < sums->count; d++)
        used += sums->weight[d] > 0;
    return used;
}

static void add_influence(double *u, const struct date_sums *sums, double sign)
{
    if (!(sums->total_weight > 0))
        return;
    double mean = sums->total_sum / sums->total_weight;
    double scale = sign / sums->total_weight;
    for (size_t d = 0; d < sums->count; d++)
        u[d] += scale * (sums->sum[d] - mean * sums->weight[d]);
}

void date_influence(double *u, const struct date_sums *a, const struct date_sums *b)
{
    for (size_t d = 0; d < a->count; d++)
        u[d] = 0;
    add_influence(u, a, 1);
    if (b != NULL)
        add_influence(u, b, -1);
}
