/* `actions`: splits, dividends and rolls, shown and read from CSV. */
#include "cli/book.h"
#include "cli/commands.h"

#include "base/calendar.h"
#include "cli/table.h"
#include "market/action_store.h"
#include "market/instrument_store.h"
#include "market/records.h"

#include <stdlib.h>

/* Reads one line of the file into the book. */
static int take_action(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct book *book = context;
    struct instrument instrument;
    struct action action = {0};
    bool found = false;
    (void)line;
    int code = instrument_store_find(book, fields[0], &instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "%s: there is no such instrument in the book",
                         fields[0]);
    if (code == ERROR_NONE)
        code = record_time(fields[1], "date", &action.date, error);
    if (code == ERROR_NONE && !action_kind_parse(fields[2], &action.kind))
        code = error_set(error, ERROR_INPUT, "kind: found '%s'; split, dividend or roll is allowed",
                         fields[2]);
    if (code == ERROR_NONE)
        code = record_number(fields[3], "value", &action.value, error);
    return code == ERROR_NONE ? action_store_put(book, instrument.id, &action, error) : code;
}

static int read_file(struct call *call, const char *path, struct error *error)
{
    static const struct record_column columns[] = {{"instrument", true},
                                                   {"date", true},
                                                   {"kind", true},
                                                   {"value", true}};
    struct book *book = NULL;
    int code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "actions", error);
    if (code == ERROR_NONE)
        code = book_settle(book, records_read(path, columns, 4, take_action, book, error), error);
    return book_done(book, code, error);
}

static int list_one(struct book *book, const struct instrument *instrument, struct table *table,
                    struct error *error)
{
    struct action *actions = NULL;
    size_t count = 0;
    int code = action_store_list(book, instrument->id, &actions, &count, error);
    for (size_t i = 0; i < count; i++) {
        char date[CALENDAR_TEXT_SIZE];
        time_format(date, actions[i].date, true);
        table_text(table, instrument->name);
        table_text(table, date);
        table_text(table, action_kind_name(actions[i].kind));
        table_number(table, actions[i].value);
    }
    free(actions);
    return code;
}

static int list_all(struct call *call, struct error *error)
{
    static const struct column columns[] = {
        {"instrument", "instrument", COLUMN_TEXT, 0},
        {"date", "date", COLUMN_TEXT, 0},
        {"kind", "kind", COLUMN_TEXT, 0},
        {"value", "value", COLUMN_NUMBER, -1},
    };
    struct book *book = NULL;
    struct instrument *instruments = NULL;
    size_t count = 0;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = instrument_store_all(book, &instruments, &count, error);
    if (code == ERROR_NONE) {
        struct table table;
        struct error ended = {0};
        table_begin(&table, call, "actions", columns, sizeof columns / sizeof columns[0], false);
        for (size_t i = 0; code == ERROR_NONE && i < count; i++)
            code = list_one(book, &instruments[i], &table, error);
        int end_code = table_end(&table, table.row_count == 0 ? "none" : NULL, &ended);
        if (code == ERROR_NONE && end_code != ERROR_NONE) {
            *error = ended;
            code = end_code;
        }
    }
    free(instruments);
    return book_done(book, code, error);
}

int command_actions(struct call *call, struct error *error)
{
    int code = ERROR_NONE;
    if (call->argument_count == 0)
        return list_all(call, error);
    for (size_t i = 0; code == ERROR_NONE && i < call->argument_count; i++)
        code = read_file(call, call->arguments[i], error);
    return code;
}
