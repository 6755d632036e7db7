#include "book/list_store.h"

#include "book/instrument_store.h"

/* --- reading ------------------------------------------------------------------------ */

static int take_list(struct statement *statement, void *one, const void *context,
                     struct error *error)
{
    struct list_row *list = one;
    (void)context;
    (void)error;
    statement_copy(statement, 0, list->name, sizeof list->name);
    list->members = statement_integer(statement, 1);
    return ERROR_NONE;
}

int list_store_all(struct book *book, struct list_row **lists, size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **lists, .take = take_list};
    int code =
        statement_prepare(&statement, book,
                          "SELECT l.name, count(m.instrument) FROM watchlist l LEFT JOIN "
                          "watchlist_member m ON m.watchlist = l.id GROUP BY l.id ORDER BY l.name",
                          error);
    if (code == ERROR_NONE)
        code = statement_gather(&statement, &rows, error);
    statement_finish(&statement);
    *lists = rows.list;
    *count = rows.count;
    return code;
}

int list_store_members(struct book *book, const char *list, char ***names, size_t *count,
                       bool *found, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **names, .take = statement_take_name};
    int code = statement_prepare(
        &statement, book,
        "SELECT i.name FROM watchlist l JOIN watchlist_member m ON m.watchlist = l.id "
        "JOIN instrument i ON i.id = m.instrument WHERE l.name = ?1 "
        "ORDER BY m.position",
        error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, list);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *names = rows.list;
    *count = rows.count;
    *found = *count > 0;
    return code;
}

static int take_membership(struct statement *statement, void *row, const void *context,
                           struct error *error)
{
    struct membership *one = row;
    (void)context;
    (void)error;
    statement_copy(statement, 0, one->list, sizeof one->list);
    statement_copy(statement, 1, one->instrument, sizeof one->instrument);
    one->added = statement_is_null(statement, 2) ? LIST_ALWAYS : statement_integer(statement, 2);
    one->removed = statement_is_null(statement, 3) ? INT64_MAX : statement_integer(statement, 3);
    return ERROR_NONE;
}

int list_store_history(struct book *book, const char *list, struct membership **memberships,
                       size_t *count, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **memberships, .take = take_membership};
    int code = statement_prepare(
        &statement, book,
        "SELECT l.name, i.name, m.added, NULL, m.position FROM watchlist l JOIN watchlist_member m "
        "ON m.watchlist = l.id JOIN instrument i ON i.id = m.instrument "
        "WHERE ?1 IS NULL OR l.name = ?1 UNION ALL "
        "SELECT p.watchlist, i.name, p.added, p.removed, p.position FROM watchlist_past p "
        "JOIN instrument i ON i.id = p.instrument WHERE ?1 IS NULL OR p.watchlist = ?1 "
        "ORDER BY 1, 5, 3",
        error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, list);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *memberships = rows.list;
    *count = rows.count;
    return code;
}

/* --- changing ------------------------------------------------------------------------- */

/* `now` is the third value of the statement, where it has one. */
static int run_on_list(struct book *book, const char *sql, const char *list, const char *instrument,
                       int64_t now, struct error *error)
{
    struct statement statement;
    int code = statement_prepare(&statement, book, sql, error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, list);
        if (instrument != NULL)
            statement_bind_text(&statement, 2, instrument);
        if (now != LIST_ALWAYS)
            statement_bind_integer(&statement, 3, now);
        code = statement_run(&statement, error);
    }
    statement_finish(&statement);
    return code;
}

/* The highest position on a list, 0 for none. */
static int last_position(struct book *book, const char *list, int64_t *position,
                         struct error *error)
{
    struct statement statement;
    bool row = false;
    int code = statement_prepare(&statement, book,
                                 "SELECT coalesce(max(m.position), 0) FROM watchlist l JOIN "
                                 "watchlist_member m ON m.watchlist = l.id WHERE l.name = ?1",
                                 error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, list);
        code = statement_step(&statement, &row, error);
    }
    if (code == ERROR_NONE && row)
        *position = statement_integer(&statement, 0);
    statement_finish(&statement);
    return code;
}

