/* From a word to bars: an instrument of the book, one of its other intervals
 * (`NAME@4h`), or a path to a price file. */
#ifndef RUSHLIGHT_WORK_SERIES_H
#define RUSHLIGHT_WORK_SERIES_H

#include "book/bars_store.h"
#include "work/notices.h"
#include "work/work.h"

struct series {
    struct instrument instrument;
    struct bars bars;
    /* The first bar that is shown and counted; those before it warm up measures,
     * swings, levels and trades. The count of the bars where none is. */
    size_t first;
    struct stored_series unread; /* bars left in the book, being too many; id 0: none are */
    int64_t unread_to;           /* the time of the last of them that may be read */
    size_t set_aside;            /* lines of the file that broke a rule, each in a notice */
    bool tick_assumed;           /* the tick is the step seen; in a notice */
    bool ended;                  /* the instrument itself has ended at its last bar */
    struct interval finest;      /* of the shortest bars that the book has of it; NONE for a file */
    /* Dividends that the prices do not hold, in units of the bars, oldest first. */
    struct action *dividends;
    size_t dividend_count;
    /* The tick of the traded prices where it changed, oldest first; else NULL. */
    struct dated_tick *ticks;
    size_t tick_count;
};

/* Fills `series` (the caller's to free with series_free, also after an error)
 * by the work's wishes for tick, interval, zone, range and adjustment. Any thread may call it; what is worth
 * saying is added to `notices`. Errors name the word. */
int series_open(struct work *work, struct notices *notices, const char *word, struct series *series,
                struct error *error);
/* The same for a word that nobody typed: a name in the book, never a file. */
int series_open_named(struct work *work, struct notices *notices, const char *word,
                      struct series *series, struct error *error);
/* Either, but more bars of the book than `most` stay there, in `unread`, where they
 * will do as they are: no others have to be made of them, their tick is known, and
 * nothing adjusts them. `bars` is empty then. */
int series_open_up_to(struct work *work, struct notices *notices, const char *word, bool named,
                      size_t most, struct series *series, struct error *error);
/* The same for finer bars of what `like` holds: they are as traded, and brought
 * to its prices. The interval wished for is not theirs; they keep their own, or
 * the one behind the @. */
int series_open_like(struct work *work, struct notices *notices, const char *word,
                     const struct series *like, struct series *series, struct error *error);
/* Finds `first` again, after other bars have been made of these. */
void series_settle_first(const struct work *work, struct series *series);
void series_free(struct series *series);

/* A word is a file where there is one, and no instrument of the book has the
 * name; with /, ./ or ../ in front it is one always. All three read the book. */

/* Whether a word stands for an instrument of the book, and does not say which
 * of its bars; a file that it might have been is said. */
int series_word_is_plain(struct work *work, struct notices *notices, const char *word, bool *plain,
                         struct error *error);
/* The interval that was asked for with this word: behind its @, else the one
 * wished for all; NONE for neither. */
int series_word_interval(struct work *work, const char *word, struct interval *interval,
                         struct error *error);
/* The name of the instrument that a word stands for: the file's stem, or what
 * comes before the @. A word that is none is kept as it is, cut to the room. */
int series_word_name(struct work *work, const char *word, char name[INSTRUMENT_NAME_SIZE],
                     struct error *error);

/* The words of the wishes from index `first` on, then the members of the list
 * wished for; ERROR_USAGE with neither. The array and its strings are the
 * caller's, freed by words_free. */
int series_words(struct work *work, size_t first, char ***words, size_t *count,
                 struct error *error);
/* Every instrument of the book. */
int series_all_words(struct work *work, char ***words, size_t *count, struct error *error);
void words_free(char **words, size_t count);

#endif
