/* Accounts in the book. Nothing is changed or removed. Whatever keeps something does
 * so inside a transaction of the caller's. */
#ifndef RUSHLIGHT_DESK_ACCOUNT_STORE_H
#define RUSHLIGHT_DESK_ACCOUNT_STORE_H

#include "desk/account.h"
#include "desk/rates.h"
#include "store/book.h"

/* All, by name; the array is the caller's to free. */
int account_store_all(struct book *book, struct account **accounts, size_t *count,
                      struct error *error);
/* ERROR_INPUT where the book has none of that name. */
int account_store_need(struct book *book, const char *name, struct account *account,
                       struct error *error);
/* Makes one, which gets its id; ERROR_INPUT for a name that is there, is empty, too
 * long, or not shown. */
int account_store_make(struct book *book, struct account *account, struct error *error);

/* Its entries in the order in which they count, then of their numbers; the array is
 * the caller's to free. */
int account_store_entries(struct book *book, const struct account *account,
                          struct account_entry **entries, size_t *count, struct error *error);
/* Keeps one, which gets its number. */
int account_store_enter(struct book *book, const struct account *account,
                        struct account_entry *entry, struct error *error);

int account_store_terms(struct book *book, const struct account *account,
                        struct account_terms_set *terms, struct error *error);
/* Keeps the terms that differ from those that hold. */
int account_store_set_terms(struct book *book, const struct account *account,
                            const struct account_terms_set *terms, int64_t made,
                            struct error *error);

/* A pair of currencies and the instrument whose closes are its rate. */
struct rate_source {
    struct rate pair; /* its price not set */
    char instrument[INSTRUMENT_NAME_SIZE];
    int64_t made;
};
/* The newest of each pair, by pair; the array is the caller's to free. */
int rate_store_all(struct book *book, struct rate_source **sources, size_t *count,
                   struct error *error);
/* ERROR_INPUT for an instrument that is not in the book. */
int rate_store_set(struct book *book, const struct rate_source *source, struct error *error);

#endif
