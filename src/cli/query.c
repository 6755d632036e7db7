/* `query` and `backup`. */
#include "answer/query_rows.h"
#include "cli/book.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "cli/wishes.h"

enum { FLUSH_EVERY = 4096 };

static int too_many_rows(size_t most, struct error *error)
{
    return error_because(error, ERROR_INPUT, ERROR_REASON_TOO_LARGE,
                         "query: more than %zu rows; the first are printed", most);
}

static int print_rows(struct call *call, struct query *query, const struct query_columns *columns,
                      bool row, struct error *error)
{
    struct table table;
    int code = ERROR_NONE;
    size_t count = 0;
    size_t most = (size_t)call_whole(call, "rows");
    table_begin(&table, call, "rows", columns->list, columns->count);
    while (code == ERROR_NONE && row && count < most) {
        query_put(&table, query);
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
    struct query_columns columns = {0};
    bool row = false;
    int code = query_step(query, &row, error);
    if (code == ERROR_NONE)
        code = query_columns_init(&columns, query, error);
    if (code == ERROR_NONE)
        code = print_rows(call, query, &columns, row, error);
    query_columns_free(&columns);
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
