/* What was known at the end of a day: the wish `as_of`, instrument by instrument.
 *
 * A day ends for an instrument where its session of the next day begins
 * (market/session.h), in its own zone: a bar counts if it was over by then. Without
 * the wish nothing is left out. */
#ifndef RUSHLIGHT_WORK_AS_OF_H
#define RUSHLIGHT_WORK_AS_OF_H

#include "book/bars_store.h"
#include "book/list_store.h"
#include "book/place_store.h"
#include "market/instrument.h"
#include "work/work.h"

/* Whether a past day is wished for. */
bool as_of_wished(const struct wishes *wishes);

/* The UTC second at which the day is over for the instrument; INT64_MAX without
 * the wish. ERROR_MACHINE or ERROR_INPUT where its zone is not known. */
int as_of_end(const struct wishes *wishes, const struct instrument *instrument, int64_t *end,
              struct error *error);

/* Whether something dated (a split, a tick) was there on the day. */
bool as_of_dated(const struct wishes *wishes, int64_t date);

/* The last time that a bar of this interval can have and be over by then;
 * INT64_MAX without the wish. */
int as_of_last(const struct wishes *wishes, const struct instrument *instrument,
               struct interval interval, int64_t *last, struct error *error);

/* Leaves the bars out that were not over yet. */
int as_of_cut(const struct wishes *wishes, const struct instrument *instrument, struct bars *bars,
              struct error *error);

/* Makes of the stored series of an instrument what was known of them; one that had
 * not begun is left out. */
int as_of_stored(const struct wishes *wishes, struct book *book,
                 const struct instrument *instrument, struct stored_series *series, size_t *count,
                 struct error *error);

/* The members of a list on the day: those that had been put on it by its end, each in
 * its own zone, and were not taken off. As list_store_members. */
int as_of_members(const struct wishes *wishes, struct book *book, const char *list, char ***names,
                  size_t *count, bool *found, struct error *error);
/* Where an instrument stood on the list on the day, as place_store_read; without a list
 * among all of the book. */
int as_of_place(const struct wishes *wishes, struct book *book, const char *list, const char *name,
                struct place *place, struct error *error);
int as_of_is_on(const struct wishes *wishes, struct book *book, const char *list, const char *name,
                bool *on, struct error *error);
/* The lists that had members on the day, as list_store_all. */
int as_of_lists(const struct wishes *wishes, struct book *book, struct list_row **lists,
                size_t *count, struct error *error);

/* An end that was not reached yet is not known, nor why. */
void as_of_instrument(const struct wishes *wishes, struct instrument *instrument);

#endif
