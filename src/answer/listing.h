/* A list that a door shows: the table it stands in, and what is said without a
 * row. What fills its rows is declared beside each. */
#ifndef RUSHLIGHT_ANSWER_LISTING_H
#define RUSHLIGHT_ANSWER_LISTING_H

#include "document/table.h"

struct listing {
    const char *name; /* of the table: the key of its rows in JSON */
    const struct column *columns;
    size_t column_count;
    const char *empty; /* said below a table without rows; NULL: nothing */
};

#endif
