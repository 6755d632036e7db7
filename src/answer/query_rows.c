#include "answer/query_rows.h"

#include "base/array.h"
#include "base/text.h"

#include <stdlib.h>
#include <string.h>

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

int query_columns_init(struct query_columns *columns, struct query *query, struct error *error)
{
    size_t width = (size_t)query->columns;
    int code = ERROR_NONE;
    *columns = (struct query_columns){.list = array_new(width, sizeof *columns->list),
                                      .names = calloc(2 * width + 1, sizeof *columns->names),
                                      .count = width};
    if (columns->list == NULL || columns->names == NULL)
        return error_memory(error);
    for (int i = 0; i < query->columns && code == ERROR_NONE; i++) {
        enum query_type type = query_type(query, i);
        bool number = type == QUERY_INTEGER || type == QUERY_NUMBER;
        columns->list[i] = (struct column){"", "", number ? COLUMN_NUMBER : COLUMN_TEXT, -1, ""};
        code = name_column(query, i, columns->list, columns->names, error);
    }
    return code;
}

void query_columns_free(struct query_columns *columns)
{
    for (size_t i = 0; columns->names != NULL && i < 2 * columns->count; i++)
        free(columns->names[i]);
    free(columns->names);
    free(columns->list);
    *columns = (struct query_columns){0};
}

void query_put(struct table *table, struct query *query)
{
    for (int i = 0; i < query->columns; i++)
        put_cell(table, query, i);
}
