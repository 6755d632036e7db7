/* Books that are read, kept open between one piece of work and the next: opening one
 * reads its whole schema, and prepares every statement anew. Any thread may ask. */
#ifndef RUSHLIGHT_STORE_BOOK_SHELF_H
#define RUSHLIGHT_STORE_BOOK_SHELF_H

#include "store/book.h"

struct book_shelf;

/* Of the book at this path, which is copied. Free it after every book of it is closed. */
int book_shelf_new(struct book_shelf **made, const char *path, struct error *error);
/* NULL is allowed. */
void book_shelf_free(struct book_shelf *shelf);

/* As book_open to read; book_close or book_done puts it back. One that waits here is
 * lent only while it is of the file that stands at the path, of the schema that the
 * program knows, and not one that cannot change. */
int book_shelf_take(struct book_shelf *shelf, struct book **book, int wait_seconds,
                    struct error *error);

#endif
