/* Markets that might have been: series rebuilt from each bar's moves, drawn
 * with replacement by dates common to all instruments (after Marshall, Young &
 * Rose 2006, J. Bank. Finance 30, 2303, from memory, with differences in ATR
 * where they have ratios, since prices may be zero; docs/method.md 10).
 *
 * What a candle is and what follows it have nothing to do with one another in
 * such a market, while the bars' own shapes, the quiet and stormy times, and
 * the common moves of a date stay. */
#ifndef RUSHLIGHT_EVIDENCE_RESAMPLE_H
#define RUSHLIGHT_EVIDENCE_RESAMPLE_H

#include "base/number.h"
#include "evidence/grid.h"

/* Fills source[0..grid->count) with the date from which each date takes its
 * moves, for resampled market `number` of `seed`: blocks of dates with this
 * mean length (1: single dates). */
void resample_dates(size_t *source, const struct date_grid *grid, double block_length,
                    uint64_t seed, size_t number);

/* Rebuilds one series. Bar i gets the four moves of a bar j of its source
 * date, each less the close before j, over ATR[j-1], times ATR[i-1] of the
 * series as it was, on the rebuilt close before; with several bars a date the
 * place within the date is kept as far as it goes. Where the instrument has no
 * bar on the source date, any of its bars serves, spread evenly. Bars whose ATR
 * before is not defined stay as they were; so do those older than the grid,
 * which only warm up and lend nothing. Prices are rounded to `tick` where
 * it is not NULL. `atr` is ATR(14) of `bars`; `copy` is initialised here, the
 * caller's to free, also after an error (only ERROR_MACHINE). */
int resample_bars(struct bars *copy, const struct bars *bars, const double *atr,
                  const struct tick *tick, const struct date_grid *grid, const size_t *source,
                  struct error *error);

#endif
