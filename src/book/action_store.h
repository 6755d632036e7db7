/* Splits, dividends and rolls of instruments in the book. */
#ifndef RUSHLIGHT_BOOK_ACTION_STORE_H
#define RUSHLIGHT_BOOK_ACTION_STORE_H

#include "market/adjust.h"
#include "store/book.h"

/* Those of an instrument, oldest first, of one date splits, rolls and then
 * dividends. The array is the caller's to free. */
int action_store_list(struct book *book, int64_t instrument, struct action **actions, size_t *count,
                      struct error *error);
enum action_outcome { ACTION_ADDED, ACTION_KNOWN, ACTION_REPLACED };

/* Notes one; inside a transaction of the caller's. Another value of the same
 * day and kind is ERROR_INPUT and stays, unless `replace`; `old` (may be NULL)
 * gets it. ERROR_INPUT also for a split outside 0.0001 to 10,000, a dividend
 * not above 0, a roll of 0, and values beyond 1e9: with them prices would stop
 * being any. */
int action_store_put(struct book *book, int64_t instrument, const struct action *action,
                     bool replace, enum action_outcome *outcome, double *old, struct error *error);
/* Takes one out; *found tells whether it was there, *value what it was. */
int action_store_remove(struct book *book, int64_t instrument, int64_t date, enum action_kind kind,
                        bool *found, double *value, struct error *error);

#endif
