#include "evidence/variance.h"

#include "base/lanes.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdbool.h>

/* sum_d u(d) u(d + lag) without going round, in several sums side by side: one
 * alone would wait for itself at every date. */
LANES static double lagged_product(const double *u, size_t count, size_t lag)
{
    enum { SIDE_BY_SIDE = 16 };
    double lane[SIDE_BY_SIDE] = {0};
    const double *later = u + lag;
    size_t terms = count - lag;
    size_t d = 0;
    for (; d + SIDE_BY_SIDE <= terms; d += SIDE_BY_SIDE)
        for (size_t i = 0; i < SIDE_BY_SIDE; i++)
            lane[i] += u[d + i] * later[d + i];
    double sum = 0;
    for (; d < terms; d++)
        sum += u[d] * later[d];
    for (size_t i = 0; i < SIDE_BY_SIDE; i++)
        sum += lane[i];
    return sum;
}

static const double negligible = 1e-13;

/* V for `count_of` mean lengths at once, the longest last: the products of a
 * lag serve them all. */
static void variances(double *variance, const double *u, size_t count, const double *length,
                      size_t count_of)
{
    enum { MOST = 2 };
    double factor[MOST];
    for (size_t i = 0; i < count_of; i++) {
        factor[i] = 1;
        variance[i] = lagged_product(u, count, 0);
    }
    for (size_t j = 1; j < count; j++) {
        for (size_t i = 0; i < count_of; i++)
            factor[i] *= 1 - 1 / length[i];
        if (factor[count_of - 1] < negligible)
            break;
        /* On the circle lag j also joins the last j dates to the first. */
        double around = lagged_product(u, count, j) + lagged_product(u, count, count - j);
        for (size_t i = 0; i < count_of; i++)
            if (factor[i] >= negligible)
                variance[i] += 2 * (1 - (double)j / (double)count) * factor[i] * around;
    }
}

double bootstrap_variance(const double *u, size_t count, double length)
{
    double variance;
    variances(&variance, u, count, &length, 1);
    return variance;
}

double corrected_variance(const double *u, size_t count, double length)
{
    double variance[2];
    variances(variance, u, count, (const double[]){length, 2 * length}, 2);
    return fmax(variance[0], 2 * variance[1] - variance[0]);
}

/* Autocovariance about `mean`, divided by the number of values. */
static double autocovariance(const double *values, size_t count, double mean, size_t lag)
{
    double sum = 0;
    for (size_t i = 0; i + lag < count; i++)
        sum += (values[i] - mean) * (values[i + lag] - mean);
    return sum / (double)count;
}

/* The smallest m after which `run` autocorrelations are small, at least 1; or
 * `most` where there is none. */
static size_t last_large_lag(const double *values, size_t count, double mean, size_t run,
                             size_t most)
{
    double variance = autocovariance(values, count, mean, 0);
    double limit = 2 * sqrt(log10((double)count) / (double)count);
    size_t small = 0;
    for (size_t lag = 1; lag <= most + run && lag < count; lag++) {
        bool here = fabs(autocovariance(values, count, mean, lag)) < limit * variance;
        small = here ? small + 1 : 0;
        if (small == run)
            return lag > run ? lag - run : 1;
    }
    return most;
}

double automatic_block_length(const double *values, size_t count)
{
    enum { FEWEST = 8 };
    if (count < FEWEST)
        return 1;
    double n = (double)count;
    double mean = mean_of(values, count);
    size_t run = (size_t)fmax(5, ceil(sqrt(log10(n))));
    size_t most = (size_t)ceil(sqrt(n)) + run;
    if (!(autocovariance(values, count, mean, 0) > 0))
        return 1;
    size_t m = last_large_lag(values, count, mean, run, most);
    size_t window = 2 * m < most ? 2 * m : most;
    double spectrum = autocovariance(values, count, mean, 0);
    double slope = 0;
    for (size_t lag = 1; lag <= window && lag < count; lag++) {
        double place = (double)lag / (double)window;
        double flat_top = place <= 0.5 ? 1 : 2 * (1 - place);
        double covariance = autocovariance(values, count, mean, lag);
        spectrum += 2 * flat_top * covariance;
        slope += 2 * flat_top * (double)lag * covariance;
    }
    /* Variance of the stationary bootstrap: D = 2 g(0)^2. */
    double length = cbrt(slope * slope / (spectrum * spectrum) * n);
    double longest = ceil(fmin(3 * sqrt(n), n / 3));
    return isfinite(length) ? fmin(fmax(length, 1), longest) : longest;
}
