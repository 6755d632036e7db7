/* How two setups differ, criterion by criterion. */
#ifndef RUSHLIGHT_SETUP_DIFFERENCE_H
#define RUSHLIGHT_SETUP_DIFFERENCE_H

#include "base/error.h"

/* One difference: where, such as `place.lowest_low.bars` or `exit.targets.1.r`
 * (a criterion that comes twice is `rsi_below`, then `rsi_below.2`), and what is
 * written there; NULL where there is nothing. The texts are good for the call. */
typedef int difference_take(void *context, const char *part, const char *first, const char *second,
                            struct error *error);

/* Hands out the differences of two setups as setup_write writes them, in the
 * order of the first and then the second. The order of criteria is none.
 * Criteria are matched by name; what one setup lacks is one difference where it
 * is short, else one for each of its parts. ERROR_INPUT where a text cannot be read. */
int setup_differences(const char *first, const char *second, difference_take *take, void *context,
                      struct error *error);

#endif
