#include "store/book_shelf.h"

#include "base/array.h"

#include <pthread.h>
#include <stdlib.h>

/* As many as work at once; one more is closed. */
enum { SHELF_ROOM = 4 };

struct book_shelf {
    char *path;
    pthread_mutex_t lock;
    struct book *books[SHELF_ROOM];
    size_t count;
};

int book_shelf_new(struct book_shelf **made, const char *path, struct error *error)
{
    struct book_shelf *shelf = calloc(1, sizeof *shelf);
    *made = NULL;
    if (shelf == NULL)
        return error_memory(error);
    shelf->path = string_copy(path);
    if (shelf->path == NULL || pthread_mutex_init(&shelf->lock, NULL) != 0) {
        free(shelf->path);
        free(shelf);
        return error_memory(error);
    }
    *made = shelf;
    return ERROR_NONE;
}

/* For good. */
static void close_book(struct book *book)
{
    struct error ignored;
    book_lend(book, NULL, NULL);
    book_close(book, &ignored);
}

void book_shelf_free(struct book_shelf *shelf)
{
    if (shelf == NULL)
        return;
    while (shelf->count > 0)
        close_book(shelf->books[--shelf->count]);
    pthread_mutex_destroy(&shelf->lock);
    free(shelf->path);
    free(shelf);
}

static bool keep(void *context, struct book *book)
{
    struct book_shelf *shelf = context;
    bool kept = false;
    if (!book_is_in_place(book))
        return false;
    pthread_mutex_lock(&shelf->lock);
    if (shelf->count < SHELF_ROOM) {
        shelf->books[shelf->count++] = book;
        kept = true;
    }
    pthread_mutex_unlock(&shelf->lock);
    return kept;
}

static struct book *take_waiting(struct book_shelf *shelf)
{
    pthread_mutex_lock(&shelf->lock);
    struct book *book = shelf->count > 0 ? shelf->books[--shelf->count] : NULL;
    pthread_mutex_unlock(&shelf->lock);
    return book;
}

int book_shelf_take(struct book_shelf *shelf, struct book **book, int wait_seconds,
                    struct error *error)
{
    while ((*book = take_waiting(shelf)) != NULL) {
        if (book_is_in_place(*book) && book_is_current(*book))
            return ERROR_NONE;
        close_book(*book);
    }
    int code = book_open(book, shelf->path, BOOK_READ, wait_seconds, error);
    if (code == ERROR_NONE)
        book_lend(*book, keep, shelf);
    return code;
}
