/* The numbers of a setup as fields that a person can fill in: each with its
 * name, unit and range from the row that it belongs to. */
#ifndef RUSHLIGHT_SETUP_FIELDS_H
#define RUSHLIGHT_SETUP_FIELDS_H

#include "setup/setup.h"

enum field_part {
    FIELD_CANDLE,
    FIELD_PLACE,
    FIELD_CONFIRM,
    FIELD_NEEDED, /* how many confirm, and how long they are waited for */
    FIELD_ENTRY,
    FIELD_STOP,
    FIELD_EXIT
};

enum { FIELD_NAME_SIZE = 96 };

/* One number. It points into the setup, which must stay as it is. */
struct setup_field {
    char name[FIELD_NAME_SIZE]; /* `place.2.bars`: the part, the item of it, the number */
    enum field_part part;
    size_t item;        /* of the part, from 0; a number of a group is of the group's item */
    const char *words;  /* what is numbered, as in the file: `range_min_atr` */
    const char *unit;   /* "" for none */
    double least, most; /* both allowed; most may be INFINITY */
    bool whole;
    bool may_be_empty;                 /* empty: the rule is off */
    const struct parameter *parameter; /* its row; NULL: none */
    bool mirrored;                     /* the parameter is written as in the mirrored row */
    double *number;                    /* where it is kept: here */
    size_t *count;                     /* or here */
};

struct setup_fields {
    struct setup_field *list;
    size_t count;
    size_t room;
};

/* All fields of a setup in the order of the file. Weekdays, times of day, words
 * and the numbers inside a mirrored comparison have none: they are changed in
 * the file. ERROR_MACHINE; to be freed, also after an error. */
int setup_fields_find(struct setup *setup, struct setup_fields *fields, struct error *error);
void setup_fields_free(struct setup_fields *fields);

/* What is numbered, for a person who has not seen the file: "bars before the
 * candle". Of a row it is what the row says of it; a comparison says its own words. */
const char *setup_field_says(const struct setup_field *field);

/* The number as it is written in the file; nothing where it is off. */
void setup_field_write(const struct setup_field *field, struct text *text);
/* Puts a number in. ERROR_INPUT names the field, what was found and what is
 * allowed; then the setup is as it was. Contradictions between numbers are only
 * seen when the setup is written and read again. */
int setup_field_set(const struct setup_field *field, const char *text, struct error *error);

#endif
