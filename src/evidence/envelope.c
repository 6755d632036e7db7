#include "evidence/envelope.h"

#include "base/array.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* How many of the ascending values are below `value`, or not above it. */
static size_t count_below(const double *sorted, size_t count, double value, bool or_equal)
{
    size_t low = 0;
    size_t high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (sorted[middle] < value || (or_equal && sorted[middle] == value))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

int path_envelope(double *low, double *high, const double *values, size_t paths, size_t steps,
                  double share, struct error *error)
{
    double *sorted = array_new(paths * steps, sizeof *sorted);
    double *extreme = array_new(paths, sizeof *extreme);
    int code = sorted == NULL || extreme == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t p = 0; code == ERROR_NONE && p < paths; p++)
        extreme[p] = INFINITY;
    for (size_t i = 0; code == ERROR_NONE && i < steps; i++) {
        const double *step = values + i * paths;
        double *column = sorted + i * paths;
        memcpy(column, step, paths * sizeof *column);
        sort_numbers(column, paths);
        for (size_t p = 0; p < paths; p++) {
            /* A value is no less than the c-th smallest where c or more are no
             * greater than it. */
            size_t from_below = count_below(column, paths, step[p], true);
            size_t from_above = paths - count_below(column, paths, step[p], false);
            extreme[p] = fmin(extreme[p], fmin((double)from_below, (double)from_above));
        }
    }
    if (code == ERROR_NONE) {
        sort_numbers(extreme, paths);
        size_t outside = (size_t)floor((1 - share) * (double)paths + 1e-9);
        size_t rank = (size_t)extreme[outside < paths ? outside : paths - 1];
        /* With ties both ranks of every path can lie beyond the middle. */
        rank = rank > (paths + 1) / 2 ? (paths + 1) / 2 : rank;
        for (size_t i = 0; i < steps; i++) {
            low[i] = sorted[i * paths + rank - 1];
            high[i] = sorted[i * paths + paths - rank];
        }
    }
    free(sorted);
    free(extreme);
    return code;
}
