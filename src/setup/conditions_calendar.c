/* Conditions of the calendar: weekdays, hours, events. */
#include "setup/condition_rows.h"

#include "base/calendar.h"
#include "market/zone.h"

#include <string.h>

struct reading read_weekday(const struct condition_view *view)
{
    int weekday = weekday_of_day(day_of_time(bars_of(view)->time[view->at]));
    unsigned days = (unsigned)view->values[0];
    return fact_reading("the day of the week is one of those named", (days >> weekday & 1) != 0);
}

struct reading read_time_of_day(const struct condition_view *view)
{
    const char *zone = view->around != NULL ? view->around->zone : NULL;
    int64_t local = 0;
    if (!time_to_local(bars_of(view)->time[view->at], zone, &local))
        return undefined_reading;
    double minute = (double)((local - day_of_time(local) * SECONDS_PER_DAY) / 60);
    double from = view->values[0];
    double to = view->values[1];
    bool within = from <= to ? minute >= from && minute < to : minute >= from || minute < to;
    return fact_reading("the bar starts within the hours named", within);
}

/* Where the time of a bar ends; of a dated bar the first date after it. */
static int64_t end_of_bar(struct interval interval, int64_t start)
{
    struct civil_time civil;
    if (interval.unit != INTERVAL_MONTH)
        return start + interval_seconds(interval);
    civil_from_time(&civil, start);
    int month = civil.month - 1 + interval.count;
    civil.year += month / 12;
    civil.month = month % 12 + 1;
    return civil_to_time(&civil);
}

/* Whether an event was known by the end of the bar that is looked at, which is found for the
 * first that asks: *over, INT64_MIN before. */
static bool was_known(const struct condition_view *view, const struct setup_event *event,
                      int64_t *over)
{
    if (!event->known_later)
        return true;
    if (*over == INT64_MIN)
        *over = sheet_bar_end(view->sheet, view->at);
    return event->known < *over;
}

struct reading read_no_event(const struct condition_view *view)
{
    const struct surroundings *around = view->around;
    struct interval interval = bars_of(view)->interval;
    int64_t now = bars_of(view)->time[view->at];
    int64_t end = end_of_bar(interval, now);
    double before = view->values[0] * SECONDS_PER_DAY;
    double after = view->values[1] * SECONDS_PER_DAY;
    int64_t over = INT64_MIN;
    bool earlier = false;
    bool later = false;
    for (size_t i = 0; around != NULL && i < around->event_count; i++) {
        const struct setup_event *event = &around->events[i];
        int64_t time = interval_is_dated(interval) ? day_of_time(event->time) * SECONDS_PER_DAY
                                                   : event->time;
        double ahead = (double)(time - now);
        if (strcmp(event->kind, view->word) != 0 || !was_known(view, event, &over))
            continue;
        if ((ahead <= before && ahead >= -after) || (time >= now && time < end))
            return fact_reading("no such event is near", false);
        earlier = earlier || time <= now;
        later = later || time >= now;
    }
    if (!earlier || !later)
        return untold_reading("no events of this kind are known for that time");
    return fact_reading("no such event is near", true);
}
