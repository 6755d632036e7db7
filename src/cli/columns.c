/* `columns`: which column is what, as the book keeps it for files of a name. */
#include "book/columns_store.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"

#include <stdlib.h>
#include <string.h>

static int show(struct call *call, struct error *error)
{
    static const struct column columns[] = {{"pattern", "files", COLUMN_TEXT, 0, ""},
                                            {"columns", "columns", COLUMN_TEXT, 0, ""}};
    struct book *book = NULL;
    struct columns_row *rows = NULL;
    struct table table;
    size_t count = 0;
    int code = book_of_call(call, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = columns_store_list(book, &rows, &count, error);
    if (code == ERROR_NONE) {
        table_begin(&table, call, "columns", columns, 2);
        for (size_t i = 0; i < count; i++) {
            table_text(&table, rows[i].pattern);
            table_text(&table, rows[i].columns);
        }
        code = table_end(&table,
                         count > 0 ? NULL
                                   : "None are kept yet; 'rushlight columns keep PATTERN "
                                     "ROLE=COLUMN,…' keeps some.",
                         error);
    }
    free(rows);
    return book_done(book, code, error);
}

static int keep(struct call *call, struct error *error)
{
    struct csv_wishes wishes;
    struct book *book = NULL;
    int code = csv_wishes_read(&wishes, call->arguments[2], error);
    if (code != ERROR_NONE)
        return error_context(error, "columns");
    code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "keeping columns", error);
    if (code == ERROR_NONE)
        code = book_settle(book,
                           columns_store_keep(book, call->arguments[1], call->arguments[2], error),
                           error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "files named %s are read with %s\n", call->arguments[1],
                call->arguments[2]);
    return code;
}

static int forget(struct call *call, struct error *error)
{
    struct book *book = NULL;
    bool found = false;
    int code = book_of_call(call, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "removing columns", error);
    if (code == ERROR_NONE)
        code = book_settle(book, columns_store_remove(book, call->arguments[1], &found, error),
                           error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT,
                         "the book keeps no columns for '%s'; 'columns' lists them",
                         call->arguments[1]);
    code = book_done(book, code, error);
    if (code == ERROR_NONE)
        fprintf(call->out, "files named %s are read as their headers say\n", call->arguments[1]);
    return code;
}

int command_columns(struct call *call, struct error *error)
{
    size_t count = call->argument_count;
    const char *word = count > 0 ? call->arguments[0] : "show";
    if (count <= 1 && strcmp(word, "show") == 0)
        return show(call, error);
    if (count == 3 && strcmp(word, "keep") == 0)
        return keep(call, error);
    if (count == 2 && strcmp(word, "remove") == 0)
        return forget(call, error);
    return error_set(error, ERROR_USAGE,
                     "columns: found '%s'%s; show, keep PATTERN ROLE=COLUMN,… or remove PATTERN is "
                     "allowed",
                     word, count > 1 ? " and more" : "");
}
