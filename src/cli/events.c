/* `events`: a calendar of the trader's own. */
#include "answer/book_rows.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "work/book_files.h"

#include <stdlib.h>
#include <string.h>

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
        listing_begin(&table, call, &events_listing);
        for (size_t i = 0; i < count; i++)
            event_put(&table, &events[i]);
        code = listing_end(&table, &events_listing, code, error);
    }
    free(events);
    return code;
}

static int read_file(struct call *call, struct book *book, const char *path, struct error *error)
{
    struct file_counts counts;
    int code = events_read(book, path, &counts, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: %zu event%s added, %zu known before\n", path, counts.added,
                counts.added == 1 ? "" : "s", counts.known);
    return code;
}

static int remove_events(struct call *call, struct book *book, const struct event_choice *choice,
                         struct error *error)
{
    int64_t removed = 0;
    int code = events_remove(book, choice, &removed, error);
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
    bool reads = strcmp(word, "import") == 0;
    if (!removes && !reads && strcmp(word, "show") != 0)
        return error_set(error, ERROR_USAGE,
                         "events: found '%s'; show, import FILE or remove is "
                         "allowed",
                         word);
    if (call->argument_count != (reads ? 2 : call->argument_count > 0 ? 1 : 0))
        return error_set(error, ERROR_USAGE,
                         reads ? "events: import needs one FILE" : "events: %s takes no more words",
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
