/* Swing highs and lows, and what is drawn through them (docs/method.md 4).
 *
 * All functions say what is known at a bar: a swing of strength k at bar i is
 * known at i+k. The rows of the other side are these functions on the mirrored
 * sheet. Indices are bars; SIZE_MAX stands for none. */
#ifndef RUSHLIGHT_STRUCTURE_SWINGS_H
#define RUSHLIGHT_STRUCTURE_SWINGS_H

#include "base/reading.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>

/* All swings of strength k, in order of time. Swing high(k) at i: the high is
 * greater than each of the k highs before it and not less than each of the k
 * after. Swing low: the mirror. */
struct swings {
    size_t strength;
    size_t *high;
    size_t high_count;
    size_t *low;
    size_t low_count;
};

/* The swings of a sheet, kept with it; NULL without memory. */
const struct swings *swings_of(struct sheet *sheet, size_t strength);

/* How many of the swings in `list` are known at bar `at`. */
size_t swings_known(const size_t *list, size_t count, size_t strength, size_t at);
/* The newest swing high or low known at bar `at`, SIZE_MAX if there is none. */
size_t newest_swing_high(struct sheet *sheet, size_t strength, size_t at);
size_t newest_swing_low(struct sheet *sheet, size_t strength, size_t at);

/* The falling trend line known at bar `at`: through the two newest swing
 * highs(k) of the last `bars` bars, the newer one lower; void if a close after
 * the newer one, up to `at`, lies above it. */
struct trend_line {
    size_t first; /* bar of the older swing high */
    size_t second;
    double first_price;
    double second_price;
};

bool falling_trend_line(struct sheet *sheet, size_t bars, size_t strength, size_t at,
                        struct trend_line *line);
/* Price of the line at a bar. */
double trend_line_price(const struct trend_line *line, size_t at);

/* The newest two swing lows(k) of the last `bars` bars known at `at`, with
 * `at` itself where its low is not above those of the k bars before it. False
 * if there are fewer than two. */
bool newest_two_lows(struct sheet *sheet, size_t bars, size_t strength, size_t at, size_t *older,
                     size_t *newer);

/* A fall as measured at bar `at` (retracements and extensions): from the
 * highest high of the `bars` bars before it, the latest if tied, down to the
 * lowest low after that high up to `at`. */
struct fall {
    size_t high_bar;
    size_t low_bar;
    double high;
    double low;
};

/* False with fewer than `bars` bars before `at`. */
bool fall_before(struct sheet *sheet, size_t bars, size_t at, struct fall *fall);
/* Price of a retracement level or extension: low + ratio*(high-low). The named
 * ratios 0.236, 0.382, 0.618, 0.786, 1.272 and 1.618 stand for the exact
 * numbers of the golden section; any other is itself. */
double fall_level(const struct fall *fall, double ratio);
double exact_ratio(double ratio);

#endif
