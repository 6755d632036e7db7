#include "evidence/grid.h"

#include "base/array.h"
#include "base/calendar.h"

#include <stdlib.h>

/* First and last day over all series; false where there is no bar at all. */
static bool day_range(const struct bars *const *series, size_t count, int64_t *first, int64_t *last)
{
    bool found = false;
    for (size_t s = 0; s < count; s++) {
        if (series[s]->count == 0)
            continue;
        int64_t begins = day_of_time(series[s]->time[0]);
        int64_t ends = day_of_time(series[s]->time[series[s]->count - 1]);
        *first = !found || begins < *first ? begins : *first;
        *last = !found || ends > *last ? ends : *last;
        found = true;
    }
    return found;
}

int date_grid_init(struct date_grid *grid, const struct bars *const *series, size_t series_count,
                   struct error *error)
{
    int64_t first = 0;
    int64_t last = 0;
    *grid = (struct date_grid){0};
    if (!day_range(series, series_count, &first, &last))
        return ERROR_NONE;
    size_t span = (size_t)(last - first) + 1;
    unsigned char *present = calloc(span, 1);
    if (present == NULL)
        return error_memory(error);
    for (size_t s = 0; s < series_count; s++)
        for (size_t i = 0; i < series[s]->count; i++)
            present[day_of_time(series[s]->time[i]) - first] = 1;
    size_t count = 0;
    for (size_t d = 0; d < span; d++)
        count += present[d];
    grid->day = array_new(count, sizeof *grid->day);
    for (size_t d = 0; grid->day != NULL && d < span; d++)
        if (present[d])
            grid->day[grid->count++] = first + (int64_t)d;
    free(present);
    return grid->day == NULL ? error_memory(error) : ERROR_NONE;
}

void date_grid_free(struct date_grid *grid)
{
    free(grid->day);
    *grid = (struct date_grid){0};
}

size_t date_grid_find(const struct date_grid *grid, int64_t time)
{
    int64_t day = day_of_time(time);
    size_t low = 0;
    size_t high = grid->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (grid->day[middle] < day)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}
