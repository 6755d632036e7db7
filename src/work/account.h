/* Accounts of the book and the rates of exchange that it knows, read and kept. */
#ifndef RUSHLIGHT_WORK_ACCOUNT_H
#define RUSHLIGHT_WORK_ACCOUNT_H

#include "desk/account_store.h"
#include "desk/rates.h"
#include "work/work.h"

struct account_view {
    struct account account;
    struct account_entry *entries; /* in the order in which they count */
    size_t count;
    struct account_terms_set terms;
    struct money balance; /* by the entries up to the date wished for, or now */
};

/* To be freed with account_close, also after an error. */
int account_open(struct work *work, const char *name, struct account_view *view,
                 struct error *error);
/* The same out of a book that is open, such as inside a transaction of its writer. */
int account_read(struct work *work, struct book *book, const char *name, struct account_view *view,
                 struct error *error);
/* What the account lets positions be worth, times its balance; failed: not set. */
struct fraction account_leverage(const struct account_view *view);
void account_close(struct account_view *view);

/* Makes an account of this currency. */
int account_make(struct work *work, const char *name, const char *currency, struct error *error);

/* Enters money of a kind, above 0, from the second `at` on (INT64_MIN: now); ERROR_INPUT
 * for one that has not come yet, and where the balance would not fit at any date. */
struct account_movement {
    enum movement_kind kind;
    const char *amount;
    int64_t at;
    const char *note; /* may be NULL */
};
int account_move(struct work *work, const char *name, const struct account_movement *movement,
                 struct error *error);
/* Puts an entry right: what its amount should have been, of its own kind. */
int account_correct(struct work *work, const char *name, const char *number, const char *amount,
                    const char *note, struct error *error);
/* Sets the terms that are not NULL; an empty one is taken back. `label` makes the name
 * that a message has for a term. */
int account_set_terms(struct work *work, const char *name, const char *const texts[TERM_COUNT],
                      const char *const labels[TERM_COUNT], struct error *error);

/* A rate of the book: the last whole close of its series by the date wished for. */
struct known_rate {
    struct rate rate;
    bool known; /* there was one by then, above 0 */
    char instrument[INSTRUMENT_NAME_SIZE];
};
/* All of them in the order in which they were named first, which is that in which they count;
 * the array is the caller's to free. */
int known_rates(struct work *work, struct known_rate **rates, size_t *count, struct error *error);
/* Adds those that are known behind what stands there already. */
int known_rates_add(struct work *work, struct rates *rates, struct error *error);
/* Names the series of a pair such as EUR/USD, in the place of the one that it had, either way
 * round. ERROR_INPUT beyond RATE_NAMED_LIMIT pairs. */
int known_rate_set(struct work *work, const char *pair, const char *instrument,
                   struct error *error);

/* The last whole close of an instrument of the book as a rate, with its date; ERROR_INPUT
 * where it has none, or none above 0. */
int rate_of_close(struct work *work, const char *instrument, struct rate *rate,
                  struct error *error);

#endif
