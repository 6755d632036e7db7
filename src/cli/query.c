/* `query` and `backup`. */
#include "base/array.h"
#include "book/query_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"

#include <stdlib.h>
#include <string.h>

enum { FLUSH_EVERY = 4096 };

static void put_cell(struct table *table, struct query *query, int column)
{
    struct text text;
    size_t length;
    switch (query_type(query, column)) {
    case QUERY_INTEGER: table_integer(table, statement_integer(&query->statement, column)); break;
    case QUERY_NUMBER: table_number(table, statement_number(&query->statement, column)); break;
    case QUERY_TEXT: table_text(table, statement_text(&query->statement, column)); break;
    case QUERY_BYTES:
        text_init(&text);
        statement_bytes(&query->statement, column, &length);
        text_append_format(&text, "%zu bytes", length);
        table_text(table, text.bytes);
        text_free(&text);
        break;
    case QUERY_NULL: table_text(table, NULL);
    }
}

static bool is_taken(const struct column *columns, int count, const char *name)
{
    for (int i = 0; i < count; i++)
        if (strcmp(columns[i].name, name) == 0)
            return true;
    return false;
}

/* The question's own name, the second of the name with _2 behind it. The pieces
 * are kept in `names`, which has room for two a column. */
static int name_column(struct query *query, int column, struct column *columns, char **names,
                       struct error *error)
{
    const char *own = query_column(query, column);
    struct text name;
    struct text title;
    text_init(&name);
    text_init(&title);
    text_append(&name, own);
    for (int n = 2; !text_failed(&name) && is_taken(columns, column, name.bytes); n++) {
        text_clear(&name);
        text_append_format(&name, "%s_%d", own, n);
    }
    text_append_shown(&title, name.bytes);
    names[2 * column] = text_take(&name);
    names[2 * column + 1] = text_take(&title);
    if (names[2 * column] == NULL || names[2 * column + 1] == NULL)
        return error_memory(error);
    columns[column].name = names[2 * column];
    columns[column].title = names[2 * column + 1];
    return ERROR_NONE;
}

/* What stands in the first row decides which way a column leans. */
static int name_columns(struct query *query, struct column *columns, char **names,
                        struct error *error)
{
    int code = ERROR_NONE;
    for (int i = 0; i < query->columns && code == ERROR_NONE; i++) {
        enum query_type type = query_type(query, i);
        bool number = type == QUERY_INTEGER || type == QUERY_NUMBER;
        columns[i] = (struct column){"", "", number ? COLUMN_NUMBER : COLUMN_TEXT, -1, ""};
        code = name_column(query, i, columns, names, error);
    }
    return code;
}

static int too_many_rows(size_t most, struct error *error)
{
    return error_because(error, ERROR_INPUT, ERROR_REASON_TOO_LARGE,
                         "query: more than %zu rows; the first are printed", most);
}

static int print_rows(struct call *call, struct query *query, const struct column *columns,
                      bool row, struct error *error)
{
    struct table table;
    int code = ERROR_NONE;
    size_t count = 0;
    size_t most = (size_t)call_whole(call, "rows");
    table_begin(&table, call, "rows", columns, (size_t)query->columns);
    while (code == ERROR_NONE && row && count < most) {
        for (int i = 0; i < query->columns; i++)
            put_cell(&table, query, i);
        if (++count % FLUSH_EVERY == 0)
            table_flush(&table);
        code = query_step(query, &row, error);
    }
    if (code == ERROR_NONE)
        code = table_end(&table, count > 0 ? NULL : "No rows.", error);
    else
        table_abandon(&table);
    return code == ERROR_NONE && row ? too_many_rows(most, error) : code;
}

static int answer(struct call *call, struct query *query, struct error *error)
{
    size_t width = (size_t)query->columns;
    struct column *columns = array_new(width, sizeof *columns);
    char **names = calloc(2 * width + 1, sizeof *names);
    bool row = false;
    int code = columns == NULL || names == NULL ? error_memory(error)
                                                : query_step(query, &row, error);
    if (code == ERROR_NONE)
        code = name_columns(query, columns, names, error);
    if (code == ERROR_NONE)
        code = print_rows(call, query, columns, row, error);
    for (size_t i = 0; names != NULL && i < 2 * width; i++)
        free(names[i]);
    free(names);
    free(columns);
    return code;
}

static int is_over(void *context)
{
    return clock_now() > *(const int64_t *)context;
}

int command_query(struct call *call, struct error *error)
{
    struct book *book;
    struct query query = {0};
    int64_t end = clock_now() + call_whole(call, "seconds");
    const struct query_limits limits = {is_over, &end, call_whole(call, "memory") << 20};
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = query_open(&query, book, call->arguments[0], &limits, error);
    if (code == ERROR_NONE)
        code = answer(call, &query, error);
    query_close(&query);
    return book_done(book, code, error);
}

int command_backup(struct call *call, struct error *error)
{
    struct book *book;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = book_backup(book, call->arguments[0], error);
    if (code == ERROR_NONE)
        fprintf(call->out, "%s: a copy of %s, read again and found whole\n", call->arguments[0],
                book_path(book));
    return book_done(book, code, error);
}
