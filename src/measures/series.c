#include "measures/series.h"

#include "base/lanes.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

/* Outputs computed side by side: each sums its own window, oldest first, so
 * that it has the bits of the plain sum, and the sums fill vector lanes. */
enum { BLOCK = 16 };

/* Four numbers of a column, computed with lane by lane; a block is four of them. */
typedef double four
    __attribute__((vector_size(4 * sizeof(double)), aligned(sizeof(double)), may_alias));

static void fill_undefined(double *out, size_t first, size_t last)
{
    for (size_t i = first; i < last; i++)
        out[i] = NAN;
}

/* Index of the first defined value, count if none. */
static size_t first_defined(const double *x, size_t count)
{
    size_t i = 0;
    while (i < count && isnan(x[i]))
        i++;
    return i;
}

/* Mean of x[0..n-1], oldest first. */
static double fresh_mean(const double *x, size_t n)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += x[i];
    return sum / (double)n;
}

/* Writes NaN from `first` up to the end of the warm-up of a window of n values
 * and returns the index of the first full window's last value, `first` where
 * that lies before it, count if there is none. */
static size_t warm_up(const double *x, size_t first, size_t count, size_t n, double *out)
{
    size_t defined = first_defined(x, count);
    size_t start = count - defined < n ? count : defined + n - 1;
    fill_undefined(out, first, start);
    return start > first ? start : first;
}

LANES static void mean_block(const double *windows, size_t n, double *out)
{
    four a = {0};
    four b = {0};
    four c = {0};
    four d = {0};
    four *means = (four *)out;
    for (size_t k = 0; k < n; k++) {
        const four *x = (const four *)(windows + k);
        a += x[0];
        b += x[1];
        c += x[2];
        d += x[3];
    }
    means[0] = a / (double)n;
    means[1] = b / (double)n;
    means[2] = c / (double)n;
    means[3] = d / (double)n;
}

void series_mean(const double *x, size_t first, size_t count, size_t n, double *out)
{
    size_t i = warm_up(x, first, count, n, out);
    for (; i + BLOCK <= count; i += BLOCK)
        mean_block(x + i + 1 - n, n, out + i);
    for (; i < count; i++)
        out[i] = fresh_mean(x + i + 1 - n, n);
}

/* Goes on with an exponential mean from x[0], after `mean`. */
static void exponential_steps(const double *x, size_t count, double weight, double mean,
                              double *out)
{
    for (size_t i = 0; i < count; i++)
        out[i] = mean = mean + weight * (x[i] - mean);
}

static void wilder_steps(const double *x, size_t count, double length, double mean, double *out)
{
    for (size_t i = 0; i < count; i++)
        out[i] = mean = (mean * (length - 1) + x[i]) / length;
}

/* Warm-up and first value; returns the index after it, `first` where that was
 * written before, count if there is none. */
static size_t start_mean(const double *x, size_t first, size_t count, size_t n, double *out)
{
    size_t defined = first_defined(x, count);
    if (count - defined < n) {
        fill_undefined(out, first, count);
        return count;
    }
    size_t start = defined + n - 1;
    if (start < first)
        return first;
    fill_undefined(out, first, start);
    out[start] = fresh_mean(x + start + 1 - n, n);
    return start + 1;
}

void series_exponential_mean(const double *x, size_t first, size_t count, size_t n, double *out)
{
    size_t next = start_mean(x, first, count, n, out);
    if (next < count)
        exponential_steps(x + next, count - next, 2 / ((double)n + 1), out[next - 1], out + next);
}

void series_wilder_mean(const double *x, size_t first, size_t count, size_t n, double *out)
{
    size_t next = start_mean(x, first, count, n, out);
    if (next < count)
        wilder_steps(x + next, count - next, (double)n, out[next - 1], out + next);
}

/* --- several series at once -------------------------------------------------- */

LANES static void exponential_lanes(const double *const *x, double *const *out, size_t steps,
                                    double weight)
{
    double mean[LANE_COUNT];
    for (int l = 0; l < LANE_COUNT; l++)
        mean[l] = out[l][-1];
    for (size_t i = 0; i < steps; i++) {
        double in[LANE_COUNT] = {x[0][i], x[1][i], x[2][i], x[3][i]};
        for (int l = 0; l < LANE_COUNT; l++)
            mean[l] = mean[l] + weight * (in[l] - mean[l]);
        for (int l = 0; l < LANE_COUNT; l++)
            out[l][i] = mean[l];
    }
}

