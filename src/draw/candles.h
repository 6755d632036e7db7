/* Candles in a pane. */
#ifndef RUSHLIGHT_DRAW_CANDLES_H
#define RUSHLIGHT_DRAW_CANDLES_H

#include "draw/pane.h"

struct candle_columns {
    const double *open;
    const double *high;
    const double *low;
    const double *close;
};

/* Candles of the bars first..last-1 in the old ink tradition: up hollow, down
 * filled. Bars of one group (pane_group) are drawn as one. */
void pane_candles(struct picture *picture, const struct pane *pane,
                  const struct candle_columns *columns, size_t first, size_t last);
/* The same candles of a few bars once more, in another ink. */
void pane_candles_marked(struct picture *picture, const struct pane *pane,
                         const struct candle_columns *columns, size_t first, size_t last,
                         enum ink ink);
/* The box of each candle is blocked for labels that keep clear of marks. */
void pane_block_candles(struct picture *picture, const struct pane *pane,
                        const struct candle_columns *columns, size_t first, size_t last);

#endif
