/* A named number of a table row (shape, measure, condition, entry, stop). */
#ifndef RUSHLIGHT_BASE_PARAMETER_H
#define RUSHLIGHT_BASE_PARAMETER_H

#include <stdbool.h>
#include <stddef.h>

enum parameter_kind {
    PARAMETER_NUMBER,
    PARAMETER_WHOLE,    /* a whole number */
    PARAMETER_RATIO,    /* a retracement ratio; the named ones stand for exact numbers */
    PARAMETER_WEEKDAYS, /* a set of mon … sun, held as bits 0 … 6 */
    PARAMETER_CLOCK,    /* hh:mm, held as minutes since midnight */
    PARAMETER_WORD      /* a word, held beside the numbers */
};

/* What a number becomes in the mirrored row. */
enum parameter_mirror { MIRROR_SAME, MIRROR_FROM_HUNDRED /* 100 less the number */ };

struct parameter {
    const char *name;        /* NULL ends a list */
    const char *mirror_name; /* in the mirrored row; NULL: the same name */
    enum parameter_kind kind;
    enum parameter_mirror mirror;
    double missing; /* the default; NaN: off unless given */
    double least;
    double most;
    const char *unit; /* "bars", "ATR", "of the range" …, "" for none */
    const char *help;
    const char *said; /* the help without what else could be written, for a number that is
                       * given; NULL: it is the same */
    bool off_at_zero; /* a limit that 0 takes away */
};

enum { PARAMETER_LIMIT = 8 };

/* Number of parameters in a list ended by a row without a name. */
size_t parameter_count(const struct parameter *parameters);
/* Index of the parameter of this name (in the mirrored row: its mirror name),
 * or parameter_count if there is none. */
size_t parameter_find(const struct parameter *parameters, const char *name, int mirrored);
const char *parameter_name(const struct parameter *parameter, int mirrored);
/* What a number is that is given. */
const char *parameter_said(const struct parameter *parameter);
/* Whether it takes its part out of the rule: not given, or 0 where that is off. */
bool parameter_is_off(const struct parameter *parameter, double value);
/* A value as written in the mirrored row, or back again: it is its own
 * inverse. 100 less 69.9 is 30.1, not a neighbour of it. */
double parameter_mirrored(const struct parameter *parameter, double value);
/* The defaults, in the row's own (long) orientation. */
void parameter_defaults(const struct parameter *parameters, double values[PARAMETER_LIMIT]);

#endif
