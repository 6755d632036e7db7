/* The size of a position, asked with an instrument and its bars or with numbers
 * alone. */
#ifndef RUSHLIGHT_WORK_SIZE_H
#define RUSHLIGHT_WORK_SIZE_H

#include "desk/gap.h"
#include "desk/size.h"
#include "work/series.h"

struct size_case {
    bool named;           /* an instrument was named, and `series` holds it */
    struct series series; /* else empty, its instrument without a name */
};

/* Opens what is known of the word, NULL for none; to be closed with size_close, also
 * after an error. */
int size_open(struct work *work, struct notices *notices, const char *word,
              struct size_case *opened, struct error *error);
void size_close(struct size_case *opened);

/* Reads `EUR/USD=1.08,USD/JPY=nightjar-yen`: pairs with a number, or with an
 * instrument of the book whose last close it is. ERROR_INPUT where it is neither. */
int size_rates_read(struct work *work, const char *text, struct rates *rates, struct error *error);

struct size_found {
    struct size_wish wish;
    struct gap gap;
    struct sizing sizing;
};

/* Works it out; the wish is all filled in but for the gap, which the bars tell. */
int size_find(const struct size_case *opened, struct size_found *found, struct error *error);

#endif
