/* Lists of instruments made, added to and taken apart. */
#include "book/list_store.h"
#include "work/book_files.h"
#include "work/series.h"

static int find_list(struct book *book, const char *name, bool *found, struct error *error)
{
    char **members;
    size_t count = 0;
    int code = list_store_members(book, name, &members, &count, found, error);
    words_free(members, count);
    return code;
}

static int alter(struct book *book, enum list_change change, const char *list,
                 const char *const *instruments, size_t count, int64_t now, struct error *error)
{
    bool found = false;
    int code = find_list(book, list, &found, error);
    if (code != ERROR_NONE)
        return code;
    if (found && change == LIST_MAKE)
        return error_because(error, ERROR_INPUT, ERROR_REASON_LIST_THERE,
                             "there is a watchlist '%s' already", list);
    if (!found && change == LIST_REMOVE)
        return error_because(error, ERROR_INPUT, ERROR_REASON_NO_LIST,
                             "there is no watchlist '%s' in the book", list);
    if (count == 0)
        return list_store_drop(book, list, now, error);
    return change == LIST_REMOVE ? list_store_remove_all(book, list, instruments, count, now, error)
                                 : list_store_add_all(book, list, instruments, count, now, error);
}

int list_alter(struct book *book, enum list_change change, const char *list,
               const char *const *instruments, size_t count, int64_t now, bool *left,
               struct error *error)
{
    int code = book_begin(book, "changing a watchlist", error);
    if (code != ERROR_NONE)
        return code;
    code = book_settle(book, alter(book, change, list, instruments, count, now, error), error);
    return code == ERROR_NONE ? find_list(book, list, left, error) : code;
}
