#include "cli/tries.h"

#include "base/array.h"
#include "cli/series.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { BOOK_WAIT_SECONDS = 10 };

int64_t clock_now(void)
{
    return (int64_t)time(NULL);
}

static void set_option(struct call *call, const char *name, const char *value)
{
    call->values[option_find(call->command->options, name)] = value;
}

/* No bar from the sealed day on is read. */
static int keep_to_seal(struct call *call, struct tries *tries, struct error *error)
{
    int64_t sealed = INT64_MAX;
    int64_t until = call_time(call, "to", INT64_MAX);
    int code = seal_read(tries->book, &sealed, error);
    if (code != ERROR_NONE || sealed == INT64_MAX)
        return code;
    tries->sealed = true;
    time_format(tries->sealed_from, sealed * SECONDS_PER_DAY, true);
    time_format(tries->last_day, (sealed - 1) * SECONDS_PER_DAY, true);
    if (until >= sealed * SECONDS_PER_DAY) {
        set_option(call, "to", tries->last_day);
        call_say(call, "bars from %s on are sealed and are not looked at", tries->sealed_from);
    }
    return ERROR_NONE;
}

int tries_open(struct call *call, struct tries *tries, struct error *error)
{
    *tries = (struct tries){0};
    if (call->book == NULL)
        return ERROR_NONE;
    int code = book_open(&tries->book, call->book, BOOK_WRITE, BOOK_WAIT_SECONDS, error);
    return code == ERROR_NONE ? keep_to_seal(call, tries, error) : code;
}

int tries_close(struct tries *tries, int code, struct error *error)
{
    struct error closing = {0};
    int closed = book_close(tries->book, &closing);
    tries->book = NULL;
    if (code == ERROR_NONE && closed != ERROR_NONE)
        *error = closing;
    return code != ERROR_NONE ? code : closed;
}

static int enter(struct tries *tries, const struct ledger_entry *entry, struct error *error)
{
    return ledger_enter(tries->book, entry, &tries->id, error);
}

/* The ledger knows instruments by their names, whatever file they are read
 * from: only so do tries on the same data count together. */
static int enter_names(struct tries *tries, struct ledger_entry *entry, char *const *words,
                       struct error *error)
{
    size_t count = entry->series_count;
    char(*name)[INSTRUMENT_NAME_SIZE] = array_new(count, sizeof *name);
    char **names = array_new(count, sizeof *names);
    int code = name == NULL || names == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < count; i++) {
        series_word_name(words[i], name[i]);
        names[i] = name[i];
    }
    entry->names = names;
    if (code == ERROR_NONE)
        code = enter(tries, entry, error);
    free(name);
    free(names);
    return code;
}

int tries_enter(struct call *call, struct tries *tries, const char *command,
                const struct setup *setup, const struct study_series *series, char *const *names,
                size_t count, struct error *error)
{
    struct ledger_entry entry = {.command = command,
                                 .setup = setup,
                                 .series = series,
                                 .series_count = count,
                                 .seed = call->seed,
                                 .now = clock_now()};
    if (tries->book == NULL)
        return ERROR_NONE;
    return series != NULL ? enter(tries, &entry, error) : enter_names(tries, &entry, names, error);
}

int tries_finish(struct tries *tries, const struct estimate *mean, const struct date_grid *grid,
                 const struct closed_trades *closed, struct error *error)
{
    return tries->book == NULL ? ERROR_NONE
                               : ledger_finish(tries->book, tries->id, mean, grid, closed, error);
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

int tries_finish_outcomes(struct tries *tries, struct outcomes *outcomes, struct error *error)
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
        code = tries_finish(tries, &mean, &grid, &closed, error);
    }
    date_grid_free(&grid);
    closed_trades_free(&closed);
    return code;
}
