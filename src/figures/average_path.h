/* The average path after a candle: the mean move of the close in ATR with its
 * interval, and all cases faint behind it. */
#ifndef RUSHLIGHT_FIGURES_AVERAGE_PATH_H
#define RUSHLIGHT_FIGURES_AVERAGE_PATH_H

#include "draw/picture.h"
#include "market/bars.h"

#include <stdbool.h>
#include <stddef.h>

/* Moves of the close from that of bar `from`, in `atr` (> 0) and in favour of
 * the side, after 0, 1 … `bars` bars into moves[0..bars]: NaN at and after bar
 * `end`, which may not be read. */
void path_moves(const struct bars *bars, size_t from, size_t end, double atr, bool is_short,
                size_t count, double *moves);
/* The mean of the cases at each bar over those that have got so far, and their
 * number; NaN and 0 where none has. `moves` is case by case, count + 1 numbers
 * each. `means` and `numbers` have count + 1 places. */
void path_means(const double *moves, size_t cases, size_t count, double *means, size_t *numbers);

struct average_path {
    const double *moves; /* case by case, bars + 1 numbers each, the first 0 */
    size_t cases;        /* drawn faint behind the mean */
    size_t bars;         /* after the candle, at least 1 */
    const double *means; /* bars + 1 */
    const double *lows;  /* the interval's ends; NULL: none, and the figure says so */
    const double *highs;
    double width, height;
    const char *title;
    size_t all; /* cases that the mean is of; 0: those drawn */
};

/* Draws it; the caller frees the picture. ERROR_MACHINE without memory. */
int average_path_make(struct picture **picture, struct typesetter *typesetter,
                      const struct average_path *path, const char *prefix, struct error *error);

#endif
