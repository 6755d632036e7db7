/* What a door asks for, and what it is asked to say meanwhile.
 *
 * A work is one piece of business of a door: a command, a page asked for. It
 * knows what the door wishes as values, not as text of options; it opens the
 * book, no oftener than it has threads, and keeps it open; it hands what is
 * worth saying to the door's voice and looks at its flag to stop. It prints
 * nothing, reads no clock and no environment, and has no state but its own, so
 * that any number of works go on at once, each in a thread of its own. */
#ifndef RUSHLIGHT_WORK_WORK_H
#define RUSHLIGHT_WORK_WORK_H

#include "base/error.h"
#include "market/adjust.h"
#include "market/instrument.h"
#include "market/interval.h"
#include "prices/csv_wishes.h"
#include "store/book.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Everything is borrowed and must stay until the work is closed. wishes_init
 * says what stands where nothing is wished. */
struct wishes {
    const char *book;         /* path of the book, which need not be there; NULL: none is known */
    struct book_shelf *shelf; /* of books of that path, to be read; NULL: each work opens its own */
    const char *const *words; /* instruments, as in series.h */
    size_t word_count;
    bool names_only;  /* words are names in the book, never files: they come from a stranger */
    bool everything;  /* without words and list: every instrument of the book */
    const char *list; /* also the instruments of this list of the book; NULL: none */
    struct tick tick; /* step 0: the instrument's, else the step seen */
    struct interval interval;         /* NONE: that of the file or the instrument */
    const char *zone;                 /* of the times in a file; NULL: its header's, else UTC */
    const struct csv_wishes *columns; /* of a file named by its path; NULL: as its header says */
    int64_t from;  /* first second of the bars that are shown and counted; earlier ones warm up */
    int64_t to;    /* last second of the bars */
    int64_t seen;  /* an instant: nothing of what came later is in any bar, longer ones are made
                    * of no more; but prices are adjusted as on the newest bar, unlike those up
                    * to `to`. For bars read out of the book; INT64_MAX: all is seen */
    int64_t as_of; /* a date at 00:00 UTC: all as it was known at the end of that day, each
                    * instrument's own (work/as_of.h); INT64_MAX: as it is known now */
    enum adjustment adjustment; /* ADJUST_SPLITS */
    const char *finer;          /* a file, or a folder with a file for each instrument; NULL */
    const char *events;         /* a file of events beside the book's; NULL */
    const char *levels;         /* a file of one's own levels; NULL */
    int64_t entered_by;         /* last second of entry of the book's own levels that count */
    bool provisional;           /* a partial last bar is taken as it stands */
    int threads;                /* at least 1 */
    uint64_t seed;
    int64_t now; /* the clock, UTC seconds */
};

void wishes_init(struct wishes *wishes);

enum notice_kind {
    NOTICE_SET_ASIDE,    /* a line of a file broke a rule; or how many more did */
    NOTICE_TICK_ASSUMED, /* no tick is known, the step seen is taken */
    NOTICE_NO_TICK,      /* nor can one be seen in the prices */
    NOTICE_PROVISIONAL,  /* a partial bar is taken as it stands */
    NOTICE_SEALED,       /* bars are hidden by the seal */
    NOTICE_NO_BAR,       /* a date of a person's own has no bar */
    NOTICE_NO_FILE,      /* a word is an instrument of the book, and not the file of that name */
    NOTICE_NO_TARGET     /* levels of one's own that a setup aims at are none to aim at */
};

/* Each may be NULL. */
struct voice {
    /* One sentence, without a full stop and without advice; by the thread only
     * that called the work. */
    void (*notice)(void *context, enum notice_kind kind, const char *sentence);
    /* The share of what is being done, 0 to 1; by any thread of the work, one at
     * a time. */
    void (*progress)(void *context, double done);
    /* Why an instrument could not be looked at, where others could: it is set
     * aside. By the thread only that called the work. */
    void (*aside)(void *context, const struct error *reason);
    void *context;
    /* Set by anyone at any time: the work ends soon with ERROR_STOPPED. NULL:
     * nobody stops it. */
    const atomic_bool *stop;
};

struct work;

/* Opens nothing yet. *work is the caller's, to be closed with work_close. */
int work_open(struct work **work, const struct wishes *wishes, const struct voice *voice,
              struct error *error);
/* Closes its books after work that ended with `code`, and returns what the door
 * has to return: `code`, else what went wrong in closing. NULL is allowed. */
int work_close(struct work *work, int code, struct error *error);

const struct wishes *work_wishes(const struct work *work);
/* The last second of what is known: of the date wished for, else now. */
int64_t work_known_until(const struct work *work);
/* Hides what comes after this second, whatever was wished: the seal. */
void work_bound(struct work *work, int64_t last);

/* ERROR_STOPPED where the door's flag is set. Any thread may ask. */
int work_stopped(const struct work *work, struct error *error);
void work_progress(const struct work *work, double done);

/* Whether a book is known and there. */
bool work_has_book(const struct work *work);
/* A book to read, the calling thread's until it gives it back; NULL after an
 * error. ERROR_USAGE where none is known. */
int work_borrow(struct work *work, struct book **book, struct error *error);
void work_return(struct work *work, struct book *book);
/* The one book to write, made where there is none; the work's own. For the
 * thread that called the work. ERROR_USAGE where none is known. */
int work_writer(struct work *work, struct book **book, struct error *error);

#endif
