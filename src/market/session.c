#include "market/session.h"

#include "base/calendar.h"

int session_open(struct session *session, const struct instrument *instrument, struct error *error)
{
    *session = (struct session){.start = instrument->session_start,
                                .days = instrument->session_days};
    int code = wall_clock_open(&session->clock, instrument->zone, error);
    return code != ERROR_NONE ? error_context(error, "%s", instrument->name) : code;
}

void session_close(struct session *session)
{
    wall_clock_close(&session->clock);
}

static int64_t floor_divide(int64_t a, int64_t b)
{
    return a / b - (a % b < 0);
}

/* The first day from `day` on that the session trades. */
static int64_t trading_day(const struct session *session, int64_t day)
{
    while ((session->days & 0x7f) != 0 && !(session->days >> weekday_of_day(day) & 1))
        day++;
    return day;
}

int64_t session_day(struct session *session, int64_t time)
{
    int64_t wall = time + wall_clock_offset(&session->clock, time) - session->start * 60;
    return trading_day(session, day_of_time(wall));
}

int64_t session_begins(struct session *session, int64_t day)
{
    return wall_clock_time(&session->clock, day * SECONDS_PER_DAY + session->start * 60);
}

/* First days of this month's bucket and of the next. */
static void month_days(int64_t day, int count, int64_t *first, int64_t *next)
{
    struct civil_time civil;
    civil_from_time(&civil, day * SECONDS_PER_DAY);
    int64_t month = civil.year * 12 + civil.month - 1;
    month = floor_divide(month, count) * count;
    for (int i = 0; i < 2; i++, month += count) {
        civil = (struct civil_time){(int)(month / 12), (int)(month % 12) + 1, 1, 0, 0, 0};
        *(i == 0 ? first : next) = day_of_time(civil_to_time(&civil));
    }
}

static struct bucket dated_bucket(struct session *session, struct interval interval, int64_t day)
{
    int64_t first = day;
    int64_t next = day + 1;
    if (interval.unit == INTERVAL_MONTH) {
        month_days(day, interval.count, &first, &next);
    } else {
        int64_t length = interval.count * (interval.unit == INTERVAL_WEEK ? 7 : 1);
        /* 1970-01-05 was a Monday. */
        int64_t origin = interval.unit == INTERVAL_WEEK ? 4 : 0;
        first = floor_divide(day - origin, length) * length + origin;
        next = first + length;
    }
    return (struct bucket){first * SECONDS_PER_DAY, session_begins(session, next)};
}

struct bucket session_bucket(struct session *session, struct interval interval, int64_t time,
                             bool dated)
{
    if (interval_is_dated(interval))
        return dated_bucket(session, interval,
                            dated ? day_of_time(time) : session_day(session, time));
    int64_t length = interval_seconds(interval);
    int offset = wall_clock_offset(&session->clock, time);
    int64_t wall = time + offset;
    int64_t wall_start = floor_divide(wall - session->start * 60, length) * length +
                         session->start * 60;
    struct bucket bucket = {wall_start - offset, 0};
    int before = wall_clock_offset(&session->clock, bucket.start);
    if (before != offset)
        bucket.start = wall_start - before;
    /* The end, as the clock shows it; a change inside moves it. */
    bucket.end = wall_start + length - offset;
    int after = wall_clock_offset(&session->clock, bucket.end);
    /* A bucket that ends where the clock is set back ends there, not an hour
     * of the same clock time later. */
    if (after != offset && wall_clock_offset(&session->clock, bucket.end - 1) != offset)
        bucket.end = wall_start + length - after;
    return bucket;
}
