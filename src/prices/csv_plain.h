/* The quick way through lines that are all alike. */
#ifndef RUSHLIGHT_PRICES_CSV_PLAIN_H
#define RUSHLIGHT_PRICES_CSV_PLAIN_H

#include "prices/csv_reader.h"

/* Takes as many plain lines as it can straight from the buffer into the block:
 * a date of ISO 8601, prices with a decimal point, nothing quoted, everything
 * in order. It stops at the first line that is anything else. */
void csv_take_plain_lines(struct csv_reader *reader);

#endif
