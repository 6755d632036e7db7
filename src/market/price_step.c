#include "market/price_step.h"

#include "base/lanes.h"

#include <float.h>
#include <math.h>

enum { MOST_PLACES = 10 };

/* Decimal places that a price needs, at least `places`; MOST_PLACES + 1 where
 * none suffice. */
static int places_needed(double price, int places)
{
    double scale = pow(10, places);
    for (; places <= MOST_PLACES; places++, scale *= 10)
        if (fabs(price * scale - round(price * scale)) <= 1e-9 * fmax(1, fabs(price)))
            break;
    return places;
}

static int64_t greatest_common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

/* Prices looked at together. */
enum { STEP_BLOCK = 256 };

/* Whether all of a few prices have no more places than the scale; one at a half
 * is far from both its neighbours, so that it does not matter which it goes to. */
LANES static bool all_on_scale(const double *prices, size_t count, double scale)
{
    int off = 0;
    for (size_t i = 0; i < count; i++) {
        double size = fabs(prices[i]);
        double scaled = prices[i] * scale;
        off |= !(fabs(scaled - rint(scaled)) <= 1e-9 * (size > 1 ? size : 1));
    }
    return !off;
}

static int places_of_column(const double *prices, size_t count, int places)
{
    for (size_t first = 0; first < count && places <= MOST_PLACES; first += STEP_BLOCK) {
        size_t size = count - first < STEP_BLOCK ? count - first : STEP_BLOCK;
        if (all_on_scale(prices + first, size, pow(10, places)))
            continue;
        for (size_t i = first; i < first + size && places <= MOST_PLACES; i++)
            places = places_needed(prices[i], places);
    }
    return places;
}

double bars_smallest_step(const struct bars *bars)
{
    const double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    int places = 0;
    for (int c = 0; c < 4; c++)
        places = places_of_column(columns[c], bars->count, places);
    if (places > MOST_PLACES)
        return pow(10, -MOST_PLACES);
    double scale = pow(10, places);
    int64_t step = 0;
    /* A step of 1 stays, and it is what prices too far apart would give. */
    for (int c = 0; c < 4; c++) {
        for (size_t i = 0; i < bars->count && step != 1; i++) {
            double apart = (columns[c][i] - bars->open[0]) * scale;
            if (fabs(apart) > 9e15)
                return 1 / scale;
            step = greatest_common_divisor(step, (int64_t)llround(apart));
        }
    }
    return (double)(step > 0 ? step : 1) / scale;
}

/* One bar in so many may have digits of its own. */
enum { BARS_A_STRAY = 50 };
/* Fewer bars that move tell nothing about single precision. */
enum { LEAST_MOVING = 20 };
static const double MOST_STEPS = 1e8;

/* What a price may be beside the grid, as a share of its own size, and the most
 * of a step that this may come to before it would say nothing. */
struct dust {
    double share;
    double most;
};
static const struct dust binary = {4 * DBL_EPSILON, 1e-3};
static const struct dust single = {FLT_EPSILON * 0.51, 0.1};

/* Bars that differ from the close before: those that stand still tell nothing. */
static size_t count_moving(const struct bars *bars)
{
    size_t moving = 0;
    for (size_t i = 1; i < bars->count; i++) {
        double before = bars->close[i - 1];
        moving += bars->open[i] != before || bars->high[i] != before || bars->low[i] != before ||
                  bars->close[i] != before;
    }
    return moving;
}

static bool lies_on(double price, double base, double step, const struct dust *dust)
{
    double quotient = (price - base) / step;
    double allowed = dust->share * (fabs(price) + fabs(base)) / step + 1e-6;
    return allowed <= dust->most && fabs(quotient - rint(quotient)) <= allowed;
}

/* Bars beside the grid through `base`; no more than most + 1 are counted. */
static size_t count_beside(const struct bars *bars, double base, double step,
                           const struct dust *dust, size_t most)
{
    size_t beside = 0;
    for (size_t i = 0; i < bars->count && beside <= most; i++)
        beside += !lies_on(bars->open[i], base, step, dust) ||
                  !lies_on(bars->high[i], base, step, dust) ||
                  !lies_on(bars->low[i], base, step, dust) ||
                  !lies_on(bars->close[i], base, step, dust);
    return beside;
}

/* Any one price may be a stray, so that three are tried. */
static size_t count_strays(const struct bars *bars, double step, const struct dust *dust,
                           size_t most)
{
    const double bases[] = {bars->open[0], bars->close[bars->count / 2],
                            bars->close[bars->count - 1]};
    size_t least = SIZE_MAX;
    for (size_t b = 0; b < sizeof bases / sizeof bases[0] && least > most; b++) {
        size_t beside = count_beside(bars, bases[b], step, dust, most);
        least = beside < least ? beside : least;
    }
    return least;
}

/* Goes on to wider steps as long as they hold. */
static void widen(const struct bars *bars, struct likely_step *likely, const struct dust *dust,
                  size_t most)
{
    static const double factors[] = {2, 5};
    for (int f = 0; f < 2;) {
        struct tick wider;
        if (!tick_from_number(&wider, likely->tick.value * factors[f])) {
            f++;
            continue;
        }
        size_t beside = count_strays(bars, wider.value, dust, most);
        if (beside > most)
            f++;
        else
            *likely = (struct likely_step){wider, beside};
    }
}

/* From the widest decimal unit on which prices with such dust lie. */
static bool find_unit(const struct bars *bars, struct likely_step *likely, const struct dust *dust,
                      size_t most)
{
    for (int places = 0; places <= MOST_PLACES; places++) {
        double unit = pow(10, -places);
        size_t beside = count_strays(bars, unit, dust, most);
        if (beside > most || !tick_from_number(&likely->tick, unit))
            continue;
        likely->beside = beside;
        widen(bars, likely, dust, most);
        return true;
    }
    return false;
}

static bool is_believable(const struct bars *bars, const struct likely_step *likely)
{
    double largest = 0;
    for (size_t i = 0; i < bars->count; i++)
        largest = fmax(largest, fmax(fabs(bars->high[i]), fabs(bars->low[i])));
    return largest <= MOST_STEPS * likely->tick.value;
}

bool bars_likely_step(const struct bars *bars, struct likely_step *likely)
{
    struct likely_step found = {0};
    if (bars->count == 0 || !tick_from_number(&found.tick, bars_smallest_step(bars)))
        return false;
    size_t moving = count_moving(bars);
    size_t most = moving / BARS_A_STRAY;
    if (most > 0)
        widen(bars, &found, &binary, most);
    if (!is_believable(bars, &found) &&
        (moving < LEAST_MOVING ||
         (!find_unit(bars, &found, &binary, most) && !find_unit(bars, &found, &single, most)) ||
         !is_believable(bars, &found)))
        return false;
    *likely = found;
    return true;
}
