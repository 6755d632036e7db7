/* Accounts, their entries and the rates of the book as lists, the same for every door. */
#ifndef RUSHLIGHT_ANSWER_ACCOUNT_ROWS_H
#define RUSHLIGHT_ANSWER_ACCOUNT_ROWS_H

#include "answer/listing.h"
#include "work/account.h"

extern const struct listing accounts_listing;
void account_put(struct table *table, const struct account_view *view);

extern const struct listing entries_listing;
/* Every entry with the balance that it leaves. */
void entries_put(struct table *table, const struct account_view *view);

extern const struct listing rates_listing;
void known_rate_put(struct table *table, const struct known_rate *rate);

#endif
