#include "demo/plant.h"

#include <math.h>

enum { ATR_LENGTH = 14, FALL_BARS = 10 };

static double true_range(const struct bars *bars, size_t i)
{
    double range = bars->high[i] - bars->low[i];
    if (i == 0)
        return range;
    double before = bars->close[i - 1];
    return fmax(range, fmax(fabs(bars->high[i] - before), fabs(bars->low[i] - before)));
}

double plant_atr_next(const struct bars *bars, double atr_before)
{
    if (bars->count < ATR_LENGTH)
        return NAN;
    if (bars->count > ATR_LENGTH)
        return (atr_before * (ATR_LENGTH - 1) + true_range(bars, bars->count - 1)) / ATR_LENGTH;
    double sum = 0;
    for (size_t i = 0; i < ATR_LENGTH; i++)
        sum += true_range(bars, i);
    return sum / ATR_LENGTH;
}

static bool inverted_hammer(const struct bars *bars, size_t t, double atr_before)
{
    double range = bars->high[t] - bars->low[t];
    double top = fmax(bars->open[t], bars->close[t]);
    double bottom = fmin(bars->open[t], bars->close[t]);
    return range > 0 && bars->high[t] - top >= 2 * (top - bottom) &&
           bottom - bars->low[t] <= 0.10 * range && top - bottom <= 0.34 * range &&
           range >= 0.5 * atr_before;
}

/* Least-squares slope of the FALL_BARS closes before bar t. */
static double slope_before(const struct bars *bars, size_t t)
{
    double middle = (FALL_BARS - 1) / 2.0;
    double up = 0;
    double down = 0;
    for (size_t k = 0; k < FALL_BARS; k++) {
        double x = (double)k - middle;
        up += x * bars->close[t - FALL_BARS + k];
        down += x * x;
    }
    return up / down;
}

bool plant_situation(const struct bars *bars, double atr_before)
{
    if (bars->count <= ATR_LENGTH)
        return false;
    size_t t = bars->count - 1;
    for (size_t k = 1; k <= FALL_BARS; k++)
        if (bars->low[t - k] < bars->low[t])
            return false;
    return inverted_hammer(bars, t, atr_before) &&
           slope_before(bars, t) * (FALL_BARS - 1) <= -atr_before;
}
