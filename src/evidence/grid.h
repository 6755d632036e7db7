/* The calendar dates of a study: every date on which one of its instruments
 * has a bar, in order. */
#ifndef RUSHLIGHT_EVIDENCE_GRID_H
#define RUSHLIGHT_EVIDENCE_GRID_H

#include "base/error.h"
#include "market/bars.h"

#include <stddef.h>
#include <stdint.h>

struct date_grid {
    int64_t *day; /* days since 1970-01-01, ascending */
    size_t count;
};

/* Gathers the dates of `series_count` series of bars. The caller's to free,
 * also after an error (only ERROR_MACHINE). */
int date_grid_init(struct date_grid *grid, const struct bars *const *series, size_t series_count,
                   struct error *error);
void date_grid_free(struct date_grid *grid);

/* Index of the date of a time; of the first date after it where it has none
 * (count where there is none either). */
size_t date_grid_find(const struct date_grid *grid, int64_t time);

#endif
