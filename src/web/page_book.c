#define _POSIX_C_SOURCE 200809L /* stat */
/* The book of the page: opened for each request, and always the same one. */
#include "web/page_parts.h"

#include "base/new_file.h"
#include "store/book_shelf.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PAGE_BOOK_WAIT_SECONDS = 10 };

int known_book_new(struct known_book **made, const char *path, struct error *error)
{
    struct known_book *known = calloc(1, sizeof *known);
    struct stat status;
    *made = NULL;
    if (known == NULL || pthread_mutex_init(&known->lock, NULL) != 0) {
        free(known);
        return error_memory(error);
    }
    known->known = stat(path, &status) == 0;
    if (known->known) {
        known->device = status.st_dev;
        known->number = status.st_ino;
    }
    *made = known;
    return ERROR_NONE;
}

void known_book_free(struct known_book *known)
{
    if (known == NULL)
        return;
    pthread_mutex_destroy(&known->lock);
    free(known);
}

int page_same_book(const struct page *page, bool *there, struct error *error)
{
    struct known_book *known = page->book;
    const char *path = page->options.book;
    struct stat status;
    int code = ERROR_NONE;
    *there = stat(path, &status) == 0;
    if (!*there && errno != ENOENT)
        return error_set(error, ERROR_MACHINE, "%s: the book cannot be read: %s", path,
                         strerror(errno));
    pthread_mutex_lock(&known->lock);
    if (!*there && known->known) {
        code = error_set(error, ERROR_INPUT,
                         "%s: the book is no longer there; put it back, or start the page again "
                         "on where it is now",
                         path);
    } else if (*there && !known->known) {
        known->known = true;
        known->device = status.st_dev;
        known->number = status.st_ino;
    } else if (*there && (known->device != status.st_dev || known->number != status.st_ino)) {
        code = error_set(error, ERROR_INPUT,
                         "%s: another file has taken the place of the book that this page was "
                         "opened on; nothing is written to it; start the page again",
                         path);
    }
    pthread_mutex_unlock(&known->lock);
    return code;
}

void page_stamp(const struct page *page, char stamp[STAMP_SIZE])
{
    char log[NEW_FILE_PATH_SIZE];
    struct stat status;
    int length = 0;
    stamp[0] = '\0';
    if (stat(page->options.book, &status) == 0)
        length = snprintf(stamp, STAMP_SIZE, "%lld.%ld.%lld ", (long long)status.st_mtim.tv_sec,
                          status.st_mtim.tv_nsec, (long long)status.st_size);
    /* An empty log comes and goes with readers. */
    snprintf(log, sizeof log, "%s-wal", page->options.book);
    if (stat(log, &status) == 0 && status.st_size > 0)
        snprintf(stamp + length, STAMP_SIZE - (size_t)length, "%lld.%ld.%lld",
                 (long long)status.st_mtim.tv_sec, status.st_mtim.tv_nsec,
                 (long long)status.st_size);
}

int page_book(const struct page *page, enum book_mode mode, struct book **book, struct error *error)
{
    bool there = false;
    *book = NULL;
    int code = page_same_book(page, &there, error);
    if (code != ERROR_NONE || (mode == BOOK_READ && !there))
        return code;
    code = mode == BOOK_READ
               ? book_shelf_take(page->shelf, book, PAGE_BOOK_WAIT_SECONDS, error)
               : book_open(book, page->options.book, mode, PAGE_BOOK_WAIT_SECONDS, error);
    /* Again: it may have been taken away, or made, in between. */
    if (code == ERROR_NONE && (code = page_same_book(page, &there, error)) != ERROR_NONE) {
        code = book_done(*book, code, error);
        *book = NULL;
    }
    return code;
}

void page_clean_error(struct error *error, const char *path, const char *name)
{
    struct error clean = {.code = error->code, .reason = error->reason};
    const char *found = strstr(error->text, path);
    if (error->code == ERROR_NONE || found == NULL)
        return;
    snprintf(clean.text, sizeof clean.text, "%.*s%.200s%s", (int)(found - error->text), error->text,
             name, found + strlen(path));
    *error = clean;
}
