/* Structure of section 4: swings, trend lines, level zones, retracements.  Long rows only; a mirror
 * is asked by handing in negated bars. */
#include "naive_internal.h"

#include <stdlib.h>

/* "Swing high(k) at i: H[i] greater than each of the k highs before it, and not less than each of
 * the k after."  Prices as given.  The caller sees to i+k being known. */
bool naive_is_swing_high(const struct naive_bars *bars, size_t k, size_t i)
{
    if (k == 0 || i < k || i + k >= bars->count) {
        return false;
    }
    for (size_t step = 1; step <= k; step++) {
        if (!(bars->high[i] > bars->high[i - step])) {
            return false;
        }
        if (bars->high[i] < bars->high[i + step]) {
            return false;
        }
    }
    return true;
}

/* "Swing low: mirror." */
bool naive_is_swing_low(const struct naive_bars *bars, size_t k, size_t i)
{
    if (k == 0 || i < k || i + k >= bars->count) {
        return false;
    }
    for (size_t step = 1; step <= k; step++) {
        if (!(bars->low[i] < bars->low[i - step])) {
            return false;
        }
        if (bars->low[i] > bars->low[i + step]) {
            return false;
        }
    }
    return true;
}

/* "Known at i+k." */
size_t naive_newest_swing_high(const struct naive_bars *bars, size_t k, size_t known_at)
{
    size_t newest = NAIVE_NONE;
    for (size_t i = 0; i + k <= known_at; i++) {
        if (naive_is_swing_high(bars, k, i)) {
            newest = i;
        }
    }
    return newest;
}

size_t naive_newest_swing_low(const struct naive_bars *bars, size_t k, size_t known_at)
{
    size_t newest = NAIVE_NONE;
    for (size_t i = 0; i + k <= known_at; i++) {
        if (naive_is_swing_low(bars, k, i)) {
            newest = i;
        }
    }
    return newest;
}

/* --- falling trend line ----------------------------------------------------------------------*/

double naive_trend_line_price(const struct trend_line *line, size_t bar)
{
    double step = (line->newer_price - line->older_price) / (double)(line->newer - line->older);
    return line->older_price + step * ((double)bar - (double)line->older);
}

/* "void at t if any close in (P2, t] lies above it"; the line is a computed price: a close lies above
 * it only if it exceeds the tolerance of its bar. */
static bool closed_above(const struct naive_bars *bars, const struct trend_line *line, size_t t)
{
    for (size_t i = line->newer + 1; i <= t; i++) {
        if (exceeds(bars->close[i], naive_trend_line_price(line, i),
                    naive_tolerance_of_bar(bars, i))) {
            return true;
        }
    }
    return false;
}

/* "through the two newest swing highs known at t with index >= t-n+1, older P1, newer P2,
 * H[P2] < H[P1]" (two prices as given) */
struct trend_line naive_falling_trend_line_at(const struct naive_bars *bars, size_t window,
                                              size_t k, size_t t)
{
    struct trend_line line = {.exists = false};
    size_t older = NAIVE_NONE;
    size_t newer = NAIVE_NONE;
    for (size_t i = t + 1 >= window ? t + 1 - window : 0; i + k <= t; i++) {
        if (naive_is_swing_high(bars, k, i)) {
            older = newer;
            newer = i;
        }
    }
    if (older == NAIVE_NONE || newer == NAIVE_NONE) {
        return line;
    }
    line.older = older;
    line.newer = newer;
    line.older_price = bars->high[older];
    line.newer_price = bars->high[newer];
    line.exists = line.newer_price < line.older_price && !closed_above(bars, &line, t);
    return line;
}

/* --- level zones -----------------------------------------------------------------------------*/

static int by_price(const void *left, const void *right)
{
    double a = *(const double *)left;
    double b = *(const double *)right;
    return (a > b) - (a < b);
}

/* "the prices of all swing highs and lows known at t with index >= t-n+1, ascending, each swing one
 * member" */
static size_t swing_prices(const struct naive_bars *bars, size_t first, size_t k, size_t t,
                           double *prices)
{
    size_t count = 0;
    for (size_t i = first; i + k <= t; i++) {
        if (naive_is_swing_high(bars, k, i)) {
            prices[count++] = bars->high[i];
        }
        if (naive_is_swing_low(bars, k, i)) {
            prices[count++] = bars->low[i];
        }
    }
    qsort(prices, count, sizeof *prices, by_price);
    return count;
}

/* "the closest pair of neighbours whose gap is < w*ATR[t] and whose joined span is <= 2*w*ATR[t] (the
 * lower pair, if tied)": a gap is smaller than another only if it exceeds the tolerance. */
