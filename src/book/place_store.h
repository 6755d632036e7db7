/* Instruments by their place among all of the book or of a list: for who shows a
 * few of very many, and wants no more of the book than those. */
#ifndef RUSHLIGHT_BOOK_PLACE_STORE_H
#define RUSHLIGHT_BOOK_PLACE_STORE_H

#include "market/instrument.h"
#include "store/book.h"

struct place {
    int64_t at;    /* from 0; -1: it is not among them */
    int64_t count; /* of all */
    char before[INSTRUMENT_NAME_SIZE];
    char after[INSTRUMENT_NAME_SIZE]; /* from outside: the first of all; each empty: none */
};

/* Where the instrument of that name stands: among all of the book, by name, where
 * `list` is NULL, else in the order of that list; one that is not there counts 0. */
int place_store_read(struct book *book, const char *list, const char *name, struct place *place,
                     struct error *error);
int place_store_is_on(struct book *book, const char *list, const char *name, bool *on,
                      struct error *error);

/* The names of the book that hold `part` (NULL: all) as it is written, in their order:
 * at most `most` of them from the place `from`, and in *matching how many there are.
 * The caller frees each name and the array, also after an error. */
int place_store_names(struct book *book, const char *part, int64_t from, int64_t most,
                      char ***names, size_t *count, int64_t *matching, struct error *error);

#endif
