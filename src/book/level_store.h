/* Levels and lines that a person draws on an instrument's bars, kept in the
 * book: each with the moment it was entered and the moment behind which it
 * counts. None is changed or removed; one that is no longer wanted is withdrawn,
 * which is a record of its own. */
#ifndef RUSHLIGHT_BOOK_LEVEL_STORE_H
#define RUSHLIGHT_BOOK_LEVEL_STORE_H

#include "market/instrument.h"
#include "store/book.h"

enum { LINE_NOTE_SIZE = 200 };

enum line_kind {
    LINE_LEVEL,       /* one price */
    LINE_TREND,       /* straight through two points */
    LINE_RETRACEMENT, /* parts of the way back from the second point to the first */
    LINE_CHANNEL,     /* a trend line and another beside it */
    LINE_NOTE,        /* words at a point */
    LINE_RULER,       /* from one point to another, measured */
    LINE_KINDS
};

/* The word of a kind, as `level`; and the kind of a word (LINE_KINDS: none). */
const char *line_kind_word(enum line_kind kind);
enum line_kind line_kind_of(const char *word);
/* How many points a kind has: 1 or 2. */
int line_kind_points(enum line_kind kind);

/* Where a line goes on beyond its points. */
enum line_reach { REACH_NO, REACH_RIGHT, REACH_LEFT, REACH_BOTH, LINE_REACHES };

/* The word of it, as `right`; and that of a word (LINE_REACHES: none). */
const char *line_reach_word(enum line_reach reach);
enum line_reach line_reach_of(const char *word);

struct line_point {
    int64_t time; /* UTC second, of the bar that it stands on */
    double price; /* as traded on that bar, whatever was split later */
};

struct own_line {
    int64_t id;                            /* its number, from 1 over the whole book */
    char instrument[INSTRUMENT_NAME_SIZE]; /* a name in the book */
    enum line_kind kind;
    struct line_point points[2]; /* the second as the first where a kind has one */
    double width;                /* of a channel: from the first line to the other in price, not 0;
                                    else 0 */
    char note[LINE_NOTE_SIZE];   /* words beside it; may be empty, but of a note */
    int64_t made;                /* UTC second of its entry */
    int64_t since;               /* counts for candles that begin after this second */
    bool since_is_date;          /* not kept: `since` is a date at 00:00 UTC still, and means the
                                    end of the instrument's own day */
    bool dated_back;             /* `since` is before the end of the newest bar then in the book */
    bool withdrawn;
    int64_t withdrawn_at; /* UTC second */
    int64_t until;        /* withdrawn: the last second of the newest bar then in the book */
    /* How it is shown now, which changes nothing of what it says: */
    bool hidden;
    enum line_reach reach;
};

/* Those of an instrument, or of all (NULL), in the order of their entry,
 * withdrawn ones among them. The array is the caller's to free. */
int level_store_list(struct book *book, const char *instrument, struct own_line **lines,
                     size_t *count, struct error *error);

/* The one of that number; ERROR_INPUT where the instrument has none. */
int level_store_find(struct book *book, const char *instrument, int64_t id, struct own_line *line,
                     struct error *error);

/* The newest of the bars that the book has of an instrument, of whatever length. */
struct newest_stored {
    int64_t begins; /* time of the one that begins last; INT64_MIN: there is none */
    int64_t ends;   /* the last second that a bar covers, by the instrument's session: all
                       up to it was there to be seen; INT64_MIN */
};
/* ERROR_INPUT where the book has no such instrument. */
int level_store_newest(struct book *book, const char *instrument, struct newest_stored *newest,
                       struct error *error);

/* Whether its kind allows what a line says, after its second point and its width
 * are made what they are where the kind has none. ERROR_INPUT: prices that are
 * none, two points of the same moment, a channel without width, a note without
 * words, a point behind `since`. */
int own_line_check(struct own_line *line, struct error *error);

/* Keeps one that is new, inside a transaction, and gives it its id. ERROR_INPUT for
 * an instrument that is not in the book, and as own_line_check. */
int level_store_add(struct book *book, struct own_line *line, struct error *error);

/* Withdraws one, inside a transaction; ERROR_INPUT where the instrument has none of
 * that number, or where it is withdrawn already. */
int level_store_withdraw(struct book *book, const char *instrument, int64_t id, int64_t now,
                         struct error *error);

/* Keeps how a line is shown, inside a transaction; ERROR_INPUT where the instrument
 * has none of that number. */
int level_store_show(struct book *book, const char *instrument, int64_t id, bool hidden,
                     enum line_reach reach, struct error *error);

#endif
