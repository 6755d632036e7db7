/* Numbers to and from decimal text, without the locale. */
#ifndef RUSHLIGHT_BASE_NUMBER_H
#define RUSHLIGHT_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { NUMBER_TEXT_SIZE = 40, NUMBER_LONGEST = 500 };

/* Writes the shortest decimal (up to 17 significant digits) that reads back as
 * the same double: 0.1 gives `0.1`. NaN gives an empty text, infinities `inf`
 * and `-inf`, negative zero `0`. */
void number_format(char text[NUMBER_TEXT_SIZE], double value);

/* Reads one decimal number that takes up all of bytes[0..length): optional
 * sign, digits with at most one point, optional exponent. No spaces, no hex,
 * no names: "nan" and "inf" are no numbers here. Correctly rounded. Values
 * beyond the range of a double read as an infinity; the caller decides. Texts
 * of more than NUMBER_LONGEST bytes are no numbers. Returns false, leaving *value alone, if the text is anything else. */
bool number_parse(const char *bytes, size_t length, double *value);

/* The same for whole numbers in the range of int64_t. */
bool number_parse_integer(const char *bytes, size_t length, int64_t *value);

/* A price grid: all whole multiples of mantissa / 10^digits. */
struct tick {
    double value;     /* > 0, finite */
    int64_t mantissa; /* > 0 */
    int digits;       /* 0 to 15 */
};

/* The grid with this step: the shortest decimal of at most 15 places within some
 * 1e-9 of `value`; of the value of a grid it is that grid. Returns false if value
 * is not finite and positive, or has no such decimal. */
bool tick_from_number(struct tick *tick, double value);

/* Rounds a price to the grid, up or down. A quotient within 1e-6 of a whole
 * number of ticks counts as whole. The result is the double nearest to the
 * decimal multiple, so that it equals the price as read from a file. NaN and
 * infinities come back as they are. */
double tick_round_up(const struct tick *tick, double price);
double tick_round_down(const struct tick *tick, double price);
/* The double nearest to `count` ticks. */
double tick_multiple(const struct tick *tick, double count);

#endif
