/* What the ways to open a series share. Private to the layer. */
#ifndef RUSHLIGHT_WORK_SERIES_PARTS_H
#define RUSHLIGHT_WORK_SERIES_PARTS_H

#include "work/series.h"

/* One series on its way. */
struct opening {
    struct work *work;
    struct notices *notices;
    const char *word;
    bool named;                /* a name in the book, never a file: nobody typed it */
    struct interval wanted;    /* NONE: none in particular */
    const struct series *like; /* NULL: bars of their own view */
    struct series *series;
    size_t most; /* bars; if there are more they may stay in the book */
};

/* The tick that was wished, else the one that is known, else the step seen in the
 * prices; it stays unknown where they show none to believe. */
int opening_settle_tick(const struct opening *opening, struct error *error);
/* Turns the bars into longer ones of what is wanted, by the instrument's
 * session. */
int opening_make_longer(const struct opening *opening, struct error *error);
/* What stands before the @ of a word; false where that is too long for a name,
 * or nothing. */
bool opening_word_name(const char *word, char name[INSTRUMENT_NAME_SIZE]);
/* NAME or NAME@4h. */
int opening_from_book(struct opening *opening, struct error *error);

#endif
