#include "measures/series.h"

#include <math.h>

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

/* Writes NaN up to the end of the warm-up of a window of n values and returns
 * the index of the first full window's last value (count if there is none). */
static size_t warm_up(const double *x, size_t count, size_t n, double *out)
{
    size_t first = first_defined(x, count);
    size_t start = count - first < n ? count : first + n - 1;
    fill_undefined(out, 0, start);
    return start;
}

void series_mean(const double *x, size_t count, size_t n, double *out)
{
    for (size_t i = warm_up(x, count, n, out); i < count; i++)
        out[i] = fresh_mean(x + i + 1 - n, n);
}

void series_exponential_mean(const double *x, size_t count, size_t n, double *out)
{
    size_t start = warm_up(x, count, n, out);
    if (start == count)
        return;
    double weight = 2 / ((double)n + 1);
    double mean = fresh_mean(x + start + 1 - n, n);
    out[start] = mean;
    for (size_t i = start + 1; i < count; i++)
        out[i] = mean = mean + weight * (x[i] - mean);
}

void series_wilder_mean(const double *x, size_t count, size_t n, double *out)
{
    size_t start = warm_up(x, count, n, out);
    if (start == count)
        return;
    double length = (double)n;
    double mean = fresh_mean(x + start + 1 - n, n);
    out[start] = mean;
    for (size_t i = start + 1; i < count; i++)
        out[i] = mean = (mean * (length - 1) + x[i]) / length;
}

void series_deviation(const double *x, size_t count, size_t n, double *out)
{
    for (size_t i = warm_up(x, count, n, out); i < count; i++) {
        const double *window = x + i + 1 - n;
        double mean = fresh_mean(window, n);
        double squares = 0;
        for (size_t k = 0; k < n; k++)
            squares += (window[k] - mean) * (window[k] - mean);
        out[i] = sqrt(squares / (double)n);
    }
}

/* The queue holds indices whose values fall strictly (for the highest): the
 * front is the window's extreme, a newcomer drives out what it surpasses. */
static void window_extreme(const double *x, size_t count, size_t n, double sign, size_t *queue,
                           double *out)
{
    size_t start = warm_up(x, count, n, out);
    size_t head = 0;
    size_t tail = 0;
    if (start == count)
        return;
    for (size_t i = start + 1 - n; i < count; i++) {
        while (tail > head && sign * x[queue[tail - 1]] <= sign * x[i])
            tail--;
        queue[tail++] = i;
        if (queue[head] + n <= i)
            head++;
        if (i >= start)
            out[i] = x[queue[head]];
    }
}

void series_highest(const double *x, size_t count, size_t n, size_t *queue, double *out)
{
    window_extreme(x, count, n, 1, queue, out);
}

void series_lowest(const double *x, size_t count, size_t n, size_t *queue, double *out)
{
    window_extreme(x, count, n, -1, queue, out);
}

/* Slope of a window on 0..n-1, about its first value and the middle of
 * 0..n-1, so that a large offset costs no digits. */
static double window_slope(const double *window, size_t n)
{
    double length = (double)n;
    double middle = (length - 1) / 2;
    double products = 0;
    for (size_t k = 0; k < n; k++)
        products += ((double)k - middle) * (window[k] - window[0]);
    return products / (length * (length * length - 1) / 12);
}

void series_slope(const double *x, size_t count, size_t n, double *out)
{
    for (size_t i = warm_up(x, count, n, out); i < count; i++)
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

void series_slope_t(const double *x, size_t count, size_t n, double *out)
{
    for (size_t i = warm_up(x, count, n, out); i < count; i++)
        out[i] = n >= 3 ? window_slope_t(x + i + 1 - n, n) : NAN;
}

void series_true_range(const struct bars *bars, size_t count, double *out)
{
    for (size_t i = 0; i < count; i++) {
        double range = bars->high[i] - bars->low[i];
        if (i > 0) {
            double before = bars->close[i - 1];
            range = fmax(range, fmax(fabs(bars->high[i] - before), fabs(bars->low[i] - before)));
        }
        out[i] = range;
    }
}

void series_rsi(const double *x, size_t count, size_t n, double *out)
{
    double length = (double)n;
    double up = 0;
    double down = 0;
    fill_undefined(out, 0, count < n ? count : n);
    for (size_t i = 1; i < count; i++) {
        double change = x[i] - x[i - 1];
        double gain = change > 0 ? change : 0;
        double loss = change < 0 ? -change : 0;
        if (i <= n) {
            up += gain;
            down += loss;
            if (i < n)
                continue;
            up /= length;
            down /= length;
        } else {
            up = (up * (length - 1) + gain) / length;
            down = (down * (length - 1) + loss) / length;
        }
        out[i] = up + down > 0 ? 100 * up / (up + down) : 50;
    }
}
