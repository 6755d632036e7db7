/* The length of a bar: 1d, 1w, 4h, 30m … */
#ifndef RUSHLIGHT_MARKET_INTERVAL_H
#define RUSHLIGHT_MARKET_INTERVAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum interval_unit {
    INTERVAL_NONE,   /* not known, not said */
    INTERVAL_MINUTE, /* m */
    INTERVAL_HOUR,   /* h */
    INTERVAL_DAY,    /* d */
    INTERVAL_WEEK,   /* w: begins on Monday */
    INTERVAL_MONTH   /* month */
};

struct interval {
    enum interval_unit unit;
    int count; /* > 0 unless the unit is INTERVAL_NONE */
};

enum { INTERVAL_TEXT_SIZE = 16 };

/* Reads `15m`, `4h`, `1d`, `1w`, `1month`; false for anything else, for a count
 * of 0 or over 1000, and for minutes or hours that do not divide or make up
 * whole days. 60m reads as 1h and 24h as 1d, so equal intervals look alike. */
bool interval_parse(const char *text, struct interval *interval);
void interval_format(char text[INTERVAL_TEXT_SIZE], struct interval interval);
/* The same for what a book holds: read in former words too (base/former.h), and
 * written in the words that books have had from the first, by which rows are
 * found and data are known again. */
bool interval_parse_kept(const char *text, struct interval *interval);
void interval_format_kept(char text[INTERVAL_TEXT_SIZE], struct interval interval);

bool interval_equal(struct interval a, struct interval b);
/* Time of such a bar is a date (days, weeks, months). False for NONE. */
bool interval_is_dated(struct interval interval);
/* Whole seconds of a minute, hour, day or week interval; a month counts 30
 * days, good enough to order intervals by. 0 for NONE. */
int64_t interval_seconds(struct interval interval);

/* The interval of bars with these start times: the most common step, as one
 * of the usual lengths; daily bars have weekends and holidays. NONE for fewer
 * than two bars or steps that look like none of them. */
struct interval interval_guess(const int64_t *times, size_t count);
/* The step in seconds that is the most common of the first; 0 below two times. */
int64_t interval_guess_step(const int64_t *times, size_t count);

#endif
