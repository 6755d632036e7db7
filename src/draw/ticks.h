/* Where an axis has its ticks. */
#ifndef RUSHLIGHT_DRAW_TICKS_H
#define RUSHLIGHT_DRAW_TICKS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { TICK_LIMIT = 64, TICK_TEXT_SIZE = 48 };

/* Values of an axis: whole multiples of `step`, which is 1, 2 or 5 times a
 * power of ten and, where there is a grid, a whole multiple of it. */
struct value_ticks {
    double step;
    int decimals; /* that the multiples need */
    double first; /* number of the first multiple within the range */
    size_t count; /* 0: the range holds none, or is no range */
};

/* Ticks of low..high, at most `most` (1 to TICK_LIMIT) of them and as many as
 * that allows. `grid` is the least step of the values (a price step), 0 for
 * none. */
struct value_ticks value_ticks(double low, double high, size_t most, double grid);
double value_tick(const struct value_ticks *ticks, size_t index);
/* The number as the axis writes it, with a real minus sign. */
void value_tick_text(const struct value_ticks *ticks, size_t index, char text[TICK_TEXT_SIZE]);
/* Ticks of a logarithmic axis, 0 < low < high, at most `most` of them: round
 * numbers, as many as are still apart; within a factor of 3 those of
 * value_ticks. Returns their number. */
size_t log_ticks(double low, double high, size_t most, double grid, double ticks[TICK_LIMIT]);
/* Any number with so many decimals, in the same style. */
void number_text(double value, int decimals, char text[TICK_TEXT_SIZE]);
/* Decimals that a step and its multiples need, 0 to 12; of a step of 0, which is that
 * of prices whose tick is not known, DECIMALS_WITHOUT_STEP. */
enum { DECIMALS_WITHOUT_STEP = 4 };
int decimals_of(double step);

/* A tick of a time axis: the first bar of a unit of time, so that closed days
 * take no room and are not named. */
struct time_tick {
    size_t bar;
    char minor[TICK_TEXT_SIZE]; /* "14", "Mar", "09:30" … */
    char major[TICK_TEXT_SIZE]; /* month, year or date where it changes, else "" */
};

/* Ticks of the bars first..last-1 with these clock times (seconds, as if UTC),
 * at most `most` of them (1 to TICK_LIMIT): the finest division that allows
 * it. Returns their number. `dated`: the bars are days or longer. */
size_t time_ticks(const int64_t *clock, size_t first, size_t last, bool dated, size_t most,
                  struct time_tick ticks[TICK_LIMIT]);

/* The same for a view of a long axis: the division is that of all bars
 * first..last-1; returned are the ticks from bar `shown` on, and the first of
 * them that is not before bar `whole` is named in full, like the first of an
 * axis. */
size_t time_ticks_shown(const int64_t *clock, size_t first, size_t last, bool dated, size_t most,
                        size_t shown, size_t whole, struct time_tick ticks[TICK_LIMIT]);

#endif
