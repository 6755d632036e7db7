#include "book/place_store.h"

#include <stdio.h>

/* Columns: how many, how many before it, whether it is there, the one before, the one
 * after, the first. */
static const char among_all[] = "SELECT (SELECT count(*) FROM instrument), "
                                "(SELECT count(*) FROM instrument WHERE name < ?1), "
                                "EXISTS(SELECT 1 FROM instrument WHERE name = ?1), "
                                "(SELECT max(name) FROM instrument WHERE name < ?1), "
                                "(SELECT min(name) FROM instrument WHERE name > ?1), "
                                "(SELECT min(name) FROM instrument)";

#define MEMBER_NAME(which)                                                                         \
    "(SELECT name FROM instrument WHERE id = (SELECT instrument FROM watchlist_member n WHERE "    \
    "n.watchlist = here.list " which " LIMIT 1))"

static const char on_list[] =
    "WITH here(list, position) AS (SELECT l.id, (SELECT m.position FROM watchlist_member m "
    "WHERE m.watchlist = l.id AND m.instrument = (SELECT id FROM instrument WHERE name = ?1)) "
    "FROM watchlist l WHERE l.name = ?2) "
    "SELECT (SELECT count(*) FROM watchlist_member n WHERE n.watchlist = here.list), "
    "(SELECT count(*) FROM watchlist_member n WHERE n.watchlist = here.list AND n.position < "
    "here.position), here.position IS NOT NULL, " MEMBER_NAME("AND n.position < here.position ORDER BY n.position DESC") ", " MEMBER_NAME(
        "AND n.position > here.position ORDER BY n.position") ", " MEMBER_NAME("ORDER BY n.position") " FROM here";

static void copy_name(char to[INSTRUMENT_NAME_SIZE], struct statement *statement, int column)
{
    const char *name = statement_text(statement, column);
    snprintf(to, INSTRUMENT_NAME_SIZE, "%s", name != NULL ? name : "");
}

int place_store_read(struct book *book, const char *list, const char *name, struct place *place,
                     struct error *error)
{
    struct statement statement;
    bool row = false;
    *place = (struct place){.at = -1};
    int code = statement_prepare(&statement, book, list != NULL ? on_list : among_all, error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, name);
        if (list != NULL)
            statement_bind_text(&statement, 2, list);
        code = statement_step(&statement, &row, error);
    }
    if (code == ERROR_NONE && row) {
        bool there = statement_integer(&statement, 2) != 0;
        place->count = statement_integer(&statement, 0);
        place->at = there ? statement_integer(&statement, 1) : -1;
        if (there)
            copy_name(place->before, &statement, 3);
        copy_name(place->after, &statement, there ? 4 : 5);
    }
    statement_finish(&statement);
    return code;
}

int place_store_is_on(struct book *book, const char *list, const char *name, bool *on,
                      struct error *error)
{
    struct statement statement;
    *on = false;
    int code = statement_prepare(
        &statement, book,
        "SELECT 1 FROM watchlist_member WHERE watchlist = (SELECT id FROM watchlist WHERE name = "
        "?1) AND instrument = (SELECT id FROM instrument WHERE name = ?2)",
        error);
    if (code == ERROR_NONE) {
        statement_bind_text(&statement, 1, list);
        statement_bind_text(&statement, 2, name);
        code = statement_step(&statement, on, error);
    }
    statement_finish(&statement);
    return code;
}

/* --- names ------------------------------------------------------------------------------- */

static int count_names(struct book *book, const char *part, int64_t *matching, struct error *error)
{
    struct statement statement;
    bool row = false;
    *matching = 0;
    int code = statement_prepare(&statement, book,
                                 part != NULL
                                     ? "SELECT count(*) FROM instrument WHERE instr(name, ?1) > 0"
                                     : "SELECT count(*) FROM instrument",
                                 error);
    if (code == ERROR_NONE && part != NULL)
        statement_bind_text(&statement, 1, part);
    if (code == ERROR_NONE)
        code = statement_step(&statement, &row, error);
    if (code == ERROR_NONE && row)
        *matching = statement_integer(&statement, 0);
    statement_finish(&statement);
    return code;
}

int place_store_names(struct book *book, const char *part, int64_t from, int64_t most,
                      char ***names, size_t *count, int64_t *matching, struct error *error)
{
    struct statement statement;
    struct gathered rows = {.size = sizeof **names, .take = statement_take_name};
    *names = NULL;
    *count = 0;
    int code = count_names(book, part, matching, error);
    if (code != ERROR_NONE)
        return code;
    code = statement_prepare(&statement, book,
                             "SELECT name FROM instrument WHERE ?1 IS NULL OR instr(name, ?1) > 0 "
                             "ORDER BY name LIMIT ?2 OFFSET ?3",
                             error);
    if (code == ERROR_NONE) {
        if (part != NULL)
            statement_bind_text(&statement, 1, part);
        else
            statement_bind_null(&statement, 1);
        statement_bind_integer(&statement, 2, most);
        statement_bind_integer(&statement, 3, from);
        code = statement_gather(&statement, &rows, error);
    }
    statement_finish(&statement);
    *names = rows.list;
    *count = rows.count;
    return code;
}
