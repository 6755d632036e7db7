/* Lists of what the book holds: instruments, their bars, what was set aside,
 * events, splits and dividends, watchlists. */
#ifndef RUSHLIGHT_ANSWER_BOOK_ROWS_H
#define RUSHLIGHT_ANSWER_BOOK_ROWS_H

#include "answer/listing.h"
#include "book/action_store.h"
#include "book/bars_store.h"
#include "book/event_store.h"
#include "book/import_store.h"
#include "book/instrument_store.h"
#include "book/list_store.h"
#include "market/bars.h"

/* One bar, its time as a date where the bars are dated. */
extern const struct listing bars_listing;
void bar_put(struct table *table, const struct bars *bars, size_t i);

/* What the book has of each instrument: a row for each length of its bars. */
extern const struct listing stored_listing;
/* The days of the first and the last bar of a series, by the instrument's own clock, as
 * UTC midnights or moments of them. ERROR_MACHINE, or what the zone has. */
struct stored_days {
    bool there; /* false: there is no bar */
    int64_t first, last;
};
int stored_days_of(struct stored_days *days, const struct instrument *instrument,
                   const struct stored_series *series, struct error *error);

/* Lines of files that broke a rule. */
extern const struct listing aside_listing;
void aside_put(struct table *table, const struct aside_row *row);

/* Bars that contradicted others. */
extern const struct listing revisions_listing;
void revision_put(struct table *table, const struct revision_row *row);

extern const struct listing events_listing;
void event_put(struct table *table, const struct event *event);

extern const struct listing actions_listing;
void action_put(struct table *table, const char *instrument, const struct action *action);

/* The lists of a book, and the instruments of one of them in their order. */
extern const struct listing lists_listing;
void list_put(struct table *table, const struct list_row *list);
extern const struct listing members_listing;
void member_put(struct table *table, size_t place, const char *instrument);

#endif
