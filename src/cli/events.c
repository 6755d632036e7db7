/* `events`: a calendar of the trader's own. */
#include "base/calendar.h"
#include "book/event_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "prices/records.h"

#include <stdlib.h>
#include <string.h>

static const struct column columns[] = {
    {"kind", "kind", COLUMN_TEXT, 0, ""},
    {"time", "time", COLUMN_TEXT, 0, ""},
    {"instrument", "instrument", COLUMN_TEXT, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
};

static void take_choice(struct call *call, struct event_choice *choice)
{
    choice->kind = call_option(call, "kind");
    choice->instrument = call_option(call, "instrument");
    choice->from = call_time(call, "from", INT64_MIN);
    choice->to = call_time_end(call, "to", INT64_MAX);
}

static int show(struct call *call, struct book *book, const struct event_choice *choice,
                struct error *error)
{
    struct event *events;
    struct table table;
    size_t count = 0;
    int code = event_store_list(book, choice, &events, &count, error);
    if (code == ERROR_NONE) {
        table_begin(&table, call, "events", columns, sizeof columns / sizeof columns[0]);
        for (size_t i = 0; i < count; i++) {
            char time[CALENDAR_TEXT_SIZE];
            time_format(time, events[i].time, events[i].dated);
            table_text(&table, events[i].kind);
            table_text(&table, time);
            table_text(&table, events[i].instrument[0] != '\0' ? events[i].instrument : "all");
            table_text(&table, events[i].note);
        }
        code = table_end(&table, count > 0 ? NULL : "No such event is in the book.", error);
    }
    free(events);
    return code;
}

struct reading_in {
    struct book *book;
    size_t added;
    size_t known;
};

static int copy_field(char *to, size_t size, const char *field, const char *column,
                      struct error *error)
{
    size_t length = field != NULL ? strlen(field) : 0;
    if (length >= size || (field != NULL && !text_is_shown(field)))
        return error_set(
            error, ERROR_INPUT,
            "%s: found '%.60s'; UTF-8 of at most %zu bytes, without controls and marks "
            "that are not seen, is allowed",
            column, field, size - 1);
    memcpy(to, field != NULL ? field : "", length);
    to[length] = '\0';
    return ERROR_NONE;
}

static int take_row(void *context, const char *const *fields, uint64_t line, struct error *error)
{
    (void)line;
    struct reading_in *in = context;
    struct event event = {0};
    bool added = false;
    const char *instrument = fields[2] != NULL && strcmp(fields[2], "all") == 0 ? "" : fields[2];
    int code = copy_field(event.kind, sizeof event.kind, fields[0], "kind", error);
    if (code == ERROR_NONE && event.kind[0] == '\0')
        code = error_set(error, ERROR_INPUT, "kind: is empty; a word such as earnings is needed");
    if (code == ERROR_NONE)
        code = record_time(fields[1], "time", &event.time, error);
    event.dated = code == ERROR_NONE && strlen(fields[1]) == 10;
    if (code == ERROR_NONE)
        code = copy_field(event.instrument, sizeof event.instrument, instrument, "instrument",
                          error);
    if (code == ERROR_NONE)
        code = copy_field(event.note, sizeof event.note, fields[3], "note", error);
    if (code == ERROR_NONE)
        code = event_store_add(in->book, &event, &added, error);
    in->added += added;
    in->known += !added;
    return code;
}

static int read_file(struct call *call, struct book *book, const char *path, struct error *error)
{
    static const struct record_column file_columns[] = {{"kind", true},
                                                        {"time", true},
                                                        {"instrument", false},
                                                        {"note", false}};
    struct reading_in in = {.book = book};
    int code = book_begin(book, "reading events", error);
    if (code != ERROR_NONE)
        return code;
    code = records_read(path, file_columns, sizeof file_columns / sizeof file_columns[0], take_row,
                        &in, error);
    code = book_settle(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: %zu event%s added, %zu known before\n", path, in.added,
                in.added == 1 ? "" : "s", in.known);
    return code;
}

static int remove_events(struct call *call, struct book *book, const struct event_choice *choice,
                         struct error *error)
{
    int64_t removed = 0;
    int code = book_begin(book, "removing events", error);
    if (code != ERROR_NONE)
        return code;
    code = book_settle(book, event_store_remove(book, choice, &removed, error), error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%lld event%s removed\n", (long long)removed, removed == 1 ? "" : "s");
    return code;
}

int command_events(struct call *call, struct error *error)
{
    struct event_choice choice;
    struct book *book;
    const char *word = call->argument_count > 0 ? call->arguments[0] : "show";
    bool removes = strcmp(word, "remove") == 0;
    bool reads = strcmp(word, "read") == 0;
    if (!removes && !reads && strcmp(word, "show") != 0)
        return error_set(error, ERROR_USAGE,
                         "events: found '%s'; show, read FILE or remove is "
                         "allowed",
                         word);
    if (call->argument_count != (reads ? 2 : call->argument_count > 0 ? 1 : 0))
        return error_set(error, ERROR_USAGE,
                         reads ? "events: read needs one FILE" : "events: %s takes no more words",
                         word);
    int code = ERROR_NONE;
    take_choice(call, &choice);
    if (removes && choice.kind == NULL && choice.instrument == NULL && choice.from == INT64_MIN &&
        choice.to == INT64_MAX)
        code = error_set(error, ERROR_USAGE,
                         "events: say which to remove with --kind, "
                         "--instrument, --from or --to");
    if (code != ERROR_NONE)
        return code;
    code = book_of_call(call, removes || reads ? BOOK_WRITE : BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = reads     ? read_file(call, book, call->arguments[1], error)
               : removes ? remove_events(call, book, &choice, error)
                         : show(call, book, &choice, error);
    return book_done(book, code, error);
}
