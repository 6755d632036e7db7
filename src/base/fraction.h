/* Exact fractions: decimals as people write them, multiplied and divided without
 * a binary fraction anywhere.
 *
 * Top and bottom are whole numbers of up to 10^36, checked at every step. What
 * comes to more cannot be held; it stays so through all that is done with it, and
 * is asked for once, with fraction_failed. */
#ifndef RUSHLIGHT_BASE_FRACTION_H
#define RUSHLIGHT_BASE_FRACTION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

__extension__ typedef __int128 wide;

struct fraction {
    wide top;
    wide bottom; /* > 0, in lowest terms with top; 0: could not be held */
};

enum { FRACTION_TEXT_SIZE = 96, FRACTION_PLACES = 40 };

bool fraction_failed(struct fraction fraction);

/* bottom must not be 0. */
struct fraction fraction_of(int64_t top, int64_t bottom);
/* A decimal as base/number.h reads it, taken exactly; false, with *fraction left
 * alone, where the text is none. One too long to be held is a failed fraction. */
bool fraction_read(const char *bytes, size_t length, struct fraction *fraction);
/* The shortest decimal that reads back as this double: the price that was written.
 * Failed where it is not finite. */
struct fraction fraction_of_number(double value);

struct fraction fraction_add(struct fraction a, struct fraction b);
struct fraction fraction_subtract(struct fraction a, struct fraction b);
struct fraction fraction_multiply(struct fraction a, struct fraction b);
/* Division by 0 fails. */
struct fraction fraction_divide(struct fraction a, struct fraction b);
struct fraction fraction_absolute(struct fraction fraction);

/* Below, at or above 0 as a is below, at or above b; neither may have failed. */
int fraction_compare(struct fraction a, struct fraction b);
/* Likewise of one against 0. */
int fraction_sign(struct fraction fraction);

/* The whole number at or below, or at or above; false where it has failed or does
 * not fit. */
bool fraction_floor(struct fraction fraction, int64_t *whole);
bool fraction_ceiling(struct fraction fraction, int64_t *whole);

/* A double next to it, for figures that are no money; NaN of one that failed. */
double fraction_number(struct fraction fraction);

/* A decimal with at least `least` places and at most `most` (both up to
 * FRACTION_PLACES), rounded half away from zero where it has more; the empty text
 * of one that failed. */
void fraction_format(char text[FRACTION_TEXT_SIZE], struct fraction fraction, int least, int most);

#endif
