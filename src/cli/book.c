#include "cli/book.h"

#include "base/text.h"
#include "book/newest_store.h"

#include <stdlib.h>

enum { WAIT_SECONDS = 10 };

int book_of_call(struct call *call, enum book_mode mode, struct book **book, struct error *error)
{
    *book = NULL;
    if (call->book == NULL)
        return error_set(error, ERROR_USAGE, "no book is known; --book FILE names one");
    int code = book_open(book, call->book, mode, WAIT_SECONDS, error);
    if (code != ERROR_NONE || mode == BOOK_READ)
        return code;
    code = newest_store_fill(*book, error);
    if (code != ERROR_NONE) {
        book_close(*book, &(struct error){0});
        *book = NULL;
    }
    return code;
}

/* XDG Base Directory Specification 0.8: an empty or relative value counts as
 * not set. */
int book_default_path(char **path, struct error *error)
{
    const char *data = getenv("XDG_DATA_HOME");
    const char *home = getenv("HOME");
    struct text text;
    *path = NULL;
    text_init(&text);
    if (data != NULL && data[0] == '/') {
        text_append(&text, data);
    } else if (home != NULL && home[0] == '/') {
        text_append(&text, home);
        text_append(&text, "/.local/share");
    } else {
        return ERROR_NONE;
    }
    text_append(&text, "/rushlight/book.sqlite");
    *path = text_take(&text);
    return *path != NULL ? ERROR_NONE : error_memory(error);
}
