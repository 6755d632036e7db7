#include "work/trial.h"

#include "base/array.h"
#include "evidence/summary.h"
#include "work/series.h"

#include <math.h>
#include <stdlib.h>

/* No bar from the sealed day on is read. */
static int keep_to_seal(struct work *work, struct trial *trial, struct error *error)
{
    int64_t sealed = INT64_MAX;
    int code = seal_read(trial->book, &sealed, error);
    if (code != ERROR_NONE || sealed == INT64_MAX)
        return code;
    int64_t first = sealed * SECONDS_PER_DAY;
    trial->sealed = true;
    time_format(trial->sealed_from, first, true);
    if (work_wishes(work)->to < first)
        return ERROR_NONE;
    struct notices notices = {0};
    work_bound(work, first - 1);
    code = notices_add(&notices, error, NOTICE_SEALED,
                       "bars from %s on are sealed and are not looked at", trial->sealed_from);
    notices_say(&notices, work);
    return code;
}

int trial_open(struct work *work, struct trial *trial, struct error *error)
{
    *trial = (struct trial){0};
    if (work_wishes(work)->book == NULL)
        return ERROR_NONE;
    int code = work_writer(work, &trial->book, error);
    return code == ERROR_NONE ? keep_to_seal(work, trial, error) : code;
}

struct study_series trial_series(const struct rules_case *opened)
{
    return (struct study_series){.instrument = &opened->series.instrument,
                                 .bars = &opened->series.bars,
                                 .around = &opened->around,
                                 .terms = opened->terms,
                                 .first = opened->series.first};
}

static int enter(struct trial *trial, const struct ledger_entry *entry, struct error *error)
{
    return ledger_enter(trial->book, entry, &trial->id, error);
}

/* The ledger knows instruments by their names, whatever file they are read
 * from: only so do trials on the same data count together. */
static int enter_names(struct work *work, struct trial *trial, struct ledger_entry *entry,
                       char *const *words, struct error *error)
{
    size_t count = entry->series_count;
    char(*name)[INSTRUMENT_NAME_SIZE] = array_new(count, sizeof *name);
    char **names = array_new(count, sizeof *names);
    int code = name == NULL || names == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        code = series_word_name(work, words[i], name[i], error);
        names[i] = name[i];
    }
    entry->names = names;
    if (code == ERROR_NONE)
        code = enter(trial, entry, error);
    free(name);
    free(names);
    return code;
}

int trial_enter(struct work *work, struct trial *trial, enum trial_kind kind,
                const struct setup *setup, const struct study_series *series, char *const *words,
                size_t count, struct error *error)
{
    struct ledger_entry entry = {.kind = kind,
                                 .setup = setup,
                                 .series = series,
                                 .series_count = count,
                                 .seed = work_wishes(work)->seed,
                                 .now = work_wishes(work)->now};
    if (trial->book == NULL)
        return ERROR_NONE;
    entry.data = series != NULL && trial->data_known ? &trial->data : NULL;
    return series != NULL ? enter(trial, &entry, error)
                          : enter_names(work, trial, &entry, words, error);
}

int trial_keep_data(struct trial *trial, const struct study_series *series, size_t count,
                    struct error *error)
{
    if (trial->book == NULL)
        return ERROR_NONE;
    int code = data_hash_make(&trial->data, series, count, error);
    trial->data_known = code == ERROR_NONE;
    return code;
}

void trial_drop_data(struct trial *trial)
{
    trial->data_known = false;
}

int trial_finish(struct trial *trial, const struct estimate *mean, const struct date_grid *grid,
                 const struct closed_trades *closed, struct error *error)
{
    return trial->book == NULL ? ERROR_NONE
                               : ledger_finish(trial->book, trial->id, mean, grid, closed, error);
}

int outcomes_add(struct outcomes *outcomes, int64_t time, double r, struct error *error)
{
    struct outcome *list = array_reserve(outcomes->list, &outcomes->room, outcomes->count + 1,
                                         sizeof *list);
    if (list == NULL)
        return error_memory(error);
    outcomes->list = list;
    list[outcomes->count++] = (struct outcome){time, r};
    return ERROR_NONE;
}

void outcomes_free(struct outcomes *outcomes)
{
    free(outcomes->list);
    *outcomes = (struct outcomes){0};
}

static int by_time(const void *a, const void *b)
{
    const struct outcome *x = a;
    const struct outcome *y = b;
    return (x->time > y->time) - (x->time < y->time);
}

/* The dates of outcomes in order, and the date of each. */
static void date_outcomes(struct date_grid *grid, struct closed_trades *closed,
                          const struct outcomes *outcomes)
{
    for (size_t i = 0; i < outcomes->count; i++) {
        int64_t day = day_of_time(outcomes->list[i].time);
        if (grid->count == 0 || grid->day[grid->count - 1] != day)
            grid->day[grid->count++] = day;
        closed->date[closed->count] = grid->count - 1;
        closed->r[closed->count++] = outcomes->list[i].r;
    }
}

int trial_finish_outcomes(struct trial *trial, struct outcomes *outcomes, struct error *error)
{
    size_t count = outcomes->count;
    struct date_grid grid = {array_new(count, sizeof *grid.day), 0};
    struct closed_trades closed = {0, array_new(count, sizeof(size_t)),
                                   array_new(count, sizeof(double))};
    int code = grid.day == NULL || closed.date == NULL || closed.r == NULL ? error_memory(error)
                                                                           : ERROR_NONE;
    if (code == ERROR_NONE && count > 0)
        qsort(outcomes->list, count, sizeof *outcomes->list, by_time);
    if (code == ERROR_NONE) {
        date_outcomes(&grid, &closed, outcomes);
        const struct estimate mean = {.count = count,
                                      .value = mean_of(closed.r, count),
                                      .low = NAN,
                                      .high = NAN,
                                      .p = NAN};
        code = trial_finish(trial, &mean, &grid, &closed, error);
    }
    date_grid_free(&grid);
    closed_trades_free(&closed);
    return code;
}