LANES static void wilder_lanes(const double *const *x, double *const *out, size_t steps,
                               double length)
{
    double mean[LANE_COUNT];
    for (int l = 0; l < LANE_COUNT; l++)
        mean[l] = out[l][-1];
    for (size_t i = 0; i < steps; i++) {
        double in[LANE_COUNT] = {x[0][i], x[1][i], x[2][i], x[3][i]};
        for (int l = 0; l < LANE_COUNT; l++)
            mean[l] = (mean[l] * (length - 1) + in[l]) / length;
        for (int l = 0; l < LANE_COUNT; l++)
            out[l][i] = mean[l];
    }
}

/* Starts each lane, runs all in step as far as the shortest goes, and lets the
 * others finish alone. */
static void run_lanes(const struct lane *lanes, size_t n, bool wilder)
{
    const double *x[LANE_COUNT];
    double *out[LANE_COUNT];
    size_t left[LANE_COUNT];
    size_t steps = SIZE_MAX;
    double weight = 2 / ((double)n + 1);
    for (int l = 0; l < LANE_COUNT; l++) {
        size_t next = start_mean(lanes[l].x, lanes[l].first, lanes[l].count, n, lanes[l].out);
        x[l] = lanes[l].x + next;
        out[l] = lanes[l].out + next;
        left[l] = lanes[l].count - next;
        steps = left[l] < steps ? left[l] : steps;
    }
    if (steps > 0 && wilder)
        wilder_lanes(x, out, steps, (double)n);
    else if (steps > 0)
        exponential_lanes(x, out, steps, weight);
    for (int l = 0; l < LANE_COUNT; l++) {
        if (left[l] == steps)
            continue;
        if (wilder)
            wilder_steps(x[l] + steps, left[l] - steps, (double)n, out[l][(ptrdiff_t)steps - 1],
                         out[l] + steps);
        else
            exponential_steps(x[l] + steps, left[l] - steps, weight, out[l][(ptrdiff_t)steps - 1],
                              out[l] + steps);
    }
}

void series_exponential_mean_lanes(const struct lane lanes[LANE_COUNT], size_t n)
{
    run_lanes(lanes, n, false);
}

void series_wilder_mean_lanes(const struct lane lanes[LANE_COUNT], size_t n)
{
    run_lanes(lanes, n, true);
}

void series_deviation(const double *x, size_t first, size_t count, size_t n, double *out)
{
    for (size_t i = warm_up(x, first, count, n, out); i < count; i++) {
        const double *window = x + i + 1 - n;
        double mean = fresh_mean(window, n);
        double squares = 0;
        for (size_t k = 0; k < n; k++)
            squares += (window[k] - mean) * (window[k] - mean);
        out[i] = sqrt(squares / (double)n);
    }
}

/* out[i] = the lower of a[i] and a[i - back], from `first` on. */
LANES static void lower_of_two(const double *restrict a, size_t first, size_t count, size_t back,
                               double *restrict out)
{
    for (size_t i = first; i < count; i++)
        out[i] = a[i] < a[i - back] ? a[i] : a[i - back];
}

LANES static void higher_of_two(const double *restrict a, size_t first, size_t count, size_t back,
                                double *restrict out)
{
    for (size_t i = first; i < count; i++)
        out[i] = a[i] > a[i - back] ? a[i] : a[i - back];
}

typedef void two_windows(const double *restrict, size_t, size_t, size_t, double *restrict);

/* Windows of 1, 2, 4 … values from two of half the length, and at last one of
 * n from two that overlap: a few passes without a branch whatever n. `x` begins
 * n-1 values before the first of `count` to write, `scratch` holds twice as
 * many as `x`. */
static void extreme_block(const double *x, size_t count, size_t n, two_windows *join,
                          double *scratch, double *out)
{
    size_t length = count + n - 1;
    const double *from = x;
    double *rooms[] = {scratch, scratch + length};
    size_t turn = 0;
    size_t width = 1;
    while (width < n) {
        size_t back = 2 * width < n ? width : n - width;
        join(from, width + back - 1, length, back, rooms[turn]);
        from = rooms[turn];
        turn = 1 - turn;
        width += back;
    }
    memcpy(out, from + n - 1, count * sizeof *out);
}

