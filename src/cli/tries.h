/* What every command that shows outcomes does first: it keeps to the seal and
 * enters its try in the ledger. */
#ifndef RUSHLIGHT_CLI_TRIES_H
#define RUSHLIGHT_CLI_TRIES_H

#include "base/calendar.h"
#include "cli/command.h"
#include "evidence/evidence_store.h"

/* A command's dealings with the book; all zeroes: none yet. */
struct tries {
    struct book *book; /* NULL: no book is known, so there is no ledger */
    int64_t id;        /* of this try, once entered */
    bool sealed;
    char sealed_from[CALENDAR_TEXT_SIZE];
    char last_day[CALENDAR_TEXT_SIZE]; /* the day before, for --to */
};

/* Opens the book, made where there is none, and bounds the call's --to by the
 * seal. Without a book known it goes on without a ledger. To be closed with
 * tries_close, also after an error. */
int tries_open(struct call *call, struct tries *tries, struct error *error);
int tries_close(struct tries *tries, int code, struct error *error);

/* Enters the try; does nothing without a book. `names` are words of the command
 * line, used where `series` is NULL. */
int tries_enter(struct call *call, struct tries *tries, const char *command,
                const struct setup *setup, const struct study_series *series, char *const *names,
                size_t count, struct error *error);
/* Notes its result. */
int tries_finish(struct tries *tries, const struct estimate *mean, const struct date_grid *grid,
                 const struct closed_trades *closed, struct error *error);

/* Closed trades as they come, for commands that make no study of them; all
 * zeroes: none yet. */
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
int tries_finish_outcomes(struct tries *tries, struct outcomes *outcomes, struct error *error);

/* Seconds since 1970, of the machine's clock. */
int64_t clock_now(void);

#endif
