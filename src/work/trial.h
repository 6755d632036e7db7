/* A trial: a setup whose outcomes are about to be shown. Before they are, it
 * keeps to the seal and stands in the ledger; after it, with its result. */
#ifndef RUSHLIGHT_WORK_TRIAL_H
#define RUSHLIGHT_WORK_TRIAL_H

#include "base/calendar.h"
#include "evidence/evidence_store.h"
#include "work/rules.h"
#include "work/work.h"

/* A work's dealings with the ledger; all zeroes: none yet. Nothing to free. */
struct trial {
    struct book *book; /* the work's; NULL: no book is known, so there is no ledger */
    int64_t id;        /* of the trial, once entered */
    struct data_hash data;
    bool data_known; /* between trial_keep_data and trial_drop_data */
    bool sealed;
    char sealed_from[CALENDAR_TEXT_SIZE]; /* the first day that is hidden */
};

/* Opens the book, made where there is none, and bounds the bars that the work
 * looks at by the seal; says so where that hides some that were wished for.
 * Without a book known it goes on without a ledger. Before any series is
 * opened. */
int trial_open(struct work *work, struct trial *trial, struct error *error);

/* An opened instrument as a trial looks at it; borrows it. */
struct study_series trial_series(const struct rules_case *opened);
/* Enters the trial; does nothing without a book. `words` stand for the
 * instruments where `series` is NULL. */
int trial_enter(struct work *work, struct trial *trial, enum trial_kind kind,
                const struct setup *setup, const struct study_series *series, char *const *words,
                size_t count, struct error *error);
/* Says that all trials entered until trial_drop_data are on these series, so that
 * their bars are hashed once. */
int trial_keep_data(struct trial *trial, const struct study_series *series, size_t count,
                    struct error *error);
void trial_drop_data(struct trial *trial);
/* Notes its result. */
int trial_finish(struct trial *trial, const struct estimate *mean, const struct date_grid *grid,
                 const struct closed_trades *closed, struct error *error);

/* Closed trades as they come, for what makes no study of them; all zeroes: none
 * yet. */
struct outcome {
    int64_t time; /* of entry */
    double r;
};
struct outcomes {
    struct outcome *list;
    size_t count;
    size_t room;
};
int outcomes_add(struct outcomes *outcomes, int64_t time, double r, struct error *error);
void outcomes_free(struct outcomes *outcomes);
/* Notes their mean, and per date of entry the sum of R and their number; puts
 * them in order. */
int trial_finish_outcomes(struct trial *trial, struct outcomes *outcomes, struct error *error);

#endif
