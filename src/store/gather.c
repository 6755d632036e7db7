#include "store/book.h"

#include "base/array.h"

#include <stdio.h>

void statement_copy(struct statement *statement, int column, char *to, size_t size)
{
    const char *text = statement_text(statement, column);
    snprintf(to, size, "%s", text != NULL ? text : "");
}

int statement_gather(struct statement *statement, struct gathered *rows, struct error *error)
{
    bool row = false;
    int code;
    while ((code = statement_step(statement, &row, error)) == ERROR_NONE && row) {
        void *grown = array_reserve(rows->list, &rows->room, rows->count + 1, rows->size);
        if (grown == NULL)
            return error_memory(error);
        rows->list = grown;
        code = rows->take(statement, (char *)grown + rows->count * rows->size, rows->context,
                          error);
        if (code != ERROR_NONE)
            return code;
        rows->count++;
    }
    return code;
}

int statement_take_name(struct statement *statement, void *one, const void *context,
                        struct error *error)
{
    char **name = one;
    const char *text = statement_text(statement, 0);
    (void)context;
    *name = text != NULL ? string_copy(text) : NULL;
    return *name != NULL ? ERROR_NONE : error_memory(error);
}
