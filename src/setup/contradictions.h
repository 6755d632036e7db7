/* What two criteria claim of one bar, and whether both claims can be true of it
 * (docs/setup-file.md). Private to the setup layer. */
#ifndef RUSHLIGHT_SETUP_CONTRADICTIONS_H
#define RUSHLIGHT_SETUP_CONTRADICTIONS_H

#include "base/text.h"
#include "setup/setup.h"

enum claim_kind {
    CLAIM_NONE,  /* nothing that could be set against another */
    CLAIM_BOUND, /* a value lies between two numbers */
    CLAIM_ORDER, /* a value is above another */
    CLAIM_DAYS,  /* the bar's date falls on one of these weekdays */
    CLAIM_HOURS  /* the bar starts within these hours */
};

struct claim {
    enum claim_kind kind;
    struct text what;  /* the value: its measure, numbers, bars; two claims of one text are of one
                        * value */
    struct text other; /* that it is above */
    double least;
    double most;
    bool least_open; /* the number itself is not allowed */
    bool most_open;
    bool loose;      /* said by a `not`: numbers hold but for a tolerance */
    double range[2]; /* that the value cannot leave, whatever the bars */
    unsigned days;
    double from;
    double to;
    bool outside; /* of the hours */
};

/* What a condition claims where it holds, or where it does not. Free it with
 * claim_free. */
void claim_of(struct claim *claim, const struct criterion *criterion, bool negated);
void claim_free(struct claim *claim);

/* Whether no bar can meet the claim, or both. Never true where one could. */
bool claim_is_empty(const struct claim *claim);
bool claims_clash(const struct claim *a, const struct claim *b);

#endif
