/* A plan: orders that a person means to give, with their size and the reason, written
 * before the outcome; or a signal passed by, with its reason. What becomes of it are
 * steps, each with its moment; nothing is changed. */
#ifndef RUSHLIGHT_DESK_PLAN_H
#define RUSHLIGHT_DESK_PLAN_H

#include "base/text.h"
#include "desk/account.h"
#include "desk/size.h"

enum {
    PLAN_REASON_SIZE = 300,
    PLAN_BREACH_SIZE = PLAN_REASON_SIZE + 8 * 256, /* a person's words, and all limits named */
    PLAN_LINES_SIZE = 1024,
    PLAN_SETUP_SIZE = 80,
    PLAN_NOTE_SIZE = 200,
    PLAN_NOTES_SIZE = 3 * (PLAN_NOTE_SIZE + 2), /* of more they are cut */
    PLAN_DECIMAL_SIZE = FRACTION_TEXT_SIZE
};

/* What a person did, or says has come about. */
enum plan_step_kind {
    STEP_PLACED,    /* the orders are in the broker's form */
    STEP_FILLED,    /* the entry is filled */
    STEP_DONE,      /* the position is closed; with its R */
    STEP_LAPSED,    /* the entry came to nothing */
    STEP_WITHDRAWN, /* taken back before a fill */
    STEP_MOVED_STOP,
    STEP_MOVED_TARGET, /* the nearest one that is left */
    STEP_CLOSED,       /* by hand or by its orders, at a price; its R is reckoned */
    STEP_KINDS
};

const char *plan_step_word(enum plan_step_kind kind);
/* STEP_KINDS: none. */
enum plan_step_kind plan_step_of(const char *word);

/* The words of docs/words.md, and `passed` for a signal that was not taken. */
enum plan_state {
    PLAN_WAITING,
    PLAN_IN_TRADE,
    PLAN_DONE,
    PLAN_LAPSED,
    PLAN_WITHDRAWN,
    PLAN_PASSED
};

const char *plan_state_word(enum plan_state state);

struct plan {
    int64_t id; /* its number, from 1 over the whole book */
    int64_t made;
    int64_t known;   /* start of the newest bar that was known */
    int64_t account; /* the id of an account */
    char account_name[ACCOUNT_NAME_SIZE];
    char instrument[INSTRUMENT_NAME_SIZE];
    char currency[CURRENCY_SIZE]; /* of the instrument; empty: the account's */
    char setup[PLAN_SETUP_SIZE];  /* empty: by hand */
    bool is_short;
    /* Decimals; the target may be empty. */
    char entry[PLAN_DECIMAL_SIZE], stop[PLAN_DECIMAL_SIZE], target[PLAN_DECIMAL_SIZE];
    char size[PLAN_DECIMAL_SIZE];
    struct money at_risk; /* of the account's currency, as is the notional */
    struct money notional;
    bool taken;
    char reason[PLAN_REASON_SIZE];
    char breach[PLAN_BREACH_SIZE]; /* what limits it was taken against, and why; or empty */
    char lines[PLAN_LINES_SIZE];   /* the orders as they are typed */
    /* Out of its steps. */
    enum plan_state state;
    bool placed;
    int64_t since; /* when it came to this, else `made` */
    bool said_filled;
    bool closed;                    /* done at a price, and not with an R alone */
    int64_t filled;                 /* when the entry was; INT64_MIN: not */
    char result[PLAN_DECIMAL_SIZE]; /* in R, where it is done */
    char notes[PLAN_NOTES_SIZE];    /* those of its steps, in order */
};

/* Whether it counts as open: taken, and not at its end. */
bool plan_is_open(const struct plan *plan);
/* Whether the step may follow where the bars by now have the plan in this state, or correct
 * (`corrects`) a fill or a close that was said; ERROR_INPUT says what it is. */
int plan_step_check(const struct plan *plan, enum plan_state now, enum plan_step_kind step,
                    bool corrects, struct error *error);

/* What a person said of a plan. */
struct plan_step {
    enum plan_step_kind kind;
    int64_t made;                   /* when it was said */
    int64_t at;                     /* the start of the bar it is about; INT64_MIN: none */
    char price[PLAN_DECIMAL_SIZE];  /* as traded on that bar; empty: none */
    char result[PLAN_DECIMAL_SIZE]; /* R as a decimal, of what is done or closed; else empty */
    char note[PLAN_NOTE_SIZE];      /* may be empty */
};

/* What the plan is after it. */
void plan_step_take(struct plan *plan, const struct plan_step *step);

/* --- limits ----------------------------------------------------------------------------- */

/* One limit that a plan would break: what it would come to, and what is allowed. */
struct breach {
    enum account_term_id term;
    struct fraction found;
    struct fraction allowed;
};

struct limit_question {
    const struct account_terms_set *terms;
    struct money balance;
    const struct plan *plans; /* of the account, in the order of their making */
    size_t count;
    const struct plan *fresh; /* the new one: its risk, worth, side and currency */
    int64_t now;
};

/* The limits that the new plan breaks beside the open ones, in the order of the terms;
 * TERM_COUNT is room enough. A day is one of UTC, a week begins on its Monday. False
 * where a sum cannot be held, or the balance is not above 0 and the limit a share of it. */
bool limits_check(const struct limit_question *question, struct breach breaches[TERM_COUNT],
                  size_t *count);
/* What it would come to as a decimal, with so many places that it shows on the side of the
 * limit on which it is, 2 at least where it has them. */
void breach_found(char text[FRACTION_TEXT_SIZE], const struct breach *breach);
/* "today's trades would be 3, and the limit is 2"; appended. */
void breach_words(struct text *text, const struct breach *breach);

/* What is at risk in the open plans; false where it cannot be held. */
bool plans_open_risk(const struct plan *plans, size_t count, const struct currency *currency,
                     struct money *risk);

#endif
