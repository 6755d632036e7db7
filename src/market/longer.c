#include "market/longer.h"

#include "base/array.h"
#include "market/scale.h"

#include <math.h>
#include <stdlib.h>

bool longer_possible(struct interval from, struct interval to)
{
    int64_t a = interval_seconds(from);
    int64_t b = interval_seconds(to);
    if (a == 0 || b == 0)
        return false;
    if (from.unit == INTERVAL_MONTH)
        return to.unit == INTERVAL_MONTH && to.count % from.count == 0;
    if (to.unit == INTERVAL_MONTH)
        return from.unit < INTERVAL_WEEK && (from.unit < INTERVAL_DAY || from.count == 1);
    return b >= a && b % a == 0;
}

static void extend(struct bars *bars, const struct bar *bar)
{
    size_t last = bars->count - 1;
    bars->high[last] = fmax(bars->high[last], bar->high);
    bars->low[last] = fmin(bars->low[last], bar->low);
    bars->close[last] = bar->close;
    bars->volume[last] += bar->volume;
}

static int add(struct longer *longer, struct bar bar, struct bucket bucket, struct error *error)
{
    struct bars *bars = &longer->bars;
    int64_t *known = array_reserve(longer->known, &longer->capacity, bars->count + 1,
                                   sizeof *known);
    if (known == NULL)
        return error_memory(error);
    longer->known = known;
    known[bars->count] = bucket.end;
    bar.time = bucket.start;
    return bars_append(bars, &bar, error);
}

int longer_make(struct longer *longer, const struct bars *bars, struct interval to,
                struct session *session, struct error *error)
{
    bool dated = interval_is_dated(bars->interval);
    struct bucket bucket = {0};
    int code = ERROR_NONE;
    *longer = (struct longer){.known = NULL};
    bars_init(&longer->bars);
    longer->bars.interval = to;
    if (!longer_possible(bars->interval, to)) {
        char a[INTERVAL_TEXT_SIZE];
        char b[INTERVAL_TEXT_SIZE];
        interval_format(a, bars->interval);
        interval_format(b, to);
        return error_set(error, ERROR_INPUT, "bars of %s cannot be made from bars of %s", b,
                         a[0] != '\0' ? a : "an interval that is not known");
    }
    for (size_t i = 0; code == ERROR_NONE && i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        struct bucket next = session_bucket(session, to, bar.time, dated);
        if (longer->bars.count > 0 && next.start == bucket.start)
            extend(&longer->bars, &bar);
        else
            code = add(longer, bar, next, error);
        bucket = next;
    }
    if (code == ERROR_NONE)
        code = bars_set_scales(&longer->bars, bars->scales, bars->scale_count, error);
    if (code == ERROR_NONE && bars->count > 0)
        longer->bars.last_is_partial = bars->last_is_partial ||
                                       bar_known(session, bars->interval,
                                                 bars->time[bars->count - 1]) < bucket.end;
    return code;
}

void longer_free(struct longer *longer)
{
    bars_free(&longer->bars);
    free(longer->known);
    longer->known = NULL;
    longer->capacity = 0;
}

int64_t bar_known(struct session *session, struct interval interval, int64_t time)
{
    if (!interval_is_dated(interval))
        return time + interval_seconds(interval);
    return session_bucket(session, interval, time, true).end;
}

size_t longer_known(const struct longer *longer, int64_t time)
{
    size_t low = 0;
    size_t high = bars_complete(&longer->bars);
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (longer->known[middle] <= time)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

int longer_bars(struct bars *longer, int64_t **known_at, const struct bars *bars,
                struct interval interval, const char *zone, struct error *error)
{
    struct session session = {.start = 0};
    struct longer made = {.known = NULL};
    bars_init(&made.bars);
    int code = wall_clock_open(&session.clock, zone != NULL ? zone : "", error);
    if (code == ERROR_NONE)
        code = longer_make(&made, bars, interval, &session, error);
    session_close(&session);
    if (code != ERROR_NONE)
        longer_free(&made);
    *longer = made.bars;
    *known_at = made.known;
    return code;
}

int64_t bar_known_at(const struct bars *bars, size_t index, const char *zone)
{
    struct session session = {.start = 0};
    struct error ignored;
    /* A zone that is not known has been refused where the bars were opened. */
    wall_clock_open(&session.clock, zone != NULL ? zone : "", &ignored);
    int64_t known = bar_known(&session, bars->interval, bars->time[index]);
    session_close(&session);
    return known;
}
