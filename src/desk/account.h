/* An account: money that came in, went out or was made and lost by trading, what a
 * trade may risk, and the limits that a person has set. Everything is an entry with
 * its moment; a mistake is put right by another entry. */
#ifndef RUSHLIGHT_DESK_ACCOUNT_H
#define RUSHLIGHT_DESK_ACCOUNT_H

#include "desk/risk.h"

enum { ACCOUNT_NAME_SIZE = 64, ACCOUNT_NOTE_SIZE = 200, TERM_TEXT_SIZE = 32 };

struct account {
    int64_t id;
    char name[ACCOUNT_NAME_SIZE];
    struct currency currency;
    int64_t made; /* UTC second */
};

enum movement_kind {
    MOVED_IN,
    MOVED_OUT,
    MOVED_GAIN, /* of trading */
    MOVED_LOSS,
    MOVED_CORRECTION,
    MOVEMENT_KINDS
};

const char *movement_word(enum movement_kind kind);
/* MOVEMENT_KINDS: none. */
enum movement_kind movement_of(const char *word);

struct account_entry {
    int64_t id; /* its number, from 1 over the whole book */
    enum movement_kind kind;
    struct money amount; /* what the balance changes by: below 0 where it went out or was lost */
    int64_t at;          /* UTC second from which it counts */
    int64_t made;        /* of its entry */
    int64_t corrects;    /* of a correction, the entry that it puts right; else 0 */
    char note[ACCOUNT_NOTE_SIZE];
};

/* The sum of the entries that count up to this second, of an account's currency.
 * ERROR_INPUT where it does not fit. */
int account_balance(const struct account *account, const struct account_entry *entries,
                    size_t count, int64_t known, struct money *balance, struct error *error);

/* What a person may set for an account. Shares are of the balance. */
enum account_term_id {
    TERM_RISK,          /* of a trade: 1%, or money */
    TERM_OPEN_RISK,     /* % in all open positions and plans */
    TERM_SIDE_RISK,     /* % in one direction */
    TERM_CURRENCY_RISK, /* % in instruments of one currency */
    TERM_LEVERAGE,      /* times the balance that all positions may be worth */
    TERM_DAY_LOSS,      /* R lost within a day */
    TERM_WEEK_LOSS,     /* R lost within a week */
    TERM_DAY_TRADES,    /* trades entered a day, with those that wait for it */
    TERM_PAUSE,         /* losses in a row, after which there is a pause */
    TERM_COUNT
};

struct account_term {
    const char *name; /* a column, and an option with dashes for underscores */
    const char *unit;
    const char *allowed;
    bool whole;
    const char *breach; /* what is said of what goes beyond it; NULL: it is no limit */
};

extern const struct account_term account_terms[TERM_COUNT];

/* The newest word on each; empty: not set. */
struct account_terms_set {
    char text[TERM_COUNT][TERM_TEXT_SIZE];
};

/* Whether a text is one that the term allows, the empty one among them: ERROR_INPUT
 * says what was found. `label` names it. */
int account_term_check(enum account_term_id id, const char *label, const char *text,
                       const struct currency *currency, struct error *error);
/* The number of a term that is set; false where it is not. Not of TERM_RISK. */
bool account_term_number(const struct account_terms_set *terms, enum account_term_id id,
                         struct fraction *number);

#endif
