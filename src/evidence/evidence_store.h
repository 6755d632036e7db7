/* The ledger of every trial, the seal, and setups frozen for the time to come,
 * in the book (docs/method.md 10). */
#ifndef RUSHLIGHT_EVIDENCE_EVIDENCE_STORE_H
#define RUSHLIGHT_EVIDENCE_EVIDENCE_STORE_H

#include "evidence/estimate.h"
#include "evidence/grid.h"
#include "evidence/study.h"
#include "evidence/trials.h"
#include "store/book.h"

enum { HASH_TEXT_SIZE = 33 };

/* XXH128 of some bytes, hexadecimal. */
void hash_text(char hash[HASH_TEXT_SIZE], const char *bytes, size_t length);

/* XXH128 over names and bars of a study, and where it begins to look at them:
 * the same whatever file or book they come from. */
int hash_series(char hash[HASH_TEXT_SIZE], const struct study_series *series, size_t count,
                struct error *error);

/* The same data by both hashes. In the former one the length of the bars and their
 * volume did not count: trials and answers noted by it are known by it alone. */
struct data_hash {
    char present[HASH_TEXT_SIZE]; /* hash_series */
    char former[HASH_TEXT_SIZE];
};
int data_hash_make(struct data_hash *data, const struct study_series *series, size_t count,
                   struct error *error);

/* What showed the outcomes of a trial. */
enum trial_kind {
    TRIAL_STUDY,
    TRIAL_TRADES,
    TRIAL_CASE,
    TRIAL_CASES,
    TRIAL_SENSITIVITY,
    TRIAL_COMPARE,
    TRIAL_KINDS /* in a line: another word, of a book made by hand */
};

/* What is known of a trial before it is run. All is borrowed. */
struct ledger_entry {
    enum trial_kind kind;
    const struct setup *setup;
    const struct study_series *series; /* NULL: not known by their bars, only: */
    char *const *names;                /* names of the instruments, where series is NULL */
    size_t series_count;
    const struct data_hash *data; /* of the series, where it is known; else NULL */
    uint64_t seed;
    int64_t now; /* UTC seconds */
};

/* Enters a trial and commits it, so that no outcome is shown of a trial that is
 * not there. *id names it. */
int ledger_enter(struct book *book, const struct ledger_entry *entry, int64_t *id,
                 struct error *error);

/* Notes the result of a trial: its mean, and per date the sum of R and the
 * number of its closed trades. */
int ledger_finish(struct book *book, int64_t id, const struct estimate *mean,
                  const struct date_grid *grid, const struct closed_trades *closed,
                  struct error *error);

/* One line of the ledger. Its strings are its own. */
struct ledger_line {
    int64_t id;
    int64_t at;
    enum trial_kind kind;
    char *command; /* the same as the book has it: study, trades, case, … */
    char *setup;   /* name */
    char *text;    /* the setup file, written out */
    char *hash;    /* of that text, in present words */
    char *family;
    char *instruments; /* names, separated by newlines, in order */
    char *data_hash;
    char *former_hash; /* empty: not noted, and data_hash may be a former one itself */
    int64_t first;
    int64_t last;
    int64_t seed;
    bool finished;
    int64_t closed;
    double mean_r; /* NaN: not finished, or nothing closed */
    double low;
    double high;
    double p;
};

struct ledger {
    struct ledger_line *lines;
    size_t count;
    size_t room;
};

/* Whether the trial was one of just this setup: every word of its rule, in whatever
 * words it was noted. `hash` is that of the setup as it is written now. */
bool ledger_same_setup(const struct ledger_line *line, const char *hash);
/* Whether they are of the same bars. */
bool ledger_same_data(const struct ledger_line *a, const struct ledger_line *b);

/* Whether they are entries of one trial, tried again. */
bool ledger_same_trial(const struct ledger_line *a, const struct ledger_line *b);

/* All trials, oldest first; of one family where `family` is not NULL. */
int ledger_read(struct ledger *ledger, struct book *book, const char *family, struct error *error);
void ledger_free(struct ledger *ledger);
/* The p of each line after Benjamini-Hochberg over all of them, in which one
 * without a p counts as 1; NaN for those without. */
int ledger_adjust(const struct ledger *ledger, double *adjusted, struct error *error);

/* How many different trials (setup text and data) the trial `id` belongs to, of
 * its family and of all, on data that overlap with its own (a common
 * instrument and a common time); its p after Benjamini-Hochberg over its
 * family; and White's reality check of the family on the dates of `grid`. */
int ledger_trials(struct study_trials *trials, struct book *book, int64_t id,
                  const struct date_grid *grid, const struct estimate_plan *plan,
                  struct error *error);

/* The first sealed day (days since 1970-01-01), INT64_MAX where nothing is
 * sealed. */
int seal_read(struct book *book, int64_t *day, struct error *error);
/* Seals from a day on; ERROR_INPUT where something is sealed already, or was
 * opened and the day is not after what has been seen. */
int seal_close(struct book *book, int64_t day, int64_t now, struct error *error);
/* Opens the seal for good. ERROR_INPUT where nothing is sealed. */
int seal_open(struct book *book, int64_t now, struct error *error);

/* Freezes a setup: from `now` on only bars that come later judge it.
 * ERROR_INPUT for a name that is frozen already. */
int frozen_add(struct book *book, const char *name, const struct setup *setup, int64_t now,
               struct error *error);
/* The frozen setup of this name and the time of its freezing; ERROR_INPUT
 * where there is none. The setup is the caller's to free. */
int frozen_read(struct book *book, const char *name, struct setup *setup, int64_t *since,
                struct error *error);

struct frozen_name {
    char *name;
    int64_t since; /* UTC seconds of its freezing */
};

/* All of them, the newest first; each name and the list the caller's to free,
 * also after an error. */
int frozen_all(struct book *book, struct frozen_name **list, size_t *count, struct error *error);

#endif
