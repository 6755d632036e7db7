#include "evidence/resample.h"

#include "base/array.h"
#include "base/calendar.h"
#include "evidence/blocks.h"
#include "market/scale.h"

#include <math.h>
#include <stdlib.h>

void resample_dates(size_t *source, const struct date_grid *grid, double block_length,
                    uint64_t seed, size_t number)
{
    struct block_law law;
    struct block_draw draw;
    struct block block;
    size_t d = 0;
    if (grid->count == 0)
        return;
    block_law_init(&law, block_length);
    blocks_start(&draw, seed, number, grid->count, &law);
    while (blocks_next(&draw, &block))
        for (size_t k = 0; k < block.length; k++)
            source[d++] = (block.start + k) % grid->count;
}

/* first[d] .. first[d + 1] - 1 are the bars of date d, those before first[0]
 * are older than the grid; NULL without memory. */
static size_t *bars_by_date(const struct bars *bars, const struct date_grid *grid)
{
    size_t *first = array_new(grid->count + 1, sizeof *first);
    size_t i = 0;
    while (grid->count > 0 && i < bars->count && day_of_time(bars->time[i]) < grid->day[0])
        i++;
    for (size_t d = 0; first != NULL && d <= grid->count; d++) {
        first[d] = i;
        while (d < grid->count && i < bars->count && day_of_time(bars->time[i]) <= grid->day[d])
            i++;
    }
    return first;
}

/* The bar that lends its moves to the bar `place` of a date from date `d`: one
 * with a close and an ATR before it. Where the instrument has none on that
 * date, any of its bars serves, spread evenly by a multiplicative hash of the
 * date, lest one bar stands in for all the years in which there was no market.
 * SIZE_MAX where no bar will do. */
static size_t lender(const struct bars *bars, const size_t *first, const double *atr, size_t d,
                     size_t place)
{
    size_t count = first[d + 1] - first[d];
    size_t j = count > 0 ? first[d] + place % count : 0;
    if (j > 0 && atr[j - 1] > 0)
        return j;
    size_t own = bars->count - first[0];
    j = (size_t)(((uint64_t)d * 0x9e3779b97f4a7c15U >> 32) * own >> 32) + place;
    for (size_t tried = 0; tried < own; tried++) {
        size_t candidate = first[0] + (j + tried) % own;
        if (candidate > 0 && atr[candidate - 1] > 0)
            return candidate;
    }
    return SIZE_MAX;
}

/* To the tick of the prices traded at bar `i`. */
static double to_tick(const struct bars *bars, size_t i, const struct tick *tick, double price)
{
    if (tick == NULL || !(tick->value > 0))
        return price;
    double ticks = round(bars_traded(bars, i, price) / tick->value);
    return bars_viewed(bars, i, tick_multiple(tick, ticks));
}

int resample_bars(struct bars *copy, const struct bars *bars, const double *atr,
                  const struct tick *tick, const struct date_grid *grid, const size_t *source,
                  struct error *error)
{
    int code = bars_slice(copy, bars, 0, bars->count, error);
    if (code != ERROR_NONE || bars->count == 0)
        return code;
    size_t *first = bars_by_date(bars, grid);
    if (first == NULL)
        return error_memory(error);
    size_t d = 0;
    double close = bars->close[0];
    for (size_t i = 0; i < bars->count; i++) {
        while (d + 1 < grid->count && first[d + 1] <= i)
            d++;
        bool known = i > 0 && i >= first[0] && atr[i - 1] > 0;
        size_t j = known ? lender(bars, first, atr, source[d], i - first[d]) : SIZE_MAX;
        if (j == SIZE_MAX) {
            close = bars->close[i];
            continue;
        }
        double scale = atr[i - 1] / atr[j - 1];
        double before = bars->close[j - 1];
        copy->open[i] = to_tick(copy, i, tick, close + scale * (bars->open[j] - before));
        copy->high[i] = to_tick(copy, i, tick, close + scale * (bars->high[j] - before));
        copy->low[i] = to_tick(copy, i, tick, close + scale * (bars->low[j] - before));
        close += scale * (bars->close[j] - before);
        copy->close[i] = to_tick(copy, i, tick, close);
        copy->volume[i] = bars->volume[j];
    }
    free(first);
    return ERROR_NONE;
}
