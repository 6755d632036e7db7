/* `query` and `backup`. */
#include "base/array.h"
#include "book/query_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"

#include <stdlib.h>

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

/* What stands in the first row decides which way a column leans. */
static void name_columns(struct query *query, struct column *columns)
{
    for (int i = 0; i < query->columns; i++) {
        enum query_type type = query_type(query, i);
        const char *name = query_column(query, i);
        bool number = type == QUERY_INTEGER || type == QUERY_NUMBER;
        columns[i] = (struct column){name, name, number ? COLUMN_NUMBER : COLUMN_TEXT, -1, ""};
    }
}

static int answer(struct call *call, struct query *query, struct error *error)
{
    struct column *columns = array_new((size_t)query->columns, sizeof *columns);
    struct table table;
    bool row = false;
    size_t count = 0;
    if (columns == NULL)
        return error_memory(error);
    int code = query_step(query, &row, error);
    name_columns(query, columns);
    table_begin(&table, call, "rows", columns, (size_t)query->columns);
    while (code == ERROR_NONE && row) {
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
    free(columns);
    return code;
}

int command_query(struct call *call, struct error *error)
{
    struct book *book;
    struct query query = {0};
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = query_open(&query, book, call->arguments[0], error);
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
