/* Records of instruments. */
#ifndef RUSHLIGHT_ANSWER_INSTRUMENT_ROWS_H
#define RUSHLIGHT_ANSWER_INSTRUMENT_ROWS_H

#include "answer/listing.h"
#include "market/instrument_record.h"
#include "prices/records.h"

/* Its columns are made of the fields that a record has. */
struct instrument_listing {
    struct listing listing;
    struct column columns[RECORD_FIELDS];
};

/* It points into itself and must not be moved. */
void instrument_listing_init(struct instrument_listing *instruments);
void instrument_put(struct table *table, const struct instrument_record *record);
/* Appends one record read down the page. */
void instrument_words(struct text *text, const struct instrument_record *record);

#endif
