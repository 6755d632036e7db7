/* Words that were others before: what files and books made then call things.
 * The one table of them; a word once in it stays for ever, since setups kept
 * in a book are read in the words they were written in. */
#ifndef RUSHLIGHT_BASE_FORMER_H
#define RUSHLIGHT_BASE_FORMER_H

#include <stdbool.h>

enum former_use {
    FORMER_SETUP,      /* keys and names of rows in a setup */
    FORMER_INSTRUMENT, /* columns and values of an instrument's record */
    FORMER_INTERVAL    /* units of the length of bars */
};

/* The present word for a former one, NULL for any other word. */
const char *former_word(enum former_use use, const char *word);

/* The former word for a present one, NULL where it never had another. */
const char *word_before(enum former_use use, const char *now);

/* False where surely no former word stands in the text. */
bool former_words_in(enum former_use use, const char *text);

#endif
