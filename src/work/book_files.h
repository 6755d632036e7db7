/* A person's own tables read into the book, and changes of what it keeps. Each
 * is one transaction of its own: all of it happens, or nothing. */
#ifndef RUSHLIGHT_WORK_BOOK_FILES_H
#define RUSHLIGHT_WORK_BOOK_FILES_H

#include "book/action_store.h"
#include "book/event_store.h"
#include "market/instrument_record.h"

/* What became of the lines of a file. */
struct file_counts {
    size_t added;
    size_t known;    /* the very same was there */
    size_t replaced; /* another one was there, and gave way */
};

/* Reads the field `known` of an event: since when it was known, or nothing. */
int event_known_read(const char *field, struct event *event, struct error *error);

/* A file of events: kind, time, instrument (empty or "all": of all), note, known.
 * ERROR_INPUT names file, line, what was found and what is allowed. */
int events_read(struct book *book, const char *path, struct file_counts *counts,
                struct error *error);
/* Removes the events chosen. */
int events_remove(struct book *book, const struct event_choice *choice, int64_t *removed,
                  struct error *error);

/* A file of own levels and lines (work/level_file.h), entered at `now`. One that
 * stands is known before: of the same kind, points, width and note; a row without a
 * time is any of its price, or, with a `from`, any that counts after the same moment. */
int levels_read(struct book *book, const char *path, int64_t now, struct file_counts *counts,
                struct error *error);

/* An action that took the place of another. */
struct action_replaced {
    const char *path;
    uint64_t line;
    const char *instrument;
    const struct action *action;
    double old;
};

/* A file of splits, dividends and rolls: instrument, date, kind, value. One
 * that the book contradicts is ERROR_INPUT (ERROR_REASON_ACTION_DIFFERS), or
 * with `replace` told to `replaced`, which may be NULL. */
int actions_read(struct book *book, const char *path, bool replace,
                 void (*replaced)(void *context, const struct action_replaced *what), void *context,
                 struct file_counts *counts, struct error *error);

/* Takes out one; its words are those of a file. *value is what it was.
 * ERROR_INPUT where there is none (ERROR_REASON_NO_ACTION). */
int actions_remove(struct book *book, const char *instrument, int64_t date, enum action_kind kind,
                   double *value, struct error *error);
/* ERROR_INPUT for a word that is no kind. */
int action_kind_read(const char *word, enum action_kind *kind, struct error *error);

/* The whole record of an instrument; *found is false where there is none. */
int instrument_record_load(struct book *book, const char *name, struct instrument_record *record,
                           bool *found, struct error *error);
/* The ticks of a record whose instrument is loaded. */
int instrument_record_load_ticks(struct book *book, struct instrument_record *record,
                                 struct error *error);
/* A record of that name that nothing is known of; ERROR_INPUT where it cannot
 * be a name. */
int instrument_record_new(const char *name, struct instrument_record *record, struct error *error);
/* Keeps a record, after instrument_record_check. */
int instrument_record_keep(struct book *book, struct instrument_record *record,
                           struct error *error);
/* A file of records: `added` counts those made, `replaced` those changed. A
 * field that has no column, or is empty, stays. */
int instruments_read(struct book *book, const char *path, struct file_counts *counts,
                     struct error *error);

enum list_change {
    LIST_MAKE,  /* refuses a list that is there */
    LIST_ADD,   /* makes one where there is none */
    LIST_REMOVE /* refuses one that is not there; without instruments the whole list goes */
};
/* At `now`, UTC seconds. *left is whether the list is there afterwards. */
int list_alter(struct book *book, enum list_change change, const char *list,
               const char *const *instruments, size_t count, int64_t now, bool *left,
               struct error *error);

#endif
