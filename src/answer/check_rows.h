/* What is odd about bars, in rows and in words. */
#ifndef RUSHLIGHT_ANSWER_CHECK_ROWS_H
#define RUSHLIGHT_ANSWER_CHECK_ROWS_H

#include "answer/listing.h"
#include "work/check.h"

/* A row for each kind of finding that an instrument has. */
extern const struct listing findings_listing;
void findings_put(struct table *table, const struct checked *checked);

/* Appends the instrument's line and a paragraph for each finding, with what it
 * does to candles. */
void checked_words(struct text *text, const struct checked *checked);
/* How all of them are to be read. */
extern const char findings_closing[];

#endif
