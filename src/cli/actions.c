/* `actions`: splits, dividends and rolls, shown and read from CSV. */
#include "answer/book_rows.h"
#include "base/calendar.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "prices/records.h"
#include "work/book_files.h"

#include <stdlib.h>
#include <string.h>

static void say_replaced(void *context, const struct action_replaced *what)
{
    char date[CALENDAR_TEXT_SIZE];
    time_format(date, what->action->date, true);
    call_say(context, "%s:%llu: %s: the %s of %s is %g now, and was %g", what->path,
             (unsigned long long)what->line, what->instrument, action_kind_name(what->action->kind),
             date, what->action->value, what->old);
}

static int read_file(struct call *call, const char *path, struct error *error)
{
    struct book *book = NULL;
    struct file_counts counts = {0};
    int code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = actions_read(book, path, call_has(call, "replace"), say_replaced, call, &counts,
                            error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE && !call->quiet)
        fprintf(call->out, "%s: %zu added, %zu known before, %zu replaced\n", path, counts.added,
                counts.known, counts.replaced);
    return code;
}

/* actions remove INSTRUMENT DATE KIND. */
static int remove_action(struct call *call, struct error *error)
{
    char *const *words = call->arguments + 1;
    struct book *book = NULL;
    enum action_kind kind = ACTION_SPLIT;
    int64_t date = 0;
    double value = 0;
    if (call->argument_count != 4)
        return error_set(error, ERROR_USAGE,
                         "actions: remove needs an instrument, a date and split, dividend or roll");
    int code = record_date(words[1], "date", &date, error);
    if (code == ERROR_NONE)
        code = action_kind_read(words[2], &kind, error);
    if (code == ERROR_NONE)
        code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = actions_remove(book, words[0], date, kind, &value, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: the %s of %g on %s is gone\n", words[0], words[2], value, words[1]);
    return code;
}

static int list_one(struct book *book, const struct instrument *instrument, struct table *table,
                    struct error *error)
{
    struct action *actions = NULL;
    size_t count = 0;
    int code = action_store_list(book, instrument->id, &actions, &count, error);
    for (size_t i = 0; i < count; i++)
        action_put(table, instrument->name, &actions[i]);
    free(actions);
    return code;
}

static int list_all(struct call *call, struct error *error)
{
    struct book *book = NULL;
    struct instrument *instruments = NULL;
    struct table table;
    size_t count = 0;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_all(book, &instruments, &count, error);
    if (code == ERROR_NONE) {
        listing_begin(&table, call, &actions_listing);
        for (size_t i = 0; code == ERROR_NONE && i < count; i++)
            code = list_one(book, &instruments[i], &table, error);
        code = listing_end(&table, &actions_listing, code, error);
    }
    free(instruments);
    return book_done(book, code, error);
}

int command_actions(struct call *call, struct error *error)
{
    int code = ERROR_NONE;
    if (call->argument_count == 0)
        return list_all(call, error);
    if (strcmp(call->arguments[0], "remove") == 0)
        return remove_action(call, error);
    if (strcmp(call->arguments[0], "import") != 0)
        return error_set(error, ERROR_USAGE,
                         "actions: found '%s'; import FILE… or remove INSTRUMENT DATE KIND is "
                         "allowed",
                         call->arguments[0]);
    if (call->argument_count == 1)
        return error_set(error, ERROR_USAGE, "actions: import needs a FILE");
    for (size_t i = 1; code == ERROR_NONE && i < call->argument_count; i++)
        code = read_file(call, call->arguments[i], error);
    return code;
}
