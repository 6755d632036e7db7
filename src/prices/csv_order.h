/* Lines in order of time. */
#ifndef RUSHLIGHT_PRICES_CSV_ORDER_H
#define RUSHLIGHT_PRICES_CSV_ORDER_H

#include "prices/csv_reader.h"

/* Whether a time lies behind another in the file's direction; several
 * observations may share a second. */
bool csv_time_follows(const struct csv_reader *reader, int64_t time, int64_t before);
/* A bar or an observation that is right in itself. Times must go one way: of a
 * line that does not follow the one before it, one of the two is wrong. It is
 * the one before where the next line goes on from this one and not from that:
 * a year in the future sets itself aside and not all lines behind it. */
int csv_order_take(struct csv_reader *reader, const struct bar *bar, const struct csv_line *line,
                   struct error *error);
/* Nothing more comes. */
int csv_order_end(struct csv_reader *reader, struct error *error);

#endif
