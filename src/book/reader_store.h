/* Stored bars read a chunk at a time, for a series too long to be held. */
#ifndef RUSHLIGHT_BOOK_READER_STORE_H
#define RUSHLIGHT_BOOK_READER_STORE_H

#include "book/bars_store.h"

struct bars_reader {
    struct stored_series series;
    int64_t to;
    bool more; /* bars follow those that were read */
    struct statement chunks;
    struct bars chunk;
    size_t taken; /* bars of the chunk that were handed out */
};

/* Reads the bars of a series up to the time `to`, itself included. To be closed
 * also after an error; the book is the reader's until then. */
int bars_reader_open(struct bars_reader *reader, struct book *book,
                     const struct stored_series *series, int64_t to, struct error *error);
/* Begins again with the first bar. */
int bars_reader_again(struct bars_reader *reader, struct error *error);
/* Appends up to `most` bars, fewer only where no more follow, and sets the
 * interval; with the last bar of the series last_is_partial, if it is. */
int bars_reader_read(struct bars_reader *reader, size_t most, struct bars *bars,
                     struct error *error);
void bars_reader_close(struct bars_reader *reader);

#endif
