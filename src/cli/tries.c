#include "cli/tries.h"

#include <string.h>
#include <time.h>

enum { BOOK_WAIT_SECONDS = 10 };

int64_t clock_now(void)
{
    return (int64_t)time(NULL);
}

static void set_option(struct call *call, const char *name, const char *value)
{
    const struct option_row *rows = call->command->options;
    for (size_t i = 0; rows != NULL && rows[i].name != NULL; i++)
        if (strcmp(rows[i].name, name) == 0)
            call->values[i] = value;
}

/* No bar from the sealed day on is read. */
static int keep_to_seal(struct call *call, struct tries *tries, struct error *error)
{
    int64_t sealed = INT64_MAX;
    int64_t until = INT64_MAX;
    int code = seal_read(tries->book, &sealed, error);
    if (code == ERROR_NONE)
        code = call_time(call, "to", INT64_MAX, &until, error);
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

int tries_enter(struct call *call, struct tries *tries, const char *command,
                const struct setup *setup, const struct study_series *series, char *const *names,
                size_t count, struct error *error)
{
    const struct ledger_entry entry = {.command = command,
                                       .setup = setup,
                                       .series = series,
                                       .names = names,
                                       .series_count = count,
                                       .seed = call->seed,
                                       .now = clock_now()};
    return tries->book == NULL ? ERROR_NONE : ledger_enter(tries->book, &entry, &tries->id, error);
}

int tries_finish(struct tries *tries, const struct estimate *mean, const struct date_grid *grid,
                 const struct closed_trades *closed, struct error *error)
{
    return tries->book == NULL ? ERROR_NONE
                               : ledger_finish(tries->book, tries->id, mean, grid, closed, error);
}
