#include "book/query_store.h"

#include "book/bars_table_store.h"

#include <sqlite3.h>
#include <string.h>
#include <strings.h>

/* What a question may reckon with: functions of values alone, that reach neither
 * files nor the program. `->` and its like are JSON's. */
static const char *const allowed_functions[] = {"->",
                                                "->>",
                                                "abs",
                                                "acos",
                                                "acosh",
                                                "asin",
                                                "asinh",
                                                "atan",
                                                "atan2",
                                                "atanh",
                                                "avg",
                                                "ceil",
                                                "ceiling",
                                                "changes",
                                                "char",
                                                "coalesce",
                                                "concat",
                                                "concat_ws",
                                                "cos",
                                                "cosh",
                                                "count",
                                                "cume_dist",
                                                "date",
                                                "datetime",
                                                "degrees",
                                                "dense_rank",
                                                "exp",
                                                "first_value",
                                                "floor",
                                                "format",
                                                "glob",
                                                "group_concat",
                                                "hex",
                                                "ifnull",
                                                "iif",
                                                "instr",
                                                "json",
                                                "json_array",
                                                "json_array_length",
                                                "json_extract",
                                                "json_group_array",
                                                "json_group_object",
                                                "json_object",
                                                "json_type",
                                                "json_valid",
                                                "julianday",
                                                "lag",
                                                "last_value",
                                                "lead",
                                                "length",
                                                "like",
                                                "likelihood",
                                                "likely",
                                                "ln",
                                                "log",
                                                "log10",
                                                "log2",
                                                "lower",
                                                "ltrim",
                                                "max",
                                                "min",
                                                "mod",
                                                "nth_value",
                                                "ntile",
                                                "nullif",
                                                "percent_rank",
                                                "pi",
                                                "pow",
                                                "power",
                                                "printf",
                                                "quote",
                                                "radians",
                                                "random",
                                                "rank",
                                                "replace",
                                                "round",
                                                "row_number",
                                                "rtrim",
                                                "sign",
                                                "sin",
                                                "sinh",
                                                "sqrt",
                                                "strftime",
                                                "substr",
                                                "substring",
                                                "sum",
                                                "tan",
                                                "tanh",
                                                "time",
                                                "timediff",
                                                "total",
                                                "trim",
                                                "trunc",
                                                "typeof",
                                                "unhex",
                                                "unicode",
                                                "unixepoch",
                                                "unlikely",
                                                "upper"};

static bool is_allowed(const char *name)
{
    for (size_t i = 0; i < sizeof allowed_functions / sizeof allowed_functions[0]; i++)
        if (name != NULL && strcasecmp(name, allowed_functions[i]) == 0)
            return true;
    return false;
}

/* Reading is all that is allowed, in SQLite itself and not by looking at the
 * words. */
static int allow_reading(void *context, int action, const char *first, const char *second,
                         const char *database, const char *trigger)
{
    char *refused = context;
    (void)first;
    (void)database;
    (void)trigger;
    switch (action) {
    case SQLITE_SELECT:
    case SQLITE_READ:
    case SQLITE_RECURSIVE: return SQLITE_OK;
    case SQLITE_FUNCTION:
        if (is_allowed(second))
            return SQLITE_OK;
        if (refused != NULL)
            sqlite3_snprintf(QUERY_WORD_SIZE, refused, "%s", second != NULL ? second : "");
        return SQLITE_DENY;
    default: return SQLITE_DENY;
    }
}

static bool is_blank(const char *text)
{
    return text[strspn(text, " \t\r\n;")] == '\0';
}

static int say_wrong(const struct query *query, int result, struct error *error)
{
    struct book *book = query->statement.book;
    if ((result == SQLITE_AUTH || result == SQLITE_ERROR) && query->refused[0] != '\0')
        return error_set(error, ERROR_USAGE,
                         "query: the function '%s' is not among those that a question may use",
                         query->refused);
    if (result == SQLITE_INTERRUPT && !query->full)
        return error_because(error, ERROR_INPUT, ERROR_REASON_TOO_LONG,
                             "query: it takes longer than it may");
    if (result == SQLITE_NOMEM || query->full)
        return error_because(error, ERROR_INPUT, ERROR_REASON_TOO_LARGE,
                             "query: it takes more memory than it may");
    if (result == SQLITE_AUTH)
        return error_set(error, ERROR_USAGE, "query: only reads the book; a SELECT is allowed");
    if (result == SQLITE_ERROR)
        return error_set(error, ERROR_USAGE, "query: %s", sqlite3_errmsg(book_handle(book)));
    return book_failed(book, result, "query", error);
}

/* Instructions of SQLite's machine between two looks at the watch. */
enum { LOOK_EVERY = 10000 };

/* An aggregate that finds no memory gives back what it had and goes on over its
 * rows, so that its failure would be seen at their end only; the most that was
 * held tells before. It doubles what it has, and what is refused is twice the
 * limit: so the limit itself was passed by then. */
static int is_over(void *context)
{
    struct query *query = context;
    sqlite3_int64 held = 0;
    sqlite3_int64 most = 0;
    sqlite3_status64(SQLITE_STATUS_MEMORY_USED, &held, &most, 0);
    query->full = query->limits.memory > 0 && most > query->limits.memory;
    return query->full || (query->limits.over != NULL && query->limits.over(query->limits.context));
}

int query_open(struct query *query, struct book *book, const char *sql,
               const struct query_limits *limits, struct error *error)
{
    sqlite3 *handle = book_handle(book);
    const char *rest = NULL;
    sqlite3_int64 held = 0;
    sqlite3_int64 most = 0;
    *query = (struct query){.statement = {.book = book}, .limits = *limits};
    int code = bars_table_add(book, error);
    if (code != ERROR_NONE)
        return code;
    /* The tables of JSON's parts are made at their first use, which is then allowed. */
    sqlite3_exec(handle, "SELECT 1 FROM json_each('[]'), json_tree('[]')", NULL, NULL, NULL);
    sqlite3_set_authorizer(handle, allow_reading, query->refused);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_ENABLE_FTS3_TOKENIZER, 0, NULL);
    sqlite3_hard_heap_limit64(2 * limits->memory);
    sqlite3_status64(SQLITE_STATUS_MEMORY_USED, &held, &most, 1);
    sqlite3_progress_handler(handle, LOOK_EVERY, is_over, query);
    int result = sqlite3_prepare_v2(handle, sql, -1, &query->statement.handle, &rest);
    if (result != SQLITE_OK)
        return say_wrong(query, result, error);
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
    sqlite3_hard_heap_limit64(0);
    if (query->statement.book == NULL)
        return;
    sqlite3_progress_handler(book_handle(query->statement.book), 0, NULL, NULL);
    sqlite3_set_authorizer(book_handle(query->statement.book), allow_reading, NULL);
}

int query_step(struct query *query, bool *row, struct error *error)
{
    int result = sqlite3_step(query->statement.handle);
    *row = result == SQLITE_ROW;
    if (result == SQLITE_ROW || result == SQLITE_DONE)
        return ERROR_NONE;
    return say_wrong(query, result, error);
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
