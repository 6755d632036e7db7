/* What may be lost on one trade. */
#ifndef RUSHLIGHT_DESK_RISK_H
#define RUSHLIGHT_DESK_RISK_H

#include "desk/money.h"

struct risk {
    bool by_percent;
    struct fraction percent; /* of the balance, above 0 and at most 100 */
    struct money money;      /* not by_percent: the money itself, above 0 */
};

/* Reads `1%`, or money of the currency. ERROR_INPUT; `label` names it. */
int risk_read(const char *label, const char *text, const struct currency *currency,
              struct risk *risk, struct error *error);

#endif
