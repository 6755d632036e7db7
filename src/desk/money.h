/* Money: whole numbers of a currency's smallest unit. No binary fraction holds
 * an amount, and no sum passes over what does not fit. */
#ifndef RUSHLIGHT_DESK_MONEY_H
#define RUSHLIGHT_DESK_MONEY_H

#include "base/error.h"
#include "base/fraction.h"
#include "market/instrument.h"

struct currency {
    char code[CURRENCY_SIZE]; /* ISO 4217 */
    int digits;               /* decimals of its smallest unit: 2 for cents, 0 to 4 */
};

struct money {
    int64_t units; /* of the smallest unit */
    struct currency currency;
};

enum { MONEY_TEXT_SIZE = 32 };

/* The decimals are ICU's, which has those of ISO 4217 but for some ten currencies
 * whose small coins nobody uses (the Lebanese pound among them): those are counted
 * in whole units. One that neither knows, as an invented one, has two. ERROR_INPUT
 * for what is not three capital letters. */
int currency_find(const char *code, struct currency *currency, struct error *error);

/* An amount such as 25000, -12.5 or 0.05, a point before the decimals and nothing
 * between the digits; ERROR_INPUT where it is none, has more decimals than its
 * currency, or does not fit. `label` names it in the message. */
int money_read(const char *label, const char *text, const struct currency *currency,
               struct money *money, struct error *error);
/* The same form, with all decimals of the currency. */
void money_format(char text[MONEY_TEXT_SIZE], const struct money *money);

/* Adds or takes away an amount of the same currency; false, with *money left alone,
 * where the result does not fit. */
bool money_add(struct money *money, const struct money *more);
bool money_subtract(struct money *money, const struct money *less);

/* In whole units of the currency: 12.50 euros are 25/2. */
struct fraction money_fraction(const struct money *money);

/* The amount at or below a fraction of whole units, or at or above; false where it
 * failed or does not fit. */
bool money_at_most(struct fraction amount, const struct currency *currency, struct money *money);
bool money_at_least(struct fraction amount, const struct currency *currency, struct money *money);

#endif
