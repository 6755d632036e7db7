/* A calendar of events in the book: reports, holidays, news, whatever a person
 * wants to see beside the bars. */
#ifndef RUSHLIGHT_BOOK_EVENT_STORE_H
#define RUSHLIGHT_BOOK_EVENT_STORE_H

#include "market/instrument.h"
#include "store/book.h"

enum { EVENT_KIND_SIZE = 40, EVENT_NOTE_SIZE = 200 };

struct event {
    int64_t time;                          /* UTC second; of a dated event the date at 00:00 UTC */
    bool dated;                            /* known to the day only */
    char kind[EVENT_KIND_SIZE];            /* such as "earnings"; not empty */
    char instrument[INSTRUMENT_NAME_SIZE]; /* empty: all instruments */
    char note[EVENT_NOTE_SIZE];
    bool known_later; /* only from `known` on; else it was known always */
    int64_t known;    /* UTC second; of a date alone (known_dated) the date at 00:00 UTC, of
                         which the end is meant */
    bool known_dated;
};

/* Which events: every part that is set must hold. */
struct event_choice {
    const char *kind;       /* NULL: any */
    const char *instrument; /* events of this one and of all; NULL: every event */
    int64_t from;           /* both included */
    int64_t to;
};

/* In order of time. The array is the caller's to free. */
int event_store_list(struct book *book, const struct event_choice *choice, struct event **events,
                     size_t *count, struct error *error);
/* Adds one; *added is false where the very same is there already. ERROR_INPUT
 * for an instrument that is not in the book, and for an event that the book has as
 * known since another moment. Inside a transaction. */
int event_store_add(struct book *book, const struct event *event, bool *added, struct error *error);
/* Removes the events chosen; with an instrument only its own, not those of all.
 * Inside a transaction. */
int event_store_remove(struct book *book, const struct event_choice *choice, int64_t *removed,
                       struct error *error);

#endif
