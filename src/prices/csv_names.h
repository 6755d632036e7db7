/* What a column of a price file is called, in five languages. */
#ifndef RUSHLIGHT_PRICES_CSV_NAMES_H
#define RUSHLIGHT_PRICES_CSV_NAMES_H

#include "prices/csv_split.h"

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

/* A header's cell, or what a person calls a column, as names are compared:
 * letters in lower case without their accents (ß is ss), digits, and nothing
 * else; UTF-8, or Latin-1 where it is none. Returns the length, which is at most
 * CSV_NAME_SIZE - 1; a longer name is cut. */
enum { CSV_NAME_SIZE = 64 };
size_t csv_name_fold(struct csv_field field, char folded[CSV_NAME_SIZE]);

/* The role of a header's cell: the words that a dictionary has for it in
 * English, German, French, Spanish and Italian. A zone that stands beside the
 * words of a time (`Time (UTC)`, `Datum Europe/Berlin`, `heure +01:00`) is copied
 * to `zone`, which is empty otherwise. */
enum { CSV_ZONE_SIZE = 48 };
enum csv_role csv_name_role(struct csv_field field, char zone[CSV_ZONE_SIZE]);
/* The zone alone, whatever else stands in the cell. */
void csv_name_zone(struct csv_field field, char zone[CSV_ZONE_SIZE]);

/* The word for a role in --columns (`time`, `clock`, `zone`, `open` …) and back;
 * CSV_OTHER for a word that is none. */
const char *csv_role_word(enum csv_role role);
enum csv_role csv_role_find(const char *word, size_t length);

#endif
