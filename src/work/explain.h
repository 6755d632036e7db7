/* One bar asked what it is: its parts, the shapes of the catalogue that it is or
 * only just is not, and each criterion of a setup with the prices of this very
 * bar at which its answer turns.
 *
 * Nothing of it looks at a bar after the one asked. */
#ifndef RUSHLIGHT_WORK_EXPLAIN_H
#define RUSHLIGHT_WORK_EXPLAIN_H

#include "candles/anatomy.h"
#include "setup/checklist.h"
#include "work/rules.h"

enum bar_price { BAR_OPEN, BAR_HIGH, BAR_LOW, BAR_CLOSE, BAR_PRICES };

/* "open", "high", "low", "close". */
extern const char *const bar_price_words[BAR_PRICES];

/* Another price of the bar, the rest of it left as it is, from which on a
 * criterion is no longer answered as it was. */
struct turn {
    enum bar_price price;
    bool up; /* it lies above the bar's own price, or just there: the next above turns it */
    /* Where the answer turns, to within TURN_TOLERANCE: comparisons have a
     * tolerance (docs/method.md 2), which is left out where it can be. */
    double at;
    /* The first price on the tick, going away from the bar's own, at which it
     * has turned; NaN where the bar does not lie on ticks, or none near is it. */
    double first;
    /* Other prices of the bar go along (explain_moved): an open or close beyond its
     * high or low, a high or low within its body. This bar could not have had it. */
    bool stretches;
};

/* For each price the nearest above and the nearest below. */
enum { TURN_LIMIT = 2 * BAR_PRICES };

struct explained {
    struct check check;
    struct turn turns[TURN_LIMIT]; /* the nearest to the bar's own price first */
    size_t turn_count;             /* 0: no price within reach turns it */
    bool hangs;                    /* what is measured moves with some price of the bar at all */
    const char *words;             /* the rule in words */
    const char *limit_words;       /* of the limit, where it is a named number; else NULL */
    const char *source;
    const struct criterion *criterion; /* of place or confirm; NULL: of the candle */
};

/* How far from the bar's own price a turn is looked for: this many ATR of the
 * bar, or ranges of it where that is more; and, where all prices of the bar are
 * above 0, not at or below 0. */
enum { TURN_REACH = 20 };
/* A share of the bar's price. */
#define TURN_TOLERANCE 1e-8
/* And no high or low that leaves the bar less range than this share of its price. */
#define TURN_LEAST_RANGE 1e-6

/* A shape that all criteria but one make it, and that one fails by no more than
 * the size of its limit. */
struct nearly {
    bool found;
    struct shape_choice choice;
    struct reading missed;
    double missed_by; /* distance of the measured value from the limit, in its unit */
};

enum { EXPLAIN_SHAPES = 64, EXPLAIN_NEARLY = 2 };

struct explanation {
    size_t bar;
    bool over; /* false: the bar may still receive prices, and is nothing yet */
    struct bar prices;
    struct anatomy parts;
    double atr; /* ATR(14) at the bar, NaN where undefined */
    struct shape_choice shapes[EXPLAIN_SHAPES];
    size_t shape_count;
    struct nearly nearly[EXPLAIN_NEARLY]; /* the least missed first */
    /* Only with a setup: */
    struct checklist checklist;
    struct explained criteria[CHECK_LIMIT];
    size_t count;
    size_t candle_of; /* the earlier candle of whose signal this is the bar; SIZE_MAX: none */
};

/* Opens an instrument to be explained, with a setup applied where there is one
 * (else only series and sheet are filled); otherwise as rules_open. */
int explain_open(struct work *work, struct notices *notices, const char *word,
                 const struct setup *setup, struct rules_case *opened, struct error *error);

/* The bar that a date or moment falls in; ERROR_INPUT, naming the bars beside it,
 * where there is none, and for a date of which there are several shorter bars. */
int explain_find(const struct rules_case *opened, const char *word, int64_t time, bool date_only,
                 size_t *bar, struct error *error);

/* Explains a bar; `with_setup` where one was applied. ERROR_MACHINE without
 * memory. Nothing to free: names and words are of the tables and the setup. */
int explain_bar(const struct rules_case *opened, bool with_setup, size_t bar,
                struct explanation *explanation, struct error *error);

/* The bar of which `price` stands at `at`: an open or close takes high or low along
 * where it goes beyond them, a high or low takes open and close along. */
struct bar explain_moved(struct bar bar, enum bar_price price, double at);

#endif
