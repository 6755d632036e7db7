/* Measures as pure functions of columns (docs/method.md 3).
 *
 * Every function writes out[first .. count-1]; those before the warm-up, and
 * those with a NaN among their inputs, are NaN. `out` may not overlap an input.
 * No function looks ahead: out[t] depends on input[0..t] alone. Lengths are at
 * least 1. Inputs with NaN at the start (a measure of a measure) start their
 * warm-up at the first defined value; they have none later.
 *
 * With `first` above 0 a column is gone on with: the values before are those of
 * an earlier call, and what comes is bit for bit what one call over everything
 * writes. The columns may have lost values at the front meanwhile (a window
 * over a long series) as long as the last n + 1 before `first` are there. */
#ifndef RUSHLIGHT_MEASURES_SERIES_H
#define RUSHLIGHT_MEASURES_SERIES_H

#include "market/bars.h"

#include <stddef.h>

/* Arithmetic mean of the last n values, oldest first added to newest; defined
 * from the n-th value. Each is a fresh sum, so nothing drifts. */
void series_mean(const double *x, size_t first, size_t count, size_t n, double *out);
/* Weight 2/(n+1); starts at the n-th value as the mean of the first n (Appel
 * 2005, from memory). */
void series_exponential_mean(const double *x, size_t first, size_t count, size_t n, double *out);
/* Starts at the n-th value as the mean of the first n; then
 * (previous*(n-1) + x)/n (Wilder 1978, from memory). */
void series_wilder_mean(const double *x, size_t first, size_t count, size_t n, double *out);
/* Population standard deviation of the last n values, in two passes. */
void series_deviation(const double *x, size_t first, size_t count, size_t n, double *out);
/* Highest and lowest of the last n values, this one included. `scratch` is
 * room for series_extreme_room(n) values. */
size_t series_extreme_room(size_t n);
void series_highest(const double *x, size_t first, size_t count, size_t n, double *scratch,
                    double *out);
void series_lowest(const double *x, size_t first, size_t count, size_t n, double *scratch,
                   double *out);
/* Least-squares slope of the last n values on 0..n-1, per bar (n >= 2), and
 * its t-statistic slope/standard error (n >= 3; infinite for a perfect line
 * with a slope, NaN for a flat one). */
void series_slope(const double *x, size_t first, size_t count, size_t n, double *out);
/* The same for one bar, from its window of n values, n >= 2. */
double window_slope(const double *window, size_t n);
void series_slope_t(const double *x, size_t first, size_t count, size_t n, double *out);
/* True range; the first bar: high less low (Wilder 1978, from memory). */
void series_true_range(const struct bars *bars, size_t first, size_t count, double *out);
/* RSI: Wilder means U, D of the gains and losses of x, the first change at
 * bar 1, the first value at bar n; 100*U/(U+D), 50 where both are 0 (Wilder
 * 1978, from memory). Range 0 to 100. */
struct rsi_state {
    double up; /* Wilder means of the gains and losses after the last bar written */
    double down;
};
/* `state` is read where the column is gone on with, and left for the next call. */
void series_rsi(const double *x, size_t first, size_t count, size_t n, struct rsi_state *state,
                double *out);

/* The recurrences above bind: each value waits for the one before it. Several
 * series at once fill the waiting time, and the lanes of a vector; each gets
 * the bits it gets alone. */
enum { LANE_COUNT = 4 };

struct lane {
    const double *x;
    double *out;
    size_t first;
    size_t count;
};

void series_exponential_mean_lanes(const struct lane lanes[LANE_COUNT], size_t n);
void series_wilder_mean_lanes(const struct lane lanes[LANE_COUNT], size_t n);
void series_rsi_lanes(const struct lane lanes[LANE_COUNT], size_t n,
                      struct rsi_state *const states[LANE_COUNT]);

#endif
