#include "evidence/size.h"

#include "evidence/summary.h"

#include <math.h>

double growth_rate(const double *results, size_t count, double fraction)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        if (1 + fraction * results[i] <= 0)
            return -INFINITY;
        sum += log1p(fraction * results[i]);
    }
    return count > 0 ? sum / (double)count : NAN;
}

/* d growth / d fraction, times the number of trades; falls with the fraction. */
static double slope(const double *results, size_t count, double fraction)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += results[i] / (1 + fraction * results[i]);
    return sum;
}

double kelly_fraction(const double *results, size_t count)
{
    double worst = 0;
    for (size_t i = 0; i < count; i++)
        worst = fmin(worst, results[i]);
    if (count == 0)
        return NAN;
    if (!(mean_of(results, count) > 0))
        return 0;
    if (worst == 0)
        return INFINITY;
    /* The slope is positive at 0 and goes to minus infinity at ruin. */
    double low = 0;
    double high = -1 / worst;
    for (int i = 0; i < 200 && low < high; i++) {
        double middle = low + (high - low) / 2;
        if (middle <= low || middle >= high)
            break;
        if (slope(results, count, middle) > 0)
            low = middle;
        else
            high = middle;
    }
    return low;
}
