/* From a word on the command line to bars: an instrument of the book, one of
 * its other intervals (`NAME@4h`), or a path to a price file. */
#ifndef RUSHLIGHT_CLI_SERIES_H
#define RUSHLIGHT_CLI_SERIES_H

#include "base/error.h"
#include "cli/command.h"
#include "market/adjust.h"
#include "market/bars.h"
#include "market/instrument.h"

struct series {
    struct instrument instrument;
    struct bars bars;
    size_t set_aside;       /* lines of the file that broke a rule, each already said */
    bool tick_assumed;      /* the tick is the smallest step seen; already said */
    bool ended;             /* the instrument itself has ended at its last bar */
    struct interval finest; /* of the shortest bars that the book has of it; NONE for a file */
    /* Dividends that the prices do not hold, in units of the bars, oldest first. */
    struct action *dividends;
    size_t dividend_count;
    /* The tick of the traded prices where it changed, oldest first; else NULL. */
    struct dated_tick *ticks;
    size_t tick_count;
};

/* Fills `series` (the caller's to free with series_free, also after an
 * error). Lines set aside and an assumed tick are said on call->messages; the
 * first sets call->incomplete. Errors name the word and what to do. */
int series_open(struct call *call, const char *word, struct series *series, struct error *error);
/* The same for finer bars of what `like` holds: they are as traded, and brought
 * to its prices. */
int series_open_like(struct call *call, const char *word, const struct series *like,
                     struct series *series, struct error *error);
void series_free(struct series *series);

/* The words to open, in order: the arguments from index `first` on, then the
 * members of --list; with neither, an error that says so. The array and its
 * strings are the caller's, freed by series_words_free. */
int series_words(struct call *call, size_t first, char ***words, size_t *count,
                 struct error *error);
/* The name of the instrument that a word stands for: the file's stem, or what
 * comes before the @. A word that is none is kept as it is, cut to the room. */
void series_word_name(const char *word, char name[INSTRUMENT_NAME_SIZE]);
void series_words_free(char **words, size_t count);

#endif
