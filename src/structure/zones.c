#include "structure/zones.h"

#include "candles/anatomy.h"
#include "structure/swings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Appends the prices of the swings known at `at` within the last `bars` bars;
 * returns the new count. */
static size_t gather(double *prices, size_t count, const size_t *list, size_t known,
                     const double *column, size_t bars, size_t at)
{
    for (size_t i = known; i > 0 && list[i - 1] + bars > at; i--)
        prices[count++] = column[list[i - 1]];
    return count;
}

static int compare_prices(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Index of the lower zone of the pair to join next, count if none is near
 * enough. */
static size_t closest_pair(const struct zone *zones, size_t count, double width, double tolerance)
{
    size_t best = count;
    double best_gap = INFINITY;
    for (size_t i = 0; i + 1 < count; i++) {
        double gap = zones[i + 1].low - zones[i].high;
        double span = zones[i + 1].high - zones[i].low;
        if (gap - width < -tolerance && span - 2 * width <= tolerance &&
            gap < best_gap - tolerance) {
            best = i;
            best_gap = gap;
        }
    }
    return best;
}

static size_t join_zones(struct zone *zones, size_t count, double width, double tolerance)
{
    for (;;) {
        size_t pair = closest_pair(zones, count, width, tolerance);
        if (pair == count)
            return count;
        zones[pair].high = zones[pair + 1].high;
        zones[pair].members += zones[pair + 1].members;
        memmove(&zones[pair + 1], &zones[pair + 2], (count - pair - 2) * sizeof *zones);
        count--;
    }
}

size_t zones_at(struct sheet *sheet, size_t bars, size_t strength, double width_atr, size_t touches,
                size_t at, struct zone zones[ZONE_LIMIT])
{
    const struct swings *swings = swings_of(sheet, strength);
    const double *atr = sheet_atr(sheet, 14);
    const struct bars *data = sheet_bars(sheet);
    double prices[ZONE_LIMIT];
    if (swings == NULL || atr == NULL || isnan(atr[at]))
        return SIZE_MAX;
    size_t known_highs = swings_known(swings->high, swings->high_count, strength, at);
    size_t known_lows = swings_known(swings->low, swings->low_count, strength, at);
    size_t count = gather(prices, 0, swings->high, known_highs, data->high, bars, at);
    count = gather(prices, count, swings->low, known_lows, data->low, bars, at);
    qsort(prices, count, sizeof *prices, compare_prices);
    for (size_t i = 0; i < count; i++)
        zones[i] = (struct zone){prices[i], prices[i], 1};
    count = join_zones(zones, count, width_atr * atr[at], price_tolerance(data, at, at));
    size_t kept = 0;
    for (size_t i = 0; i < count; i++)
        if (zones[i].members >= touches)
            zones[kept++] = zones[i];
    return kept;
}
