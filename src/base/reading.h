/* One criterion as read on the chart: what was measured, against what limit,
 * and whether it was met. */
#ifndef RUSHLIGHT_BASE_READING_H
#define RUSHLIGHT_BASE_READING_H

#include <stdbool.h>

/* Whether a criterion holds; undefined where one of its inputs is. */
enum truth { TRUTH_NO, TRUTH_YES, TRUTH_UNDEFINED };

enum comparison { COMPARE_AT_LEAST, COMPARE_AT_MOST, COMPARE_ABOVE, COMPARE_BELOW };

/* What `value` and `limit` become when the chart is turned upside down. */
enum reading_kind {
    READING_PLAIN,       /* the same: fractions, counts */
    READING_PRICE,       /* negated, and the comparison turned round */
    READING_FROM_HUNDRED /* 100 less it, and the comparison turned round */
};

struct reading {
    const char *name; /* what was measured, a static text: "upper shadow" */
    const char *unit; /* "bodies", "of the range", "ATR" …, "" for none */
    enum reading_kind kind;
    enum comparison comparison;
    double value; /* NaN where undefined or where there is no number to it */
    double limit; /* NaN where there is no number to it */
    enum truth met;
    /* The row's parameter that is the limit, counted from 1; 0: the limit is no
     * single named number, or moving it would change more than this criterion. */
    unsigned char parameter;
    bool mirrored; /* read on mirrored prices: its name's words are to be turned round */
    /* Undefined because nothing was given to tell it by: no events, levels of
     * one's own, or volume. More bars would not help. */
    bool untold;
    /* Met only by a level that was brought in with an older date, or told by such
     * alone: who made it may have known what followed. Its name says so too. */
    bool dated_back;
};

enum { READING_LIMIT = 12, READING_NAME_SIZE = 96 };

/* The name as it reads on the chart: on a mirrored one, high and low, above
 * and below and their like change places. Cut if it is longer than the room. */
const char *reading_name(const struct reading *reading, char name[READING_NAME_SIZE]);

/* How many decimals its value is written with, so that a column of them can be read: two,
 * or none of bars; more where fewer than two digits would count, or where it would read
 * as its limit and is not. For what is no price, and finite. */
int reading_decimals(const struct reading *reading);

/* Its unit behind its limit: of one body no "bodies". */
const char *reading_unit(const struct reading *reading);

/* "at least", "above" … */
const char *comparison_words(enum comparison comparison);
/* The same reading seen on the chart of the mirrored prices. */
struct reading reading_mirrored(struct reading reading);

/* Comparisons of lengths and computed prices with the tolerance of the method
 * page (2): equality is favoured, a strict comparison must exceed it. A NaN
 * gives TRUTH_UNDEFINED. */
enum truth at_least(double a, double b, double tolerance);
enum truth at_most(double a, double b, double tolerance);
enum truth above(double a, double b, double tolerance);
enum truth below(double a, double b, double tolerance);

/* Kleene's logic: an undefined part leaves the whole undefined unless the
 * other parts decide it. */
enum truth truth_and(enum truth a, enum truth b);
enum truth truth_or(enum truth a, enum truth b);
enum truth truth_not(enum truth a);

#endif
