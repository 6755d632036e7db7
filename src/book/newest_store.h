/* The newest bars of every series as a plain table of the book, for programs
 * that know SQLite and nothing of ours:
 *
 *   newest_bars(instrument, interval, time, open, high, low, close, volume)
 *
 * as traded, `time` as text like that of the table `bars` (query_store.h), the
 * last bar as it stands where it is partial, volume null where not known. */
#ifndef RUSHLIGHT_BOOK_NEWEST_STORE_H
#define RUSHLIGHT_BOOK_NEWEST_STORE_H

#include "book/bars_store.h"

/* Of each series. */
enum { NEWEST_BARS = 300 };

/* Brings the table up to date with a series of the instrument of this name whose
 * bars changed from `since` on (INT64_MAX: none did), inside the transaction that
 * changed them. */
int newest_store_update(struct book *book, const char *instrument,
                        const struct stored_series *series, int64_t since, struct error *error);

/* Fills the table, in a transaction of its own, where it is empty and the book
 * has bars: a book that comes from a version without it. */
int newest_store_fill(struct book *book, struct error *error);

#endif
