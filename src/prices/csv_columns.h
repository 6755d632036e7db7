/* The header of a price file: which column is what. */
#ifndef RUSHLIGHT_PRICES_CSV_COLUMNS_H
#define RUSHLIGHT_PRICES_CSV_COLUMNS_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

enum csv_role {
    CSV_OTHER, /* a column that is not needed */
    CSV_TIME,  /* a date, or a date with a time of day, or seconds since 1970 */
    CSV_CLOCK, /* a time of day beside a date */
    CSV_ZONE,  /* the zone of that line's time, by name or offset */
    CSV_OPEN,
    CSV_HIGH,
    CSV_LOW,
    CSV_CLOSE,
    CSV_VOLUME,
    CSV_PRICE, /* of a single observation */
    CSV_ROLE_COUNT
};

/* More columns than this in a file of prices are a mistake. */
enum { CSV_MOST_COLUMNS = 64 };

struct csv_field {
    const char *bytes;
    size_t length;
};

struct csv_columns {
    char separator;
    size_t count;
    int where[CSV_ROLE_COUNT]; /* index of the role's column, -1 for none */
    bool observations;         /* time and price instead of four prices */
};

/* Splits a line; quotes around a field are taken off, spaces around it too.
 * Returns the number of fields, at most CSV_MOST_COLUMNS + 1, or 0 if a quote
 * is never closed. Doubled quotes inside a field stay doubled. */
size_t csv_split(const char *bytes, size_t length, char separator,
                 struct csv_field fields[CSV_MOST_COLUMNS + 1]);

/* Reads a header line: finds the separator (comma, semicolon, tab or bar) and
 * the columns by their usual names, in any order and case. An error (with no
 * file name in it) says which names are missing and what was found. */
int csv_columns_read(struct csv_columns *columns, const char *bytes, size_t length,
                     struct error *error);

#endif
