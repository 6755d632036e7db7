/* Splits, dividends and rolls of instruments in the book. */
#ifndef RUSHLIGHT_MARKET_ACTION_STORE_H
#define RUSHLIGHT_MARKET_ACTION_STORE_H

#include "market/adjust.h"
#include "store/book.h"

/* Those of an instrument, oldest first, of one date splits, rolls and then
 * dividends. The array is the caller's to free. */
int action_store_list(struct book *book, int64_t instrument, struct action **actions, size_t *count,
                      struct error *error);
/* Notes one, over another of the same day and kind; inside a transaction of the
 * caller's. ERROR_INPUT for a split that is not positive. */
int action_store_put(struct book *book, int64_t instrument, const struct action *action,
                     struct error *error);

#endif
