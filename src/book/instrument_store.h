/* Instruments and their lists in the book. */
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

/* Lists: names of instruments in order. */
struct list_row {
    char name[INSTRUMENT_NAME_SIZE];
    int64_t members;
};
int list_store_all(struct book *book, struct list_row **lists, size_t *count, struct error *error);
/* The members' names; *found is false where there is no such list. The caller
 * frees each name and the array. */
int list_store_members(struct book *book, const char *list, char ***names, size_t *count,
                       bool *found, struct error *error);
/* Puts an instrument at the end of a list (made where there is none), or takes
 * it off; a list without members is gone. Inside a transaction. ERROR_INPUT for
 * an instrument that is not in the book. */
int list_store_add(struct book *book, const char *list, const char *instrument,
                   struct error *error);
int list_store_remove(struct book *book, const char *list, const char *instrument,
                      struct error *error);
/* The same for several in their order, at a cost that grows with their number. */
int list_store_add_all(struct book *book, const char *list, const char *const *instruments,
                       size_t count, struct error *error);
int list_store_remove_all(struct book *book, const char *list, const char *const *instruments,
                          size_t count, struct error *error);
/* Drops a whole list. Inside a transaction. */
int list_store_drop(struct book *book, const char *list, struct error *error);

#endif
