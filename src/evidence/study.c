#include "evidence/study.h"

#include "base/array.h"

#include <math.h>
#include <stdlib.h>

const double reach_levels[REACH_COUNT] = {1, 1.5, 2, 2.5, 4, 6.5};
const size_t followed_bars[FOLLOWED_COUNT] = {1, 2, 3, 5, 10, 20};
const double excursion_levels[EXCURSION_LEVELS] = {0.05, 0.25, 0.5, 0.75, 0.95};

int study_stopped(const struct study_options *options, struct error *error)
{
    if (options->stop == NULL || !atomic_load(options->stop))
        return ERROR_NONE;
    return error_set(error, ERROR_STOPPED, "it was stopped before it was done");
}

int study_grid(struct date_grid *grid, const struct study_series *series, size_t count,
               struct error *error)
{
    *grid = (struct date_grid){0};
    const struct bars **all = array_new(count, sizeof *all);
    struct bars *looked_at = array_new(count, sizeof *looked_at);
    bool whole = all != NULL && looked_at != NULL;
    for (size_t i = 0; whole && i < count; i++) {
        size_t first = series[i].first < series[i].bars->count ? series[i].first
                                                               : series[i].bars->count;
        looked_at[i] = *series[i].bars;
        looked_at[i].count -= first;
        if (first > 0)
            looked_at[i].time += first;
        all[i] = &looked_at[i];
    }
    int code = whole ? date_grid_init(grid, all, count, error) : error_memory(error);
    free(all);
    free(looked_at);
    return code;
}

void study_free(struct study *study)
{
    date_grid_free(&study->grid);
    free(study->trades);
    free(study->resampled);
    ruin_free(&study->next);
    for (size_t k = 0; k < SPLIT_KINDS; k++)
        free(study->splits[k].cells);
    *study = (struct study){0};
}

int closed_trades_of(struct closed_trades *closed, const struct study *study, struct error *error)
{
    closed->count = 0;
    closed->date = array_new(study->closed, sizeof *closed->date);
    closed->r = array_new(study->closed, sizeof *closed->r);
    if (closed->date == NULL || closed->r == NULL)
        return error_memory(error);
    for (size_t i = 0; i < study->filled; i++) {
        if (isnan(study->trades[i].r))
            continue;
        closed->date[closed->count] = study->trades[i].date;
        closed->r[closed->count++] = study->trades[i].r;
    }
    return ERROR_NONE;
}

void closed_trades_free(struct closed_trades *closed)
{
    free(closed->date);
    free(closed->r);
    *closed = (struct closed_trades){0};
}
