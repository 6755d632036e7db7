#include "web/page_parts.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { PAGE_BOOK_WAIT_SECONDS = 10 };

int page_book(const struct page *page, enum book_mode mode, struct book **book, struct error *error)
{
    *book = NULL;
    if (mode == BOOK_READ && access(page->options.book, F_OK) != 0 && errno == ENOENT)
        return ERROR_NONE;
    return book_open(book, page->options.book, mode, PAGE_BOOK_WAIT_SECONDS, error);
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
