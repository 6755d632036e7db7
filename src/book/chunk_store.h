/* One chunk of stored bars. */
#ifndef RUSHLIGHT_BOOK_CHUNK_STORE_H
#define RUSHLIGHT_BOOK_CHUNK_STORE_H

#include "market/bars.h"
#include "store/book.h"

/* Appends the chunk of a row (id, count, data) to the bars, and checks that it
 * continues them; ERROR_INPUT where it is damaged. */
int bars_chunk_take(struct statement *statement, struct bars *bars, struct error *error);

#endif
