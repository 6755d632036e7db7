/* `actions`: splits, dividends and rolls, shown and read from CSV. */
#include "cli/book.h"
#include "cli/commands.h"

#include "base/calendar.h"
#include "book/action_store.h"
#include "book/instrument_store.h"
#include "cli/table.h"
#include "prices/records.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The file that is being read. */
struct actions_in {
    struct call *call;
    struct book *book;
    const char *path;
    size_t outcomes[ACTION_REPLACED + 1];
};

static int find_instrument(struct book *book, const char *name, struct instrument *instrument,
                           struct error *error)
{
    bool found = false;
    int code = instrument_store_find(book, name, instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "%s: there is no such instrument in the book", name);
    return code;
}

static int read_kind(const char *word, enum action_kind *kind, struct error *error)
{
    return action_kind_parse(word, kind)
               ? ERROR_NONE
               : error_set(error, ERROR_INPUT,
                           "kind: found '%s'; split, dividend or roll is allowed", word);
}

/* Reads one line of the file into the book. */
static int take_action(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    struct actions_in *in = context;
    struct instrument instrument;
    struct action action = {0};
    enum action_outcome outcome = ACTION_KNOWN;
    double old = 0;
    int code = find_instrument(in->book, fields[0], &instrument, error);
    if (code == ERROR_NONE)
        code = record_date(fields[1], "date", &action.date, error);
    if (code == ERROR_NONE)
        code = read_kind(fields[2], &action.kind, error);
    if (code == ERROR_NONE)
        code = record_number(fields[3], "value", &action.value, error);
    if (code == ERROR_NONE)
        code = action_store_put(in->book, instrument.id, &action, call_has(in->call, "replace"),
                                &outcome, &old, error);
    if (code == ERROR_NONE && outcome == ACTION_REPLACED)
        call_say(in->call, "%s:%llu: %s: the %s of %s is %g now, and was %g", in->path,
                 (unsigned long long)line, fields[0], fields[2], fields[1], action.value, old);
    in->outcomes[outcome] += code == ERROR_NONE;
    return code;
}

static int read_file(struct call *call, const char *path, struct error *error)
{
    static const struct record_column columns[] = {{"instrument", true},
                                                   {"date", true},
                                                   {"kind", true},
                                                   {"value", true}};
    struct actions_in in = {.call = call, .path = path};
    int code = book_of_call(call, BOOK_WRITE, &in.book, error);
    if (code == ERROR_NONE)
        code = book_begin(in.book, "actions", error);
    if (code == ERROR_NONE)
        code = book_settle(in.book, records_read(path, columns, 4, take_action, &in, error), error);
    code = book_done(in.book, code, error);
    if (code == ERROR_NONE && !call->quiet)
        fprintf(call->out, "%s: %zu added, %zu known before, %zu replaced\n", path,
                in.outcomes[ACTION_ADDED], in.outcomes[ACTION_KNOWN], in.outcomes[ACTION_REPLACED]);
    return code;
}

/* actions remove INSTRUMENT DATE KIND. */
static int remove_action(struct call *call, struct error *error)
{
    char *const *words = call->arguments + 1;
    struct book *book = NULL;
    struct instrument instrument;
    enum action_kind kind = ACTION_SPLIT;
    int64_t date = 0;
    bool found = false;
    double value = 0;
    if (call->argument_count != 4)
        return error_set(error, ERROR_USAGE,
                         "actions: remove needs an instrument, a date and split, dividend or roll");
    int code = record_date(words[1], "date", &date, error);
    if (code == ERROR_NONE)
        code = read_kind(words[2], &kind, error);
    if (code == ERROR_NONE)
        code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = find_instrument(book, words[0], &instrument, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "removing an action", error);
    if (code == ERROR_NONE)
        code = book_settle(book,
                           action_store_remove(book, instrument.id, date, kind, &found, &value,
                                               error),
                           error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "%s has no %s on %s; 'actions' lists them", words[0],
                         words[2], words[1]);
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
        {"instrument", "instrument", COLUMN_TEXT, 0, ""},
        {"date", "date", COLUMN_TEXT, 0, ""},
        {"kind", "kind", COLUMN_TEXT, 0, ""},
        {"value", "value", COLUMN_NUMBER, -1, ""},
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
        table_begin(&table, call, "actions", columns, sizeof columns / sizeof columns[0]);
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
    if (strcmp(call->arguments[0], "remove") == 0)
        return remove_action(call, error);
    for (size_t i = 0; code == ERROR_NONE && i < call->argument_count; i++)
        code = read_file(call, call->arguments[i], error);
    return code;
}
