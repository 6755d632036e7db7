#include "market/bars.h"

#include "base/array.h"
#include "base/lanes.h"
#include "base/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { COLUMN_COUNT = 5 };

void bars_init(struct bars *bars)
{
    *bars = (struct bars){0};
}

void bars_free(struct bars *bars)
{
    /* One block: the time column leads, the prices follow. */
    free(bars->time);
    free(bars->scales);
    bars_init(bars);
}

/* Lays the columns out in one block of `capacity` rows and copies the rows
 * there are. */
static int grow(struct bars *bars, size_t capacity, struct error *error)
{
    if (capacity > SIZE_MAX / 2 / sizeof(double) / (COLUMN_COUNT + 1))
        return error_memory(error);
    char *block = malloc(capacity * (sizeof(int64_t) + COLUMN_COUNT * sizeof(double)));
    if (block == NULL)
        return error_memory(error);
    int64_t *time = (int64_t *)(void *)block;
    double *columns = (double *)(void *)(time + capacity);
    double *old[COLUMN_COUNT] = {bars->open, bars->high, bars->low, bars->close, bars->volume};
    if (bars->count > 0)
        memcpy(time, bars->time, bars->count * sizeof *time);
    for (size_t i = 0; i < COLUMN_COUNT && bars->count > 0; i++)
        memcpy(columns + i * capacity, old[i], bars->count * sizeof(double));
    free(bars->time);
    bars->time = time;
    bars->open = columns;
    bars->high = columns + capacity;
    bars->low = columns + 2 * capacity;
    bars->close = columns + 3 * capacity;
    bars->volume = columns + 4 * capacity;
    bars->capacity = capacity;
    return ERROR_NONE;
}

int bars_reserve(struct bars *bars, size_t capacity, struct error *error)
{
    if (capacity <= bars->capacity)
        return ERROR_NONE;
    size_t doubled = bars->capacity <= SIZE_MAX / 2 ? bars->capacity * 2 : capacity;
    return grow(bars, capacity > doubled ? capacity : doubled, error);
}

int bars_append_range(struct bars *bars, const struct bars *more, size_t first, size_t last,
                      struct error *error)
{
    size_t count = last > first ? last - first : 0;
    size_t at = bars->count;
    int code = bars_reserve(bars, at + count, error);
    if (code != ERROR_NONE || count == 0)
        return code;
    memcpy(bars->time + at, more->time + first, count * sizeof(int64_t));
    memcpy(bars->open + at, more->open + first, count * sizeof(double));
    memcpy(bars->high + at, more->high + first, count * sizeof(double));
    memcpy(bars->low + at, more->low + first, count * sizeof(double));
    memcpy(bars->close + at, more->close + first, count * sizeof(double));
    memcpy(bars->volume + at, more->volume + first, count * sizeof(double));
    bars->count += count;
    return ERROR_NONE;
}

int bars_append(struct bars *bars, const struct bar *bar, struct error *error)
{
    if (bars->count == bars->capacity) {
        int code = grow(bars, bars->capacity > 0 ? bars->capacity * 2 : 64, error);
        if (code != ERROR_NONE)
            return code;
    }
    size_t i = bars->count++;
    bars->time[i] = bar->time;
    bars->open[i] = bar->open;
    bars->high[i] = bar->high;
    bars->low[i] = bar->low;
    bars->close[i] = bar->close;
    bars->volume[i] = bar->volume;
    return ERROR_NONE;
}

void bars_reverse(struct bars *bars)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close, bars->volume};
    for (size_t i = 0; i < bars->count / 2; i++) {
        size_t j = bars->count - 1 - i;
        int64_t time = bars->time[i];
        bars->time[i] = bars->time[j];
        bars->time[j] = time;
        for (size_t c = 0; c < COLUMN_COUNT; c++) {
            double value = columns[c][i];
            columns[c][i] = columns[c][j];
            columns[c][j] = value;
        }
    }
}

struct bar bars_at(const struct bars *bars, size_t i)
{
    return (struct bar){bars->time[i], bars->open[i],  bars->high[i],
                        bars->low[i],  bars->close[i], bars->volume[i]};
}