/* As many values at a time as stay near the processor. */
static size_t extreme_length(size_t n)
{
    enum { USUAL = 2048 };
    return n > USUAL ? n : USUAL;
}

size_t series_extreme_room(size_t n)
{
    return 2 * (extreme_length(n) + n);
}

static void window_extreme(const double *x, size_t first, size_t count, size_t n, two_windows *join,
                           double *scratch, double *out)
{
    size_t most = extreme_length(n);
    for (size_t i = warm_up(x, first, count, n, out); i < count; i += most)
        extreme_block(x + i + 1 - n, count - i < most ? count - i : most, n, join, scratch,
                      out + i);
}

void series_highest(const double *x, size_t first, size_t count, size_t n, double *scratch,
                    double *out)
{
    window_extreme(x, first, count, n, higher_of_two, scratch, out);
}

void series_lowest(const double *x, size_t first, size_t count, size_t n, double *scratch,
                   double *out)
{
    window_extreme(x, first, count, n, lower_of_two, scratch, out);
}

/* Slope of a window on 0..n-1, about its first value and the middle of
 * 0..n-1, so that a large offset costs no digits. */
double window_slope(const double *window, size_t n)
{
    double length = (double)n;
    double middle = (length - 1) / 2;
    double products = 0;
    for (size_t k = 0; k < n; k++)
        products += ((double)k - middle) * (window[k] - window[0]);
    return products / (length * (length * length - 1) / 12);
}

LANES static void slope_block(const double *windows, size_t n, double *out)
{
    double length = (double)n;
    double middle = (length - 1) / 2;
    double squares = length * (length * length - 1) / 12;
    const four *first = (const four *)windows;
    four a = {0};
    four b = {0};
    four c = {0};
    four d = {0};
    four *slopes = (four *)out;
    for (size_t k = 0; k < n; k++) {
        const four *x = (const four *)(windows + k);
        double weight = (double)k - middle;
        a += weight * (x[0] - first[0]);
        b += weight * (x[1] - first[1]);
        c += weight * (x[2] - first[2]);
        d += weight * (x[3] - first[3]);
    }
    slopes[0] = a / squares;
    slopes[1] = b / squares;
    slopes[2] = c / squares;
    slopes[3] = d / squares;
}

void series_slope(const double *x, size_t first, size_t count, size_t n, double *out)
{
    size_t i = warm_up(x, first, count, n, out);
    for (; n >= 2 && i + BLOCK <= count; i += BLOCK)
        slope_block(x + i + 1 - n, n, out + i);
    for (; i < count; i++)
        out[i] = n >= 2 ? window_slope(x + i + 1 - n, n) : NAN;
}

static double window_slope_t(const double *window, size_t n)
{
    double length = (double)n;
    double middle = (length - 1) / 2;
    double slope = window_slope(window, n);
    double sum = 0;
    double squares = 0;
    for (size_t k = 0; k < n; k++)
        sum += window[k] - window[0];
    for (size_t k = 0; k < n; k++) {
        double fitted = sum / length + slope * ((double)k - middle);
        squares += (window[k] - window[0] - fitted) * (window[k] - window[0] - fitted);
    }
    return slope / sqrt(squares / (length - 2) / (length * (length * length - 1) / 12));
}

void series_slope_t(const double *x, size_t first, size_t count, size_t n, double *out)
{
    for (size_t i = warm_up(x, first, count, n, out); i < count; i++)
        out[i] = n >= 3 ? window_slope_t(x + i + 1 - n, n) : NAN;
}

/* Written with comparisons, which have vector instructions. */
LANES static void true_ranges(const double *restrict high, const double *restrict low,
                              const double *restrict close, size_t first, size_t count,
                              double *restrict out)
{
    for (size_t i = first; i < count; i++) {
        double range = high[i] - low[i];
        double above = fabs(high[i] - close[i - 1]);
        double below = fabs(low[i] - close[i - 1]);
        double gap = above > below ? above : below;
        out[i] = range > gap ? range : gap;
    }
}

