/* Dates and times as price files write them. */
#ifndef RUSHLIGHT_PRICES_CSV_TIME_H
#define RUSHLIGHT_PRICES_CSV_TIME_H

#include "prices/csv_split.h"

#include <stdbool.h>
#include <stdint.h>

/* The order of day and month where both are numbers. */
enum csv_dates {
    CSV_DATES_ANY, /* not known: such a date reads as ambiguous where both fit */
    CSV_DATES_DMY,
    CSV_DATES_MDY,
    CSV_DATES_YMD /* also years of two digits in front */
};

struct csv_moment {
    int64_t seconds;   /* since 1970-01-01 on the clock it was written by */
    bool has_clock;    /* a time of day stood there */
    bool utc;          /* the text says by itself what UTC time it is */
    bool ambiguous;    /* day and month could be swapped, and nobody said */
    int first_number;  /* of a date of numbers with the year behind: the two */
    int second_number; /* numbers before it; else 0 */
};

/* Reads ISO 8601 dates and times, 20040819[ 0930], 19-Sep-03, Sep 19, 2003,
 * 19/09/2003, 19.9.03 (years of two digits: 69 to 99 are of the last century,
 * as POSIX has it), with a time of day 9:30, 09:30:15.250, 4:00 PM, 093000, an
 * offset or Z; seconds, milli-, micro- and nanoseconds since 1970, told apart by
 * their size. Fractions of a second are cut off. `clock` is the time of day of
 * another column, of length 0 for none. False for anything else. */
bool csv_moment_read(struct csv_field date, struct csv_field clock, enum csv_dates order,
                     struct csv_moment *moment);

#endif
