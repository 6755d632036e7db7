/* The header of a price file: which column is what. */
#ifndef RUSHLIGHT_PRICES_CSV_COLUMNS_H
#define RUSHLIGHT_PRICES_CSV_COLUMNS_H

#include "base/error.h"
#include "prices/csv_names.h"
#include "prices/csv_split.h"
#include "prices/csv_wishes.h"

#include <stdbool.h>
#include <stddef.h>

struct csv_columns {
    char separator;
    size_t count;
    int where[CSV_ROLE_COUNT]; /* index of the role's column, -1 for none */
    bool observations;         /* time and price instead of four prices */
    bool headless;             /* that line is one of prices already */
    char zone[CSV_ZONE_SIZE];  /* that the header names for the times; empty for none */
};

/* Reads a header line: finds the separator (comma, semicolon, tab or bar) and
 * the columns: first those that are wished for (`wishes` may be NULL), then by
 * their words, in any order and case. Where every wish is a number and the time
 * wished for reads as one in this very line, the file has no header. An error
 * (with no file name in it) says which columns are missing and what was found. */
int csv_columns_read(struct csv_columns *columns, const char *bytes, size_t length,
                     const struct csv_wishes *wishes, struct error *error);

#endif
