/* The first line of a fuzzed price file, which says how the rest is read:
 *
 *   INTERVAL ZONE DATES COLUMNS        such as `1d UTC ymd time=1,price=Kurs`
 *
 * Each word may be empty, and what is none of its kind says nothing. */
#ifndef RUSHLIGHT_TESTS_SAID_LINE_H
#define RUSHLIGHT_TESTS_SAID_LINE_H

#include "base/text.h"
#include "prices/csv.h"

struct said_line {
    struct text text; /* the line, cut into its words */
    struct interval interval;
    const char *zone; /* NULL: not said */
    enum csv_dates dates;
    struct csv_wishes wishes;
    const char *columns; /* what the wishes were read from; NULL: none were */
    const uint8_t *rest; /* the file, in the data given */
    size_t rest_size;
};

/* Takes the line off the data; false where there is none, or one that is too long.
 * Free it after true. */
bool said_line_read(struct said_line *said, const uint8_t *data, size_t size);
void said_line_free(struct said_line *said);

#endif
