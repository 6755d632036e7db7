#include "market/scale.h"

#include "base/array.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

const struct price_scale *bars_scale(const struct bars *bars, int64_t time)
{
    size_t low = 0;
    size_t high = bars->scale_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (bars->scales[middle].before <= time)
            low = middle + 1;
        else
            high = middle;
    }
    return low < bars->scale_count ? &bars->scales[low] : NULL;
}

/* The double nearest to the decimal of nine places that a price is, but for the
 * rounding of a sum of this size; any other price as it is. */
static double to_decimal(double price, double size)
{
    static const double places = 1e9;
    static const double most = 4e6; /* beyond it a double has no nine places left */
    double nearest = round(price * places) / places;
    return size < most && fabs(nearest - price) <= 4 * DBL_EPSILON * size ? nearest : price;
}

double scale_to_view(const struct price_scale *scale, double traded)
{
    if (scale == NULL)
        return traded;
    double size = (fabs(traded) + fabs(scale->shift)) / scale->split;
    return to_decimal((traded + scale->shift) / scale->split, size) * scale->share;
}

double scale_to_traded(const struct price_scale *scale, double price)
{
    return scale != NULL ? price * scale->split / scale->share - scale->shift : price;
}

double bars_traded(const struct bars *bars, size_t index, double price)
{
    return scale_to_traded(bars_scale(bars, bars->time[index]), price);
}

double bars_viewed(const struct bars *bars, size_t index, double traded)
{
    return scale_to_view(bars_scale(bars, bars->time[index]), traded);
}

double bars_viewed_length(const struct bars *bars, size_t index, double length)
{
    const struct price_scale *scale = bars_scale(bars, bars->time[index]);
    return scale != NULL ? length * scale->share / scale->split : length;
}

double bars_round_up(const struct bars *bars, size_t index, const struct tick *tick, double price)
{
    const struct price_scale *scale = bars_scale(bars, bars->time[index]);
    if (!(tick->value > 0))
        return price;
    return scale_to_view(scale, tick_round_up(tick, scale_to_traded(scale, price)));
}

double bars_round_down(const struct bars *bars, size_t index, const struct tick *tick, double price)
{
    const struct price_scale *scale = bars_scale(bars, bars->time[index]);
    if (!(tick->value > 0))
        return price;
    return scale_to_view(scale, tick_round_down(tick, scale_to_traded(scale, price)));
}

int bars_apply_scales(struct bars *bars, const struct price_scale *scales, size_t count,
                      struct error *error)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    int code = bars_set_scales(bars, scales, count, error);
    size_t first = 0;
    for (size_t s = 0; s < count && code == ERROR_NONE; s++) {
        size_t end = bars_find(bars, scales[s].before);
        for (int c = 0; c < 4; c++)
            for (size_t i = first; i < end; i++)
                columns[c][i] = scale_to_view(&scales[s], columns[c][i]);
        for (size_t i = first; i < end && scales[s].split != 1; i++)
            bars->volume[i] *= scales[s].split;
        first = end;
    }
    return code;
}
