#include "structure/swings.h"

#include "base/array.h"
#include "candles/anatomy.h"

#include <math.h>
#include <stdlib.h>

static bool is_swing_high(const double *high, size_t i, size_t k)
{
    for (size_t j = 1; j <= k; j++)
        if (!(high[i] > high[i - j]) || high[i] < high[i + j])
            return false;
    return true;
}

static bool is_swing_low(const double *low, size_t i, size_t k)
{
    for (size_t j = 1; j <= k; j++)
        if (!(low[i] < low[i - j]) || low[i] > low[i + j])
            return false;
    return true;
}

static void swings_free(void *data)
{
    struct swings *swings = data;
    free(swings->high);
    free(swings->low);
    free(swings);
}

static struct swings *find_swings(struct sheet *sheet, size_t k)
{
    const struct bars *bars = sheet_bars(sheet);
    size_t count = sheet_count(sheet);
    struct swings *swings = calloc(1, sizeof *swings);
    if (swings == NULL)
        return NULL;
    size_t room = count / 2 + 1;
    swings->strength = k;
    swings->high = array_new(room, sizeof *swings->high);
    swings->low = array_new(room, sizeof *swings->low);
    if (swings->high == NULL || swings->low == NULL) {
        swings_free(swings);
        return NULL;
    }
    for (size_t i = k; i + k < count; i++) {
        if (is_swing_high(bars->high, i, k))
            swings->high[swings->high_count++] = i;
        if (is_swing_low(bars->low, i, k))
            swings->low[swings->low_count++] = i;
    }
    return swings;
}

const struct swings *swings_of(struct sheet *sheet, size_t strength)
{
    static const char owner;
    const double key[PARAMETER_LIMIT] = {(double)strength};
    struct swings *swings = sheet_kept(sheet, &owner, key);
    if (swings != NULL)
        return swings;
    swings = find_swings(sheet, strength);
    if (swings == NULL) {
        sheet_fail(sheet);
        return NULL;
    }
    return sheet_keep(sheet, &owner, key, swings, swings_free) ? swings : NULL;
}

size_t swings_known(const size_t *list, size_t count, size_t strength, size_t at)
{
    size_t low = 0;
    size_t high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (list[middle] + strength <= at)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

size_t newest_swing_high(struct sheet *sheet, size_t strength, size_t at)
{
    const struct swings *swings = swings_of(sheet, strength);
    if (swings == NULL)
        return SIZE_MAX;
    size_t known = swings_known(swings->high, swings->high_count, strength, at);
    return known > 0 ? swings->high[known - 1] : SIZE_MAX;
}

size_t newest_swing_low(struct sheet *sheet, size_t strength, size_t at)
{
    const struct swings *swings = swings_of(sheet, strength);
    if (swings == NULL)
        return SIZE_MAX;
    size_t known = swings_known(swings->low, swings->low_count, strength, at);
    return known > 0 ? swings->low[known - 1] : SIZE_MAX;
}

double trend_line_price(const struct trend_line *line, size_t at)
{
    double steps = (double)at - (double)line->first;
    double width = (double)line->second - (double)line->first;
    return line->first_price + (line->second_price - line->first_price) * steps / width;
}

bool falling_trend_line(struct sheet *sheet, size_t bars, size_t strength, size_t at,
                        struct trend_line *line)
{
    const struct swings *swings = swings_of(sheet, strength);
    const struct bars *data = sheet_bars(sheet);
    if (swings == NULL)
        return false;
    size_t known = swings_known(swings->high, swings->high_count, strength, at);
    if (known < 2)
        return false;
    line->first = swings->high[known - 2];
    line->second = swings->high[known - 1];
    line->first_price = data->high[line->first];
    line->second_price = data->high[line->second];
    if (line->first + bars <= at || line->second_price >= line->first_price)
        return false;
    for (size_t i = line->second + 1; i <= at; i++) {
        double price = trend_line_price(line, i);
        if (above(data->close[i], price, price_tolerance(data, i, i)) == TRUTH_YES)
            return false;
    }
    return true;
}

/* Whether the low of `at` is not above the lows of the k bars before it. */
static bool at_the_bottom(const struct bars *bars, size_t k, size_t at)
{
    if (at < k)
        return false;
    for (size_t j = 1; j <= k; j++)
        if (bars->low[at - j] < bars->low[at])
            return false;
    return true;
}

bool newest_two_lows(struct sheet *sheet, size_t bars, size_t strength, size_t at, size_t *older,
                     size_t *newer)
{
    const struct swings *swings = swings_of(sheet, strength);
    if (swings == NULL)
        return false;
    size_t known = swings_known(swings->low, swings->low_count, strength, at);
    size_t newest[3];
    size_t count = 0;
    if (at_the_bottom(sheet_bars(sheet), strength, at))
        newest[count++] = at;
    for (size_t i = 0; i < 2 && i < known; i++)
        if (swings->low[known - 1 - i] + bars > at)
            newest[count++] = swings->low[known - 1 - i];
    if (count < 2)
        return false;
    *newer = newest[0];
    *older = newest[1];
    return true;
}

bool fall_before(struct sheet *sheet, size_t bars, size_t at, struct fall *fall)
{
    const struct bars *data = sheet_bars(sheet);
    if (at < bars || bars == 0)
        return false;
    fall->high_bar = at - bars;
    for (size_t i = at - bars; i < at; i++)
        if (data->high[i] >= data->high[fall->high_bar])
            fall->high_bar = i;
    fall->low_bar = fall->high_bar + 1;
    for (size_t i = fall->high_bar + 1; i <= at; i++)
        if (data->low[i] < data->low[fall->low_bar])
            fall->low_bar = i;
    fall->high = data->high[fall->high_bar];
    fall->low = data->low[fall->low_bar];
    return true;
}

double exact_ratio(double ratio)
{
    const double phi = (1 + sqrt(5)) / 2;
    const struct {
        double named;
        double exact;
    } golden[] = {
        {0.236, 1 / (phi * phi * phi)}, {0.382, 1 - 1 / phi}, {0.618, 1 / phi},
        {0.786, sqrt(1 / phi)},         {1.272, sqrt(phi)},   {1.618, phi},
    };
    for (size_t i = 0; i < sizeof golden / sizeof golden[0]; i++)
        if (ratio == golden[i].named)
            return golden[i].exact;
    return ratio;
}

double fall_level(const struct fall *fall, double ratio)
{
    return fall->low + exact_ratio(ratio) * (fall->high - fall->low);
}
