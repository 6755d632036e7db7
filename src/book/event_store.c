#include "book/event_store.h"

#include "book/instrument_store.h"

#include <stdlib.h>
#include <string.h>

static void bind_choice(struct statement *statement, const struct event_choice *choice)
{
    statement_bind_integer(statement, 1, choice->from);
    statement_bind_integer(statement, 2, choice->to);
    statement_bind_text(statement, 3, choice->kind);
    statement_bind_text(statement, 4, choice->instrument);
}

static int take_event(struct statement *statement, void *one, const void *context,
                      struct error *error)
{
    struct event *event = one;
    (void)context;
    (void)error;
    *event = (struct event){.time = statement_integer(statement, 0),
                            .dated = statement_integer(statement, 1) != 0,
                            .known_later = !statement_is_null(statement, 5),
                            .known = statement_integer(statement, 5),
                            .known_dated = statement_integer(statement, 6) != 0};
    statement_copy(statement, 2, event->kind, sizeof event->kind);
    statement_copy(statement, 3, event->instrument, sizeof event->instrument);
    statement_copy(statement, 4, event->note, sizeof event->note);
    return ERROR_NONE;
}

int event_store_list(struct book *book, const struct event_choice *choice, struct event **events,
                     size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **events, .take = take_event};
    int code = statement_prepare(
        &statement, book,
        "SELECT e.time, e.dated, e.kind, i.name, e.note, e.known, e.known_dated FROM event e "
        "LEFT JOIN instrument i ON i.id = e.instrument WHERE e.time BETWEEN ?1 AND ?2 "
        "AND (?3 IS NULL OR e.kind = ?3) AND (?4 IS NULL OR e.instrument IS NULL OR "
        "i.name = ?4) ORDER BY e.time, e.kind, i.name, e.note",
        error);
    if (code == ERROR_NONE) {
        bind_choice(&statement, choice);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *events = rows.list;
    *count = rows.count;
    return code;
}

static int find_instrument(struct book *book, const struct event *event, int64_t *id,
                           struct error *error)
{
    struct instrument instrument;
    bool found = false;
    int code = instrument_store_find(book, event->instrument, &instrument, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "there is no instrument '%s' in the book",
                         event->instrument);
    *id = found ? instrument.id : 0;
    return code;
}

/* One that is there has to be known since the same moment: else which of the two holds
 * would depend on their order. */
static int check_known(struct book *book, const struct event *event, struct error *error)
{
    const struct event_choice choice = {event->kind,
                                        event->instrument[0] != '\0' ? event->instrument : NULL,
                                        event->time, event->time};
    struct event *there = NULL;
    size_t count = 0;
    int code = event_store_list(book, &choice, &there, &count, error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        if (strcmp(there[i].instrument, event->instrument) == 0 &&
            strcmp(there[i].note, event->note) == 0 &&
            (there[i].known_later != event->known_later || there[i].known != event->known ||
             there[i].known_dated != event->known_dated))
            code = error_set(error, ERROR_INPUT,
                             "known: this event is in the book as known since another moment; it "
                             "has to be the same, or the other event to be removed first");
    free(there);
    return code;
}

int event_store_add(struct book *book, const struct event *event, bool *added, struct error *error)
{
    struct statement statement = {0};
    int64_t instrument = 0;
    bool all = event->instrument[0] == '\0';
    int code = all ? ERROR_NONE : find_instrument(book, event, &instrument, error);
    *added = false;
    if (code == ERROR_NONE)
        code = statement_prepare(&statement, book,
                                 "INSERT INTO event(time, dated, kind, instrument, note, known, "
                                 "known_dated) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7) "
                                 "ON CONFLICT DO NOTHING",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_integer(&statement, 1, event->time);
        statement_bind_integer(&statement, 2, event->dated);
        statement_bind_text(&statement, 3, event->kind);
        if (!all)
            statement_bind_integer(&statement, 4, instrument);
        statement_bind_text(&statement, 5, event->note);
        if (event->known_later)
            statement_bind_integer(&statement, 6, event->known);
        statement_bind_integer(&statement, 7, event->known_later && event->known_dated);
        code = statement_run(&statement, error);
    }
    if (code == ERROR_NONE)
        *added = book_changes(book) > 0;
    statement_finish(&statement);
    return code == ERROR_NONE && !*added ? check_known(book, event, error) : code;
}

int event_store_remove(struct book *book, const struct event_choice *choice, int64_t *removed,
                       struct error *error)
{
    struct statement statement;
    int code = statement_prepare(
        &statement, book,
        "DELETE FROM event WHERE time BETWEEN ?1 AND ?2 AND (?3 IS NULL OR kind = ?3) AND "
        "(?4 IS NULL OR instrument = (SELECT id FROM instrument WHERE name = ?4))",
        error);
    if (code == ERROR_NONE) {
        bind_choice(&statement, choice);
        code = statement_run(&statement, error);
    }
    if (code == ERROR_NONE)
        *removed = book_changes(book);
    statement_finish(&statement);
    return code;
}
