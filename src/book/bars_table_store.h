/* The bars of the book as a table that can be read (query_store.h). */
#ifndef RUSHLIGHT_BOOK_BARS_TABLE_STORE_H
#define RUSHLIGHT_BOOK_BARS_TABLE_STORE_H

#include "store/book.h"

/* Makes the table `bars` known to this opening of the book. */
int bars_table_add(struct book *book, struct error *error);

#endif
