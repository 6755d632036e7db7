#include "book/chunk_store.h"

#include "book/bars_pack.h"

int bars_chunk_take(struct statement *statement, struct bars *bars, struct error *error)
{
    size_t length = 0;
    size_t before = bars->count;
    int64_t count = statement_integer(statement, 1);
    const void *bytes = statement_bytes(statement, 2, &length);
    int code = ERROR_NONE;
    if (count <= 0 || count > PACK_MOST)
        code = error_set(error, ERROR_INPUT, "stored bars are damaged");
    if (code == ERROR_NONE)
        code = bars_unpack(bars, bytes, length, (size_t)count, error);
    for (size_t i = before > 0 ? before : 1; code == ERROR_NONE && i < bars->count; i++)
        if (bars->time[i] <= bars->time[i - 1])
            code = error_set(error, ERROR_INPUT,
                             "stored bars are damaged: their times do not rise");
    if (code == ERROR_INPUT)
        error_context(error, "%s: go back to a backup", book_path(statement->book));
    return code;
}