size_t bars_complete(const struct bars *bars)
{
    return bars->count - (bars->last_is_partial && bars->count > 0);
}

const char *bar_fault(const struct bar *bar, char reason[BAR_REASON_SIZE])
{
    const struct {
        const char *name;
        double value;
    } prices[] = {{"open", bar->open},
                  {"high", bar->high},
                  {"low", bar->low},
                  {"close", bar->close}};
    char a[NUMBER_TEXT_SIZE];
    char b[NUMBER_TEXT_SIZE];
    for (int i = 0; i < 4; i++) {
        if (isfinite(prices[i].value))
            continue;
        number_format(a, prices[i].value);
        snprintf(reason, BAR_REASON_SIZE, "%s is %s, not a finite number", prices[i].name,
                 a[0] != '\0' ? a : "missing");
        return reason;
    }
    for (int i = 0; i < 4; i++) {
        bool above = prices[i].value > bar->high;
        bool below = prices[i].value < bar->low;
        if (!above && !below)
            continue;
        number_format(a, above ? bar->high : bar->low);
        number_format(b, prices[i].value);
        snprintf(reason, BAR_REASON_SIZE,
                 above ? "high %s is below %s %s" : "low %s is above %s %s", a, prices[i].name, b);
        return reason;
    }
    return NULL;
}

size_t bars_find(const struct bars *bars, int64_t time)
{
    size_t low = 0;
    size_t high = bars->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (bars->time[middle] < time)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

int bars_set_scales(struct bars *bars, const struct price_scale *scales, size_t count,
                    struct error *error)
{
    if (count == 0)
        return ERROR_NONE;
    bars->scales = array_new(count, sizeof *bars->scales);
    if (bars->scales == NULL)
        return error_memory(error);
    memcpy(bars->scales, scales, count * sizeof *scales);
    bars->scale_count = count;
    return ERROR_NONE;
}

int bars_slice(struct bars *copy, const struct bars *bars, size_t first, size_t last,
               struct error *error)
{
    bars_init(copy);
    copy->interval = bars->interval;
    copy->last_is_partial = bars->last_is_partial && last == bars->count && first < last;
    if (first >= last)
        return ERROR_NONE;
    int code = bars_set_scales(copy, bars->scales, bars->scale_count, error);
    if (code == ERROR_NONE)
        code = grow(copy, last - first, error);
    if (code != ERROR_NONE) {
        bars_free(copy);
        return code;
    }
    copy->count = last - first;
    memcpy(copy->time, bars->time + first, copy->count * sizeof *copy->time);
    memcpy(copy->open, bars->open + first, copy->count * sizeof(double));
    memcpy(copy->high, bars->high + first, copy->count * sizeof(double));
    memcpy(copy->low, bars->low + first, copy->count * sizeof(double));
    memcpy(copy->close, bars->close + first, copy->count * sizeof(double));
    memcpy(copy->volume, bars->volume + first, copy->count * sizeof(double));
    return ERROR_NONE;
}

struct bars bars_window(const struct bars *bars, size_t first, size_t last)
{
    struct bars window = {
        .count = last - first,
        .interval = bars->interval,
        .last_is_partial = bars->last_is_partial && last == bars->count && first < last,
    };
    if (first == last)
        return window;
    window.time = bars->time + first;
    window.open = bars->open + first;
    window.high = bars->high + first;
    window.low = bars->low + first;
    window.close = bars->close + first;
    window.volume = bars->volume + first;
    return window;
}

int bars_mirror(struct bars *copy, const struct bars *bars, struct error *error)
{
    int code = bars_slice(copy, bars, 0, bars->count, error);
    if (code != ERROR_NONE)
        return code;
    for (size_t i = 0; i < bars->count; i++) {
        copy->open[i] = -bars->open[i];
        copy->high[i] = -bars->low[i];
        copy->low[i] = -bars->high[i];
        copy->close[i] = -bars->close[i];
    }
    for (size_t i = 0; i < copy->scale_count; i++)
        copy->scales[i].shift = -copy->scales[i].shift;
    return ERROR_NONE;
}
