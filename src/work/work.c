#define _POSIX_C_SOURCE 200809L /* access */
#include "work/work.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/text.h"
#include "store/book_shelf.h"
#include "work/work_parts.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { WAIT_SECONDS = 10 };

void wishes_init(struct wishes *wishes)
{
    *wishes = (struct wishes){.from = INT64_MIN,
                              .to = INT64_MAX,
                              .seen = INT64_MAX,
                              .entered_by = INT64_MAX,
                              .as_of = INT64_MAX,
                              .adjustment = ADJUST_SPLITS,
                              .threads = 1,
                              .seed = 1};
}

int work_open(struct work **opened, const struct wishes *wishes, const struct voice *voice,
              struct error *error)
{
    *opened = NULL;
    struct work *work = calloc(1, sizeof *work);
    if (work == NULL)
        return error_memory(error);
    work->wishes = *wishes;
    work->voice = *voice;
    work->reader_room = (size_t)wishes->threads;
    work->readers = array_new(work->reader_room, sizeof(struct book *));
    if (work->readers == NULL || pthread_mutex_init(&work->lock, NULL) != 0) {
        free(work->readers);
        free(work);
        return error_memory(error);
    }
    *opened = work;
    return ERROR_NONE;
}

/* Keeps the first error. */
static void close_book(struct book *book, int *code, struct error *error)
{
    struct error closing = {0};
    int closed = book_close(book, &closing);
    if (*code != ERROR_NONE || closed == ERROR_NONE)
        return;
    *error = closing;
    *code = closed;
}

int work_close(struct work *work, int code, struct error *error)
{
    if (work == NULL)
        return code;
    for (size_t i = 0; i < work->reader_count; i++)
        close_book(work->readers[i], &code, error);
    /* The last to close tidies the book's log up, which a reader may not. */
    close_book(work->writer, &code, error);
    pthread_mutex_destroy(&work->lock);
    name_set_free(&work->said_aside);
    free(work->readers);
    free(work);
    return code;
}

const struct wishes *work_wishes(const struct work *work)
{
    return &work->wishes;
}

int64_t work_known_until(const struct work *work)
{
    const struct wishes *wishes = &work->wishes;
    return wishes->as_of == INT64_MAX ? wishes->now : wishes->as_of + SECONDS_PER_DAY - 1;
}

int work_copy_words(char *to, size_t size, size_t least, const char *what, const char *words,
                    struct error *error)
{
    const char *found = words != NULL ? words : "";
    size_t length = strlen(found);
    if (length < least || length >= size || !text_is_shown(found))
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.60s'%s; one line of %s%zu bytes is allowed", what, found,
                         length > 60 ? " and more" : "", least > 0 ? "1 to " : "at most ",
                         size - 1);
    memcpy(to, found, length + 1);
    return ERROR_NONE;
}

void work_bound(struct work *work, int64_t last)
{
    if (last < work->wishes.to)
        work->wishes.to = last;
}

int work_stopped(const struct work *work, struct error *error)
{
    if (work->voice.stop == NULL || !atomic_load(work->voice.stop))
        return ERROR_NONE;
    return error_set(error, ERROR_STOPPED, "it was stopped before it was done");
}

void work_progress(const struct work *work, double done)
{
    if (work->voice.progress != NULL)
        work->voice.progress(work->voice.context, done);
}

static int no_book(struct error *error)
{
    return error_because(error, ERROR_USAGE, ERROR_REASON_NO_BOOK, "no book is known");
}

bool work_has_book(const struct work *work)
{
    return work->wishes.book != NULL && access(work->wishes.book, F_OK) == 0;
}

int work_borrow(struct work *work, struct book **book, struct error *error)
{
    *book = NULL;
    if (work->wishes.book == NULL)
        return no_book(error);
    pthread_mutex_lock(&work->lock);
    if (work->reader_count > 0)
        *book = work->readers[--work->reader_count];
    pthread_mutex_unlock(&work->lock);
    if (*book != NULL)
        return ERROR_NONE;
    if (work->wishes.shelf != NULL)
        return book_shelf_take(work->wishes.shelf, book, WAIT_SECONDS, error);
    return book_open(book, work->wishes.book, BOOK_READ, WAIT_SECONDS, error);
}

void work_return(struct work *work, struct book *book)
{
    struct error ignored;
    if (book == NULL)
        return;
    pthread_mutex_lock(&work->lock);
    bool kept = work->reader_count < work->reader_room;
    if (kept)
        work->readers[work->reader_count++] = book;
    pthread_mutex_unlock(&work->lock);
    /* More borrowers than threads: none of ours, and no reason to fail. */
    if (!kept)
        book_close(book, &ignored);
}

int work_writer(struct work *work, struct book **book, struct error *error)
{
    int code = ERROR_NONE;
    if (work->wishes.book == NULL)
        code = no_book(error);
    else if (work->writer == NULL)
        code = book_open(&work->writer, work->wishes.book, BOOK_WRITE, WAIT_SECONDS, error);
    *book = work->writer;
    return code;
}
