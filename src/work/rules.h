/* A setup applied to instruments: what finding signals, trades, cases and
 * studies share. */
#ifndef RUSHLIGHT_WORK_RULES_H
#define RUSHLIGHT_WORK_RULES_H

#include "book/setup_store.h"
#include "setup/faults.h"
#include "setup/setup.h"
#include "trade/trade.h"
#include "work/asides.h"
#include "work/series.h"

/* Whether a name of a setup is a path: it has a / or ends in .yaml. */
bool rules_is_path(const char *name);

/* The setup of a name: the file, where the name is a path; else the newest
 * version that the book has of it (NULL: there is no book), else the shipped
 * one, which is a file NAME.yaml in `folder` (NULL: there is none). ERROR_INPUT
 * where there is none of them. The caller frees it with setup_free. */
int rules_read(const char *name, struct book *book, const char *folder, struct setup *setup,
               struct error *error);
/* The same of the book alone: version `number`, 0 for the newest; *found is
 * false without an error where there is none. `folder` is where a shipped
 * setup that it mirrors stands. */
int rules_read_kept(struct book *book, const char *name, int64_t number, const char *folder,
                    struct setup *setup, bool *found, struct error *error);

/* A setup from its text; `place` stands for it in messages, and a shipped setup
 * that it mirrors is looked for in `folder`. */
int rules_read_text(const char *place, const char *bytes, const char *folder, struct setup *setup,
                    struct error *error);

/* The same, with all its faults (setup/faults.h). */
int rules_check_text(const char *place, const char *bytes, const char *folder, struct setup *setup,
                     struct setup_faults *faults, struct error *error);

/* The same of a text that a book has kept, in the words of its time. */
int rules_read_kept_text(const char *place, const char *bytes, const char *folder,
                         struct setup *setup, struct error *error);

/* Keeps the text of a setup file in the book, as the next version of the setup
 * that it says it is (setup_store_keep, in a transaction of its own). The error
 * names `place`, line and column where it cannot be read; what it mirrors must
 * be shipped. The name is put into `name`. */
int rules_keep(struct book *book, const char *place, const char *bytes, const char *folder,
               int64_t expected, int64_t now, char name[SETUP_NAME_SIZE], int64_t *number,
               struct error *error);

/* One instrument with everything a setup is applied through. */
struct rules_case {
    struct series series;
    struct series finer; /* no bars where none are wanted or to be had */
    struct setup_event *events;
    struct own_mark *marks;
    struct series *others; /* other instruments that the setup names */
    struct other_bars *other_bars;
    struct cash_flow *flows; /* dividends that the prices do not hold */
    bool provisional;        /* a partial last bar is taken as it stands */
    struct sheet *sheet;
    struct surroundings around;
    struct setup_view view;
    struct trade_terms terms;
};

/* Opens the instrument and applies the setup; an interval of the setup that is
 * not the bars' own is an error that says so. Any thread may call it. Free with
 * rules_close, also after an error. */
int rules_open(struct work *work, struct notices *notices, const char *word,
               const struct setup *setup, struct rules_case *opened, struct error *error);
/* The same, but of a setup that walks (setup/walking.h) more bars than `most` may
 * stay in the book (series_open_up_to); the sheet is then one that walks. */
int rules_open_up_to(struct work *work, struct notices *notices, const char *word,
                     const struct setup *setup, size_t most, struct rules_case *opened,
                     struct error *error);
void rules_close(struct rules_case *opened);

/* Opens all the words with all threads into `cases` (zeroed here, each to be
 * closed) and says what is to be said in their order. Instruments that cannot be
 * opened are kept in `asides`, which the caller ends; their cases have no sheet. */
int rules_open_all(struct work *work, char *const *words, size_t count, const struct setup *setup,
                   struct rules_case *cases, struct asides *asides, struct error *error);

/* The work on one instrument, done by any thread; `result` is its own. */
struct rules_job {
    size_t result_size;
    int (*work)(const struct rules_case *opened, const void *context, void *result,
                struct error *error);
    /* In the order of the instruments, by the thread that called the work. */
    int (*take)(const struct rules_case *opened, void *context, void *result, struct error *error);
    /* In place of both for an instrument whose many bars stay in the book; NULL:
     * none do. */
    int (*walk)(struct work *work, const struct rules_case *opened, void *context,
                struct error *error);
    /* Frees what a result holds, whether the work on it was done, failed or
     * never begun (all zero bytes). */
    void (*clear)(void *result);
    void *context;
};

/* Opens the instruments wished for, a batch at a time, works on them with all
 * threads, and takes the results in order. Those that cannot be opened are set
 * aside (asides.h), and nothing is taken where that is all of them; any other
 * error ends it where its turn comes. */
int rules_each(struct work *work, const struct setup *setup, const struct rules_job *job,
               struct error *error);

#endif
