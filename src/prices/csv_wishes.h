/* Which column is what, as a person says it: time=1,close=Kurs,… */
#ifndef RUSHLIGHT_PRICES_CSV_WISHES_H
#define RUSHLIGHT_PRICES_CSV_WISHES_H

#include "base/error.h"
#include "prices/csv_names.h"

#include <stdbool.h>

/* A longer text of this kind is refused. */
enum { CSV_WISHES_SIZE = 512 };

struct csv_wish {
    bool asked;
    int number;               /* from 1; 0: by name */
    char name[CSV_NAME_SIZE]; /* as csv_name_fold writes it */
};

struct csv_wishes {
    struct csv_wish of[CSV_ROLE_COUNT];
    bool all_numbers; /* such a file may have no header */
};

/* Reads `ROLE=COLUMN,…`: the roles are time, clock, zone, open, high, low, close,
 * volume, price, each at most once, price never beside open, high, low or close;
 * the columns numbers from 1, or names as in the header, in any case, accents
 * and marks left out. ERROR_USAGE says what was found and what is allowed. */
int csv_wishes_read(struct csv_wishes *wishes, const char *text, struct error *error);

#endif
