/* The hour that comes twice where the clock is put back, in files without zones. */
#ifndef RUSHLIGHT_PRICES_CSV_AUTUMN_H
#define RUSHLIGHT_PRICES_CSV_AUTUMN_H

#include "prices/csv_reader.h"

/* A time that comes twice was read as the first. Where that does not follow the
 * line before and the second does, it is the second; in a file that begins with
 * the newest it is the lines before, back to where the clock was put back, that
 * are. Nothing is settled where the order does not tell, and (newest first) where
 * those lines have been given on: observations, and bars of another block. */
void csv_autumn_settle(struct csv_reader *reader, struct csv_held *next);

#endif