/* Puts an instrument at a position, unless it is on the list. */
static int add_member(struct statement *insert, const char *list, const char *instrument,
                      int64_t position, int64_t now, struct error *error)
{
    statement_bind_text(insert, 1, list);
    statement_bind_text(insert, 2, instrument);
    statement_bind_integer(insert, 3, position);
    if (now != LIST_ALWAYS)
        statement_bind_integer(insert, 4, now);
    return statement_run(insert, error);
}

int list_store_add_all(struct book *book, const char *list, const char *const *instruments,
                       size_t count, int64_t now, struct error *error)
{
    struct statement insert;
    int64_t position = 0;
    if (!instrument_name_allowed(list))
        return error_set(error, ERROR_USAGE, "'%.80s' cannot be the name of a watchlist; %s", list,
                         instrument_name_rule);
    int code = ERROR_NONE;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = instrument_store_need(book, instruments[i], &(struct instrument){0}, error);
    if (code == ERROR_NONE && count > 0)
        code = run_on_list(book, "INSERT INTO watchlist(name) VALUES(?1) ON CONFLICT DO NOTHING",
                           list, NULL, LIST_ALWAYS, error);
    if (code == ERROR_NONE)
        code = last_position(book, list, &position, error);
    if (code != ERROR_NONE)
        return code;
    code = statement_prepare(
        &insert, book,
        "INSERT INTO watchlist_member(watchlist, position, instrument, added) SELECT l.id, ?3, "
        "i.id, ?4 FROM watchlist l, instrument i WHERE l.name = ?1 AND i.name = ?2 "
        "ON CONFLICT DO NOTHING",
        error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = add_member(&insert, list, instruments[i], ++position, now, error);
    statement_finish(&insert);
    return code;
}

int list_store_add(struct book *book, const char *list, const char *instrument, int64_t now,
                   struct error *error)
{
    return list_store_add_all(book, list, &instrument, 1, now, error);
}

/* What a list has lost, or all of it (NULL), is kept with its moments. */
static int keep_past(struct book *book, const char *list, const char *instrument, int64_t now,
                     struct error *error)
{
    return run_on_list(
        book,
        "INSERT INTO watchlist_past(watchlist, instrument, position, added, removed) "
        "SELECT l.name, m.instrument, m.position, m.added, ?3 FROM watchlist l JOIN "
        "watchlist_member m ON m.watchlist = l.id JOIN instrument i ON i.id = m.instrument "
        "WHERE l.name = ?1 AND (?2 IS NULL OR i.name = ?2) AND ?3 IS NOT NULL",
        list, instrument, now, error);
}

int list_store_remove(struct book *book, const char *list, const char *instrument, int64_t now,
                      struct error *error)
{
    int code = keep_past(book, list, instrument, now, error);
    if (code == ERROR_NONE)
        code = run_on_list(
            book,
            "DELETE FROM watchlist_member WHERE watchlist = (SELECT id FROM watchlist WHERE name = "
            "?1) AND instrument = (SELECT id FROM instrument WHERE name = ?2)",
            list, instrument, LIST_ALWAYS, error);
    if (code == ERROR_NONE && book_changes(book) == 0)
        code = error_set(error, ERROR_INPUT, "%s is not on a watchlist '%s'", instrument, list);
    if (code == ERROR_NONE)
        code = run_on_list(book,
                           "DELETE FROM watchlist WHERE name = ?1 AND NOT EXISTS (SELECT 1 FROM "
                           "watchlist_member WHERE watchlist = watchlist.id)",
                           list, NULL, LIST_ALWAYS, error);
    return code;
}

int list_store_remove_all(struct book *book, const char *list, const char *const *instruments,
                          size_t count, int64_t now, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = list_store_remove(book, list, instruments[i], now, error);
    return code;
}

int list_store_drop(struct book *book, const char *list, int64_t now, struct error *error)
{
    int code = keep_past(book, list, NULL, now, error);
    return code == ERROR_NONE ? run_on_list(book, "DELETE FROM watchlist WHERE name = ?1", list,
                                            NULL, LIST_ALWAYS, error)
                              : code;
}
