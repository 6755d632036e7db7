/* Bars made of observations. */
#ifndef RUSHLIGHT_PRICES_CSV_OBSERVE_H
#define RUSHLIGHT_PRICES_CSV_OBSERVE_H

#include "prices/csv_reader.h"

/* One observation; a finished bar goes into the block. */
int csv_observe(struct csv_reader *reader, int64_t time, double price, double volume,
                struct error *error);
int csv_observe_end(struct csv_reader *reader, struct error *error);

#endif
