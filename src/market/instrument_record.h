/* An instrument's record as words: the same fields on the command line, in a
 * CSV file and on the screen. */
#ifndef RUSHLIGHT_MARKET_INSTRUMENT_RECORD_H
#define RUSHLIGHT_MARKET_INSTRUMENT_RECORD_H

#include "base/text.h"
#include "market/instrument.h"

/* Changes of the tick that a record can hold. */
enum { RECORD_TICKS = 24 };

struct instrument_record {
    struct instrument instrument;          /* its tick is the newest of the ticks */
    struct dated_tick ticks[RECORD_TICKS]; /* oldest first */
    size_t tick_count;
};

/* One field: its name (a CSV column; an option with dashes for underscores),
 * what is allowed, and how it is read and written. An empty text is what is not
 * known. Reading leaves the record alone where it returns false. */
struct record_field {
    const char *name; /* NULL ends the table */
    bool number;      /* its text is a number */
    const char *unit; /* of that number; "" for none */
    const char *allowed;
    bool (*read)(struct instrument_record *record, const char *text);
    void (*write)(const struct instrument_record *record, struct text *text);
};

extern const struct record_field record_fields[];

/* Reads one field; ERROR_INPUT says what was found and what is allowed. `label`
 * names the field in the message. */
int record_field_read(const struct record_field *field, const char *label,
                      struct instrument_record *record, const char *text, struct error *error);

/* What contradicts itself in the record as a whole: the last date before the
 * first. ERROR_INPUT names the instrument. */
int instrument_record_check(const struct instrument_record *record, struct error *error);

#endif
