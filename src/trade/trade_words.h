/* A trade that is being followed: what a person did with it, against its rules or beside
 * them, and what stands for the coming bar (docs/method.md 9). */
#ifndef RUSHLIGHT_TRADE_TRADE_WORDS_H
#define RUSHLIGHT_TRADE_TRADE_WORDS_H

#include "trade/trade_terms.h"

enum trade_word_kind {
    WORD_FILLED, /* on the bar, at the price, whatever the entry's rule has */
    WORD_STOP,   /* the stop stands at the price from the bar after this one */
    WORD_TARGET, /* the nearest target that is left; likewise */
    WORD_CLOSED  /* all that is left went on the bar, at the price */
};

/* Of several that fill or close the last one counts: it corrects those before. */
struct trade_word {
    enum trade_word_kind kind;
    size_t bar;   /* the count of the bars: not known yet, it counts after the last one */
    double price; /* of the chart */
    double stop;  /* WORD_FILLED: where the rule cannot know one without its own fill */
};

/* In order of their bars. */
struct trade_words {
    const struct trade_word *list;
    size_t count;
};

/* What stands for the coming bar of a position that is open. */
struct trade_standing {
    double remaining;             /* the share still held; 0: none, and the rest means nothing */
    double stop;                  /* price of the chart, as are the targets */
    double targets[TARGET_LIMIT]; /* not reached yet, nearest first */
    double shares[TARGET_LIMIT];  /* of the whole position, what each of them takes */
    size_t target_count;
    bool leave_at_open; /* the conditions to leave held at the last close */
    size_t bars_left;   /* until it is left by time: 1, at the coming close; 0: no such rule */
    double open_r;      /* after costs, were the rest to leave at the last close */
};

#endif
