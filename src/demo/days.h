/* The trading days of the demo market. */
#ifndef RUSHLIGHT_DEMO_DAYS_H
#define RUSHLIGHT_DEMO_DAYS_H

#include <stdbool.h>
#include <stdint.h>

/* Days since 1970-01-01 of the first and last day of the demo market. */
int64_t demo_first_day(void);
int64_t demo_last_day(void);

/* Weekdays but for holidays: New Year, Rush Day (3 May), Lantern Monday (the
 * second Monday of August), the Feast of Eels (9 November), 25 and 26
 * December. Currencies (round_the_clock) keep only New Year and 25 December. */
bool demo_day_open(int64_t day, bool round_the_clock);

/* The third Friday of March, June, September and December. */
bool demo_day_rolls(int64_t day);

#endif
