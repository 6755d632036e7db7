/* Prices and volumes as files write them. */
#ifndef RUSHLIGHT_PRICES_CSV_NUMBER_H
#define RUSHLIGHT_PRICES_CSV_NUMBER_H

#include "prices/csv_split.h"

enum csv_number { CSV_NUMBER, CSV_MISSING, CSV_NO_NUMBER };

/* How the numbers of a file are written. */
struct csv_style {
    char decimal;   /* '.' or ',' */
    char thousands; /* the other one, or '\0' where there is none */
};

/* Reads one number; thousands may also be set apart by a space or an
 * apostrophe, a currency sign or a per cent sign is no number. Empty cells,
 * `null`, `NaN`, `NA`, `N/A`, `none` and `-` are missing. */
enum csv_number csv_number_read(struct csv_field field, struct csv_style style, double *value);

/* Learns the style from the cells of a file, one after the other. */
struct csv_style_votes {
    int comma_decimal; /* cells that only a decimal comma explains */
    int point_decimal;
    int comma_groups; /* a comma before three digits, and nothing else */
    int point_groups; /* the same with a point: 1.234 */
};
void csv_style_look(struct csv_style_votes *votes, struct csv_field field);
/* What the votes say; of cells that could be both, a file separated by
 * semicolons has decimal commas. */
struct csv_style csv_style_settle(const struct csv_style_votes *votes, char separator);

#endif