static size_t closest_pair(const struct level *zones, size_t count, double width, double tolerance)
{
    size_t best = NAIVE_NONE;
    double best_gap = NAN;
    for (size_t i = 0; i + 1 < count; i++) {
        double gap = zones[i + 1].lower - zones[i].upper;
        double span = zones[i + 1].upper - zones[i].lower;
        if (!falls_short(gap, width, tolerance) || !at_most(span, 2.0 * width, tolerance)) {
            continue;
        }
        if (best == NAIVE_NONE || falls_short(gap, best_gap, tolerance)) {
            best = i;
            best_gap = gap;
        }
    }
    return best;
}

static size_t join(struct level *zones, size_t count, size_t lower)
{
    zones[lower].upper = zones[lower + 1].upper;
    zones[lower].members += zones[lower + 1].members;
    for (size_t i = lower + 1; i + 1 < count; i++) {
        zones[i] = zones[i + 1];
    }
    return count - 1;
}

struct level *naive_levels_at(const struct naive_bars *bars, size_t window, size_t k,
                              double width_atr, size_t touches, size_t t, size_t *count)
{
    double width = width_atr * naive_atr14(bars, t);
    if (isnan(width)) {
        *count = NAIVE_NONE;
        return NULL;
    }
    size_t first = t + 1 >= window ? t + 1 - window : 0;
    double tolerance = naive_tolerance_over(bars, first, t);
    double *prices = calloc(2 * (t + 1 - first) + 1, sizeof *prices);
    struct level *zones = calloc(2 * (t + 1 - first) + 1, sizeof *zones);
    if (prices == NULL || zones == NULL) {
        abort();
    }
    size_t zone_count = swing_prices(bars, first, k, t, prices);
    for (size_t i = 0; i < zone_count; i++) {
        zones[i] = (struct level){prices[i], prices[i], 1};
    }
    free(prices);
    for (size_t pair = closest_pair(zones, zone_count, width, tolerance); pair != NAIVE_NONE;
         pair = closest_pair(zones, zone_count, width, tolerance)) {
        zone_count = join(zones, zone_count, pair);
    }
    /* "A zone with at least m members is a level" */
    size_t kept = 0;
    for (size_t i = 0; i < zone_count; i++) {
        if (zones[i].members >= touches) {
            zones[kept++] = zones[i];
        }
    }
    *count = kept;
    return zones;
}

size_t naive_levels(const struct naive_bars *bars, bool mirrored, size_t window, size_t swing,
                    double width_atr, size_t touches, size_t t, double *edges, size_t room)
{
    struct owned_bars *used = mirrored ? naive_bars_negated(bars) : naive_bars_copied(bars);
    size_t count = 0;
    struct level *levels = naive_levels_at(&used->view, window, swing, width_atr, touches, t,
                                           &count);
    size_t written = 0;
    for (size_t i = 0; levels != NULL && i < count && written < room; i++) {
        edges[2 * written] = mirrored ? -levels[i].upper : levels[i].lower;
        edges[2 * written + 1] = mirrored ? -levels[i].lower : levels[i].upper;
        written += 1;
    }
    free(levels);
    naive_bars_free(used);
    return written;
}

/* --- retracement of a fall -------------------------------------------------------------------*/

/* "from the highest high of the n bars before t (the latest, if tied) down to the lowest low of the
 * bars after that high up to t; undefined with fewer than n bars before t" */
struct measured_fall naive_fall_before(const struct naive_bars *bars, size_t window, size_t t)
{
    struct measured_fall fall = {.defined = false, .high = NAN, .low = NAN};
    if (window == 0 || t < window) {
        return fall;
    }
    size_t top = t - window;
    for (size_t i = t - window; i < t; i++) {
        if (bars->high[i] >= bars->high[top]) {
            top = i;
        }
    }
    fall.high = bars->high[top];
    fall.low = bars->low[top + 1];
    for (size_t i = top + 1; i <= t; i++) {
        fall.low = bars->low[i] < fall.low ? bars->low[i] : fall.low;
    }
    fall.defined = true;
    return fall;
}

/* "Named ratios ... stand for the exact numbers, any other is itself" */
static double exact_ratio(double ratio)
{
    double phi = (1.0 + sqrt(5.0)) / 2.0;
    const double named[7] = {0.236, 0.382, 0.5, 0.618, 0.786, 1.272, 1.618};
    const double exact[7] = {1.0 / (phi * phi * phi), 1.0 - 1.0 / phi, 0.5, 1.0 / phi,
                             sqrt(1.0 / phi),         sqrt(phi),       phi};
    for (size_t i = 0; i < 7; i++) {
        if (fabs(ratio - named[i]) < 1e-12) {
            return exact[i];
        }
    }
    return ratio;
}

/* "Level r is low + r*(high-low)"; "extension e is low + e*(high-low)" */
double naive_fall_level(const struct measured_fall *fall, double ratio)
{
    return fall->low + exact_ratio(ratio) * (fall->high - fall->low);
}
