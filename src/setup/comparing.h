/* The condition `compare`: a price, a measure or an earlier value of one
 * against a number or another, or against its own bars before
 * (docs/setup-file.md). */
#ifndef RUSHLIGHT_SETUP_COMPARING_H
#define RUSHLIGHT_SETUP_COMPARING_H

#include "base/parameter.h"
#include "base/text.h"
#include "market/interval.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>

/* Only values of one kind can be compared with each other. */
enum comparable_kind {
    COMPARABLE_PRICE,
    COMPARABLE_LENGTH,     /* a distance of prices: a range, an ATR */
    COMPARABLE_DIFFERENCE, /* of prices, with its sign: MACD */
    COMPARABLE_SLOPE,      /* price a bar */
    COMPARABLE_SLOPE_T,
    COMPARABLE_HUNDRED, /* 0 to 100, turned round at 50: RSI, stochastic */
    COMPARABLE_SHARE,   /* 0 to 100, the same on both sides: ADX, directional movement */
    COMPARABLE_VOLUME
};

/* A value that can be compared: a column of the bars or a measure. */
struct comparable {
    const char *column;            /* open, high, low, close, volume; NULL: a measure */
    const struct measure *measure; /* NULL: a column of the bars */
    enum comparable_kind kind;
    bool as_given;                    /* a price of some bar, compared as it is */
    const struct comparable *reverse; /* what takes its place on negated prices; NULL: itself */
};

/* Ended by a row with neither column nor measure. */
extern const struct comparable comparables[];
const char *comparable_name(const struct comparable *comparable);
/* The row of this name; NULL if there is none. */
const struct comparable *comparable_find(const char *name);
/* The parameters of its measure; an empty list for a column of the bars. */
const struct parameter *comparable_parameters(const struct comparable *comparable);
/* Whether negating prices turns values of this kind round: above is below then. */
bool comparable_turns(enum comparable_kind kind);

/* One side of a comparison. */
struct compare_side {
    const struct comparable *what; /* NULL: the number */
    double number;
    double values[PARAMETER_LIMIT];
    size_t bars_ago;          /* of the bars that it is read on */
    struct interval interval; /* NONE: those of the condition */
    char *of;                 /* another instrument; NULL: the setup's own */
};

enum compare_way {
    WAY_ABOVE,
    WAY_BELOW,
    WAY_CROSSES_ABOVE, /* at or below one bar ago, above now */
    WAY_CROSSES_BELOW,
    WAY_RISES_FOR, /* each of the last bars above the one before */
    WAY_FALLS_FOR
};

enum compare_by { BY_NOTHING, BY_UNITS, BY_ATR, BY_PERCENT, BY_TICKS };

struct compare_rule {
    struct compare_side value;
    struct compare_side other; /* not for rises_for and falls_for */
    enum compare_way way;
    size_t run; /* bars that it rises or falls for */
    enum compare_by by_unit;
    double by; /* how far beyond the other, >= 0 */
    /* What is measured, for readings: of the value now, and one bar ago. */
    char *shown;
    char *shown_before;
};

/* Words of compare_way and compare_by, as in the file; index 0 of the latter is
 * NULL. */
extern const char *const compare_way_words[6];
extern const char *const compare_by_words[5];

/* Whether it reads volume or another instrument. */
bool compare_asks_beyond_prices(const struct compare_rule *rule);
/* Whether it reads longer bars, or another instrument. */
bool compare_reads_other_bars(const struct compare_rule *rule);
bool compare_has_run(const struct compare_rule *rule);
/* The same rule on negated prices, in place: high for low, above for below,
 * numbers turned round. It is its own inverse. */
void compare_turn(struct compare_rule *rule);
/* Writes the texts of a rule; false without memory. */
bool compare_describe(struct compare_rule *rule);
void compare_free(struct compare_rule *rule);

/* "close is above average(50) by 0.25 ATR": a rule as it is seen on the chart, in
 * words. */
void compare_say(struct text *out, const struct compare_rule *rule);

/* `{value: …, above: …}` as in the file. */
void compare_write(struct text *out, const struct compare_rule *rule);
#endif
