/* Instruments in the book, and their ticks. */
#ifndef RUSHLIGHT_BOOK_INSTRUMENT_STORE_H
#define RUSHLIGHT_BOOK_INSTRUMENT_STORE_H

#include "market/instrument.h"
#include "store/book.h"

/* The instrument of this name; *found is false where there is none. Its tick is
 * the newest. */
int instrument_store_find(struct book *book, const char *name, struct instrument *instrument,
                          bool *found, struct error *error);
/* The same of one that has to be there: else ERROR_INPUT. */
int instrument_store_need(struct book *book, const char *name, struct instrument *instrument,
                          struct error *error);
/* All, by name. The array is the caller's to free. */
int instrument_store_all(struct book *book, struct instrument **instruments, size_t *count,
                         struct error *error);
/* Writes a record: a new one where its id is 0 (which it then gets), else over
 * the one of that id. A tick that is known becomes the one that holds always,
 * unless there are dated ones. Inside a transaction of the caller's. */
int instrument_store_save(struct book *book, struct instrument *instrument, struct error *error);

/* Oldest first; the array is the caller's to free. */
int instrument_store_ticks(struct book *book, int64_t instrument, struct dated_tick **ticks,
                           size_t *count, struct error *error);
int instrument_store_set_tick(struct book *book, int64_t instrument, int64_t since, double step,
                              struct error *error);
/* All ticks anew, in place of those that were there. */
int instrument_store_set_ticks(struct book *book, int64_t instrument,
                               const struct dated_tick *ticks, size_t count, struct error *error);

#endif
