#include "market/longer.h"

#include "base/array.h"
#include "base/calendar.h"
#include "market/zone.h"

#include <math.h>
#include <stdlib.h>

static int64_t floor_to(int64_t value, int64_t step)
{
    int64_t rest = value % step;
    return value - (rest < 0 ? rest + step : rest);
}

static int64_t month_start(int64_t months)
{
    struct civil_time civil = {.year = (int)(months / 12), .month = (int)(months % 12) + 1, .day = 1};
    return civil_to_time(&civil);
}

/* Start and end, on the zone's own clock, of the bucket that holds `local`. */
static void bucket_of(int64_t local, struct interval interval, int64_t *start, int64_t *end)
{
    enum { MONDAY = -3 * SECONDS_PER_DAY }; /* 1969-12-29 */
    int64_t length = interval_seconds(interval);
    if (interval.unit == INTERVAL_MONTH) {
        struct civil_time civil;
        civil_from_time(&civil, local);
        int64_t months = floor_to(civil.year * 12 + civil.month - 1, interval.count);
        *start = month_start(months);
        *end = month_start(months + interval.count);
        return;
    }
    int64_t origin = interval.unit == INTERVAL_WEEK ? MONDAY : 0;
    *start = floor_to(local - origin, length) + origin;
    *end = *start + length;
}

/* The zone's clock at a bar's start; dates are already on it. */
static int64_t local_start(const struct bars *bars, size_t i, const char *zone)
{
    int64_t local = bars->time[i];
    if (!interval_is_dated(bars->interval))
        time_to_local(bars->time[i], zone, &local);
    return local;
}

int64_t bar_known_at(const struct bars *bars, size_t i, const char *zone)
{
    int64_t start = 0;
    int64_t end = 0;
    int64_t local = local_start(bars, i, zone);
    if (!interval_is_dated(bars->interval))
        return bars->time[i] + interval_seconds(bars->interval);
    bucket_of(local, bars->interval, &start, &end);
    /* A daily or longer bar ends at midnight of the session's zone; near
     * enough for ordering bars of one instrument. */
    return end;
}

static void merge(struct bars *longer, const struct bar *bar)
{
    size_t last = longer->count - 1;
    longer->high[last] = fmax(longer->high[last], bar->high);
    longer->low[last] = fmin(longer->low[last], bar->low);
    longer->close[last] = bar->close;
    longer->volume[last] += bar->volume;
}

/* UTC second of a moment on the zone's clock, by the shift at bar i. */
static int64_t to_utc(const struct bars *bars, size_t i, const char *zone, int64_t local)
{
    return interval_is_dated(bars->interval) ? local
                                             : local - (local_start(bars, i, zone) - bars->time[i]);
}

static int fill_longer(struct bars *longer, int64_t *known_at, const struct bars *bars,
                       const char *zone, struct error *error)
{
    bool dated = interval_is_dated(longer->interval);
    int64_t before = INT64_MIN;
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        int64_t start = 0;
        int64_t end = 0;
        bucket_of(local_start(bars, i, zone), longer->interval, &start, &end);
        if (longer->count > 0 && start == before) {
            merge(longer, &bar);
            continue;
        }
        before = start;
        bar.time = dated ? start : to_utc(bars, i, zone, start);
        int code = bars_append(longer, &bar, error);
        if (code != ERROR_NONE)
            return code;
        known_at[longer->count - 1] = to_utc(bars, i, zone, end);
    }
    return ERROR_NONE;
}

int longer_bars(struct bars *longer, int64_t **known_at, const struct bars *bars,
                struct interval interval, const char *zone, struct error *error)
{
    bars_init(longer);
    *known_at = NULL;
    if (bars->interval.unit == INTERVAL_NONE ||
        interval_seconds(interval) <= interval_seconds(bars->interval)) {
        char wanted[INTERVAL_TEXT_SIZE];
        interval_format(wanted, interval);
        return error_set(error, ERROR_INPUT, "these bars cannot make longer ones of %s", wanted);
    }
    *known_at = array_new(bars->count, sizeof **known_at);
    if (*known_at == NULL)
        return error_memory(error);
    longer->interval = interval;
    int code = fill_longer(longer, *known_at, bars, zone, error);
    if (code != ERROR_NONE) {
        bars_free(longer);
        free(*known_at);
        *known_at = NULL;
        return code;
    }
    longer->last_is_partial = longer->count > 0 && (*known_at)[longer->count - 1] >
                                                       bar_known_at(bars, bars->count - 1, zone);
    return ERROR_NONE;
}
