/* What a price file turns out to be. */
#ifndef RUSHLIGHT_PRICES_CSV_SNIFF_H
#define RUSHLIGHT_PRICES_CSV_SNIFF_H

#include "prices/csv_reader.h"

/* Reads the header and looks at the lines until everything is known that the
 * reading needs; then goes back to the first line of prices. */
int csv_sniff(struct csv_reader *reader, struct error *error);

#endif
