/* How work on a book ends. */
#include "store/book.h"

int book_done(struct book *book, int code, struct error *error)
{
    struct error closing = {0};
    int closed = book_close(book, &closing);
    if (code == ERROR_NONE && closed != ERROR_NONE)
        *error = closing;
    return code != ERROR_NONE ? code : closed;
}

int book_settle(struct book *book, int code, struct error *error)
{
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}
