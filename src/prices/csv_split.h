/* The cells of one line. */
#ifndef RUSHLIGHT_PRICES_CSV_SPLIT_H
#define RUSHLIGHT_PRICES_CSV_SPLIT_H

#include <stddef.h>

/* More columns than this in a file of prices are a mistake. */
enum { CSV_MOST_COLUMNS = 64 };

struct csv_field {
    const char *bytes;
    size_t length;
};

/* Splits a line; quotes around a field are taken off, spaces around it too.
 * Returns the number of fields, at most CSV_MOST_COLUMNS + 1, or 0 if a quote
 * is never closed. Doubled quotes inside a field stay doubled. */
size_t csv_split(const char *bytes, size_t length, char separator,
                 struct csv_field fields[CSV_MOST_COLUMNS + 1]);

/* The separator (comma, semicolon, tab or bar) that occurs most in a header;
 * what stands in quotes does not count. */
char csv_separator(const char *bytes, size_t length);

#endif
