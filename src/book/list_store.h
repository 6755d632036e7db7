/* Watchlists of the book: names of instruments in order, each with the moments at
 * which it was put on and taken off. */
#ifndef RUSHLIGHT_BOOK_LIST_STORE_H
#define RUSHLIGHT_BOOK_LIST_STORE_H

#include "market/instrument.h"
#include "store/book.h"

/* As the moment of an entry: it was there always. */
#define LIST_ALWAYS INT64_MIN

struct list_row {
    char name[INSTRUMENT_NAME_SIZE];
    int64_t members;
};

/* Time that an instrument was on a list. */
struct membership {
    char list[INSTRUMENT_NAME_SIZE];
    char instrument[INSTRUMENT_NAME_SIZE];
    int64_t added;   /* UTC second; LIST_ALWAYS */
    int64_t removed; /* UTC second; INT64_MAX: it is on it still */
};

/* All lists by name. The array is the caller's to free. */
int list_store_all(struct book *book, struct list_row **lists, size_t *count, struct error *error);
/* The members' names; *found is false where there is no such list. The caller
 * frees each name and the array. */
int list_store_members(struct book *book, const char *list, char ***names, size_t *count,
                       bool *found, struct error *error);
/* Everything that was ever on a list, or on any (NULL): by the names of the lists, and
 * of each in the order of its members. The array is the caller's to free. */
int list_store_history(struct book *book, const char *list, struct membership **memberships,
                       size_t *count, struct error *error);

/* Puts instruments at the end of a list (made where there is none) in their order, or
 * takes them off, at `now` (LIST_ALWAYS: as if they had been on it ever since); a list
 * without members is gone. The cost grows with their number. Inside a transaction.
 * ERROR_USAGE for what cannot be the name of a list, ERROR_INPUT for an instrument
 * that is not in the book, or not on the list. */
int list_store_add_all(struct book *book, const char *list, const char *const *instruments,
                       size_t count, int64_t now, struct error *error);
int list_store_remove_all(struct book *book, const char *list, const char *const *instruments,
                          size_t count, int64_t now, struct error *error);
/* The same for one. */
int list_store_add(struct book *book, const char *list, const char *instrument, int64_t now,
                   struct error *error);
int list_store_remove(struct book *book, const char *list, const char *instrument, int64_t now,
                      struct error *error);
/* Drops a whole list. Inside a transaction. */
int list_store_drop(struct book *book, const char *list, int64_t now, struct error *error);

#endif
