/* Parts of a study side by side, after a test whether they differ at all. */
#include "base/array.h"
#include "base/calendar.h"
#include "evidence/splits.h"
#include "evidence/study_summing.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const char *const names[SPLIT_KINDS] = {"year", "instrument", "volatility", "trend"};

const char *split_name(enum split_kind kind)
{
    return names[kind];
}

/* How the trades of a split fall into cells. */
struct division {
    size_t count;
    int64_t first_year;
    double edges[2]; /* of thirds */
};

static double third_value(const struct study_trade *trade, enum split_kind kind)
{
    return kind == SPLIT_VOLATILITY ? trade->volatility : trade->trend;
}

static int64_t year_of(const struct study *study, size_t date)
{
    struct civil_time civil;
    civil_from_time(&civil, study->grid.day[date] * SECONDS_PER_DAY);
    return civil.year;
}

static int divide_thirds(struct division *division, const struct study *study, enum split_kind kind,
                         struct error *error)
{
    double *values = array_new(study->filled, sizeof *values);
    size_t count = 0;
    if (values == NULL)
        return error_memory(error);
    for (size_t i = 0; i < study->filled; i++) {
        double value = third_value(&study->trades[i], kind);
        if (isfinite(value))
            values[count++] = value;
    }
    sort_numbers(values, count);
    division->count = count > 0 ? 3 : 0;
    division->edges[0] = quantile_sorted(values, count, 1.0 / 3);
    division->edges[1] = quantile_sorted(values, count, 2.0 / 3);
    free(values);
    return ERROR_NONE;
}

static int divide(struct division *division, const struct summing *summing, enum split_kind kind)
{
    const struct study *study = summing->study;
    *division = (struct division){0};
    if (study->filled == 0)
        return ERROR_NONE;
    if (kind == SPLIT_YEAR) {
        division->first_year = year_of(study, 0);
        division->count = (size_t)(year_of(study, study->grid.count - 1) - division->first_year) +
                          1;
    } else if (kind == SPLIT_INSTRUMENT) {
        division->count = summing->series_count;
    } else {
        return divide_thirds(division, study, kind, summing->error);
    }
    return ERROR_NONE;
}

/* The cell of a trade; SIZE_MAX where it belongs to none. */
static size_t cell_of(const struct division *division, const struct study *study,
                      enum split_kind kind, const struct study_trade *trade)
{
    if (isnan(trade->r))
        return SIZE_MAX;
    if (kind == SPLIT_YEAR)
        return (size_t)(year_of(study, trade->date) - division->first_year);
    if (kind == SPLIT_INSTRUMENT)
        return trade->instrument;
    double value = third_value(trade, kind);
    if (!isfinite(value))
        return SIZE_MAX;
    return (size_t)(value > division->edges[0]) + (value > division->edges[1]);
}

static void label_cell(struct study_split_cell *cell, const struct division *division,
                       const struct summing *summing, enum split_kind kind, size_t c)
{
    static const char *const volatility[3] = {"quiet", "middling", "stormy"};
    static const char *const trend[3] = {"against", "sideways", "with the trend"};
    if (kind == SPLIT_YEAR)
        snprintf(cell->label, sizeof cell->label, "%lld",
                 (long long)(division->first_year + (int64_t)c));
    else if (kind == SPLIT_INSTRUMENT)
        snprintf(cell->label, sizeof cell->label, "%s", summing->series[c].instrument->name);
    else
        snprintf(cell->label, sizeof cell->label, "%s",
                 kind == SPLIT_TREND ? trend[c] : volatility[c]);
}

/* Trades sorted into their cells: dates and results in one block each. */
struct sorted_cells {
    struct split_cell *cells;
    size_t *date;
    double *value;
};

static int sort_cells(struct sorted_cells *sorted, const struct division *division,
                      const struct study *study, enum split_kind kind, struct error *error)
{
    size_t *next = calloc(division->count + 1, sizeof *next);
    sorted->cells = calloc(division->count + 1, sizeof *sorted->cells);
    sorted->date = array_new(study->filled, sizeof *sorted->date);
    sorted->value = array_new(study->filled, sizeof *sorted->value);
    bool whole = next != NULL && sorted->cells != NULL && sorted->date != NULL &&
                 sorted->value != NULL;
    for (size_t i = 0; whole && i < study->filled; i++) {
        size_t c = cell_of(division, study, kind, &study->trades[i]);
        if (c != SIZE_MAX)
            sorted->cells[c].arm.count++;
    }
    for (size_t c = 0, place = 0; whole && c < division->count; c++) {
        sorted->cells[c].arm.date = sorted->date + place;
        sorted->cells[c].arm.value = sorted->value + place;
        next[c] = place;
        place += sorted->cells[c].arm.count;
    }
    for (size_t i = 0; whole && i < study->filled; i++) {
        size_t c = cell_of(division, study, kind, &study->trades[i]);
        if (c == SIZE_MAX)
            continue;
        sorted->date[next[c]] = study->trades[i].date;
        sorted->value[next[c]++] = study->trades[i].r;
    }
    free(next);
    return whole ? ERROR_NONE : error_memory(error);
}

static int fill_split(struct summing *summing, enum split_kind kind,
                      const struct division *division, struct sorted_cells *sorted)
{
    struct study_split *split = &summing->study->splits[kind];
    struct estimate_plan plan = summing->plan;
    /* A test at 5% needs no more replicates than this. */
    plan.resamples = plan.resamples < 2000 ? plan.resamples : 2000;
    int code = test_splits(sorted->cells, division->count, summing->study->grid.count, &plan,
                           &split->p, summing->error);
    if (code != ERROR_NONE)
        return code;
    split->cells = calloc(division->count + 1, sizeof *split->cells);
    if (split->cells == NULL)
        return error_memory(summing->error);
    split->count = division->count;
    for (size_t c = 0; c < division->count; c++) {
        label_cell(&split->cells[c], division, summing, kind, c);
        split->cells[c].mean = sorted->cells[c].mean;
        split->cells[c].deviation = sqrt(sorted->cells[c].variance);
        split->cells[c].trades = sorted->cells[c].arm.count;
        split->cells[c].dates = sorted->cells[c].dates;
    }
    return ERROR_NONE;
}

static int sum_split(struct summing *summing, enum split_kind kind)
{
    struct division division;
    struct sorted_cells sorted = {0};
    struct study_split *split = &summing->study->splits[kind];
    *split = (struct study_split){.kind = kind, .p = NAN};
    int code = divide(&division, summing, kind);
    if (code != ERROR_NONE || division.count == 0)
        return code;
    code = sort_cells(&sorted, &division, summing->study, kind, summing->error);
    if (code == ERROR_NONE)
        code = fill_split(summing, kind, &division, &sorted);
    free(sorted.cells);
    free(sorted.date);
    free(sorted.value);
    return code;
}

int sum_splits(struct summing *summing)
{
    int code = ERROR_NONE;
    for (int kind = 0; kind < SPLIT_KINDS && code == ERROR_NONE; kind++)
        code = sum_split(summing, (enum split_kind)kind);
    return code;
}
