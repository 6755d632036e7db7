#include "book/query_store.h"

#include "book/bars_table_store.h"

#include <sqlite3.h>
#include <string.h>

/* Reading is all that is allowed, in SQLite itself and not by looking at the
 * words. */
static int allow_reading(void *context, int action, const char *first, const char *second,
                         const char *database, const char *trigger)
{
    (void)context;
    (void)first;
    (void)database;
    (void)trigger;
    switch (action) {
    case SQLITE_SELECT:
    case SQLITE_READ:
    case SQLITE_RECURSIVE: return SQLITE_OK;
    case SQLITE_FUNCTION:
        return second != NULL && strcmp(second, "load_extension") == 0 ? SQLITE_DENY : SQLITE_OK;
    default: return SQLITE_DENY;
    }
}

static bool is_blank(const char *text)
{
    return text[strspn(text, " \t\r\n;")] == '\0';
}

static int say_wrong(struct book *book, int result, struct error *error)
{
    if (result == SQLITE_AUTH)
        return error_set(error, ERROR_USAGE, "query: only reads the book; a SELECT is allowed");
    if (result == SQLITE_ERROR)
        return error_set(error, ERROR_USAGE, "query: %s", sqlite3_errmsg(book_handle(book)));
    return book_failed(book, result, "query", error);
}

int query_open(struct query *query, struct book *book, const char *sql, struct error *error)
{
    sqlite3 *handle = book_handle(book);
    const char *rest = NULL;
    *query = (struct query){.statement = {.book = book}};
    int code = bars_table_add(book, error);
    if (code != ERROR_NONE)
        return code;
    sqlite3_set_authorizer(handle, allow_reading, NULL);
    int result = sqlite3_prepare_v2(handle, sql, -1, &query->statement.handle, &rest);
    if (result != SQLITE_OK)
        return say_wrong(book, result, error);
    if (query->statement.handle == NULL)
        return error_set(error, ERROR_USAGE, "query: there is no statement in '%.60s'", sql);
    if (!is_blank(rest))
        return error_set(error, ERROR_USAGE,
                         "query: one statement at a time; more begins at '%.60s'", rest);
    query->columns = sqlite3_column_count(query->statement.handle);
    return ERROR_NONE;
}

void query_close(struct query *query)
{
    sqlite3_finalize(query->statement.handle);
    query->statement.handle = NULL;
}

int query_step(struct query *query, bool *row, struct error *error)
{
    int result = sqlite3_step(query->statement.handle);
    *row = result == SQLITE_ROW;
    if (result == SQLITE_ROW || result == SQLITE_DONE)
        return ERROR_NONE;
    return say_wrong(query->statement.book, result, error);
}

const char *query_column(struct query *query, int column)
{
    return sqlite3_column_name(query->statement.handle, column);
}

enum query_type query_type(struct query *query, int column)
{
    switch (sqlite3_column_type(query->statement.handle, column)) {
    case SQLITE_INTEGER: return QUERY_INTEGER;
    case SQLITE_FLOAT: return QUERY_NUMBER;
    case SQLITE_TEXT: return QUERY_TEXT;
    case SQLITE_BLOB: return QUERY_BYTES;
    default: return QUERY_NULL;
    }
}
