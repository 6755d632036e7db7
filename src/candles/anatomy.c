#include "candles/anatomy.h"

#include <math.h>

struct anatomy anatomy_of(const struct bars *bars, size_t i)
{
    double open = bars->open[i];
    double high = bars->high[i];
    double low = bars->low[i];
    double close = bars->close[i];
    return (struct anatomy){
        .open = open,
        .high = high,
        .low = low,
        .close = close,
        .range = high - low,
        .body = fabs(close - open),
        .upper = high - (open > close ? open : close),
        .lower = (open < close ? open : close) - low,
    };
}

double price_tolerance(const struct bars *bars, size_t first, size_t last)
{
    double largest = 0;
    for (size_t i = first; i <= last; i++) {
        double high = fabs(bars->high[i]);
        double low = fabs(bars->low[i]);
        largest = high > largest ? high : largest;
        largest = low > largest ? low : largest;
    }
    return 1e-10 * largest;
}