void series_true_range(const struct bars *bars, size_t first, size_t count, double *out)
{
    if (first == 0 && count > 0)
        out[0] = bars->high[0] - bars->low[0];
    true_ranges(bars->high, bars->low, bars->close, first > 0 ? first : 1, count, out);
}

static double rsi_of(double up, double down)
{
    return up + down > 0 ? 100 * up / (up + down) : 50;
}

/* The first n changes; writes the value of bar n and the NaN before it. Returns
 * the index to go on with. */
static size_t start_rsi(const double *x, size_t first, size_t count, size_t n,
                        struct rsi_state *state, double *out)
{
    if (first > n)
        return first;
    *state = (struct rsi_state){0, 0};
    fill_undefined(out, first, count < n ? count : n);
    if (count <= n)
        return count;
    for (size_t i = 1; i <= n; i++) {
        double change = x[i] - x[i - 1];
        state->up += change > 0 ? change : 0;
        state->down += change < 0 ? -change : 0;
    }
    state->up /= (double)n;
    state->down /= (double)n;
    out[n] = rsi_of(state->up, state->down);
    return n + 1;
}

static void rsi_steps(const double *x, size_t first, size_t count, double length,
                      struct rsi_state *state, double *out)
{
    double up = state->up;
    double down = state->down;
    for (size_t i = first; i < count; i++) {
        double change = x[i] - x[i - 1];
        up = (up * (length - 1) + (change > 0 ? change : 0)) / length;
        down = (down * (length - 1) + (change < 0 ? -change : 0)) / length;
        out[i] = rsi_of(up, down);
    }
    *state = (struct rsi_state){up, down};
}

void series_rsi(const double *x, size_t first, size_t count, size_t n, struct rsi_state *state,
                double *out)
{
    size_t next = start_rsi(x, first, count, n, state, out);
    rsi_steps(x, next, count, (double)n, state, out);
}

LANES static void rsi_lanes(const double *const *x, double *const *out, size_t steps, double length,
                            struct rsi_state *const *states)
{
    double up[LANE_COUNT];
    double down[LANE_COUNT];
    double before[LANE_COUNT];
    for (int l = 0; l < LANE_COUNT; l++) {
        up[l] = states[l]->up;
        down[l] = states[l]->down;
        before[l] = x[l][-1];
    }
    for (size_t i = 0; i < steps; i++) {
        double now[LANE_COUNT] = {x[0][i], x[1][i], x[2][i], x[3][i]};
        double value[LANE_COUNT];
        for (int l = 0; l < LANE_COUNT; l++) {
            double change = now[l] - before[l];
            up[l] = (up[l] * (length - 1) + (change > 0 ? change : 0)) / length;
            down[l] = (down[l] * (length - 1) + (change < 0 ? -change : 0)) / length;
            double sum = up[l] + down[l];
            double share = 100 * up[l] / sum;
            value[l] = sum > 0 ? share : 50;
            before[l] = now[l];
        }
        for (int l = 0; l < LANE_COUNT; l++)
            out[l][i] = value[l];
    }
    for (int l = 0; l < LANE_COUNT; l++)
        *states[l] = (struct rsi_state){up[l], down[l]};
}

void series_rsi_lanes(const struct lane lanes[LANE_COUNT], size_t n,
                      struct rsi_state *const states[LANE_COUNT])
{
    const double *x[LANE_COUNT];
    double *out[LANE_COUNT];
    size_t left[LANE_COUNT];
    size_t steps = SIZE_MAX;
    for (int l = 0; l < LANE_COUNT; l++) {
        size_t next = start_rsi(lanes[l].x, lanes[l].first, lanes[l].count, n, states[l],
                                lanes[l].out);
        x[l] = lanes[l].x + next;
        out[l] = lanes[l].out + next;
        left[l] = lanes[l].count - next;
        steps = left[l] < steps ? left[l] : steps;
    }
    if (steps > 0)
        rsi_lanes(x, out, steps, (double)n, states);
    for (int l = 0; l < LANE_COUNT; l++)
        rsi_steps(lanes[l].x, lanes[l].count - left[l] + steps, lanes[l].count, (double)n,
                  states[l], lanes[l].out);
}
