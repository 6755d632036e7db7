#include "work/as_of.h"

#include "base/calendar.h"
#include "market/session.h"

bool as_of_wished(const struct wishes *wishes)
{
    return wishes->as_of < INT64_MAX;
}

int as_of_end(const struct wishes *wishes, const struct instrument *instrument, int64_t *end,
              struct error *error)
{
    struct session session;
    *end = INT64_MAX;
    if (!as_of_wished(wishes))
        return ERROR_NONE;
    int code = session_open(&session, instrument, error);
    if (code == ERROR_NONE)
        *end = session_begins(&session, day_of_time(wishes->as_of) + 1);
    session_close(&session);
    return code;
}

bool as_of_dated(const struct wishes *wishes, int64_t date)
{
    return !as_of_wished(wishes) || date < wishes->as_of + SECONDS_PER_DAY;
}

/* The last moment of the day, unless the bar that holds it goes on beyond. */
static int64_t last_of(struct session *session, struct interval interval, int64_t as_of)
{
    bool dated = interval_is_dated(interval);
    int64_t end = session_begins(session, day_of_time(as_of) + 1);
    int64_t moment = dated ? as_of : end - 1;
    if (interval.unit == INTERVAL_NONE)
        return moment;
    struct bucket bucket = session_bucket(session, interval, moment, dated);
    return bucket.end <= end ? moment : bucket.start - 1;
}

int as_of_last(const struct wishes *wishes, const struct instrument *instrument,
               struct interval interval, int64_t *last, struct error *error)
{
    struct session session;
    *last = INT64_MAX;
    if (!as_of_wished(wishes))
        return ERROR_NONE;
    int code = session_open(&session, instrument, error);
    if (code == ERROR_NONE)
        *last = last_of(&session, interval, wishes->as_of);
    session_close(&session);
    return code;
}

int as_of_cut(const struct wishes *wishes, const struct instrument *instrument, struct bars *bars,
              struct error *error)
{
    struct bars part;
    int64_t last = INT64_MAX;
    int code = as_of_last(wishes, instrument, bars->interval, &last, error);
    size_t end = last < INT64_MAX ? bars_find(bars, last + 1) : bars->count;
    if (code != ERROR_NONE || end == bars->count)
        return code;
    code = bars_slice(&part, bars, 0, end, error);
    if (code != ERROR_NONE)
        return code;
    bars_free(bars);
    *bars = part;
    return ERROR_NONE;
}

int as_of_stored(const struct wishes *wishes, struct book *book,
                 const struct instrument *instrument, struct stored_series *series, size_t *count,
                 struct error *error)
{
    size_t kept = 0;
    int code = ERROR_NONE;
    if (!as_of_wished(wishes))
        return ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < *count; i++) {
        int64_t last = INT64_MAX;
        code = as_of_last(wishes, instrument, series[i].interval, &last, error);
        if (code == ERROR_NONE)
            code = bars_store_up_to(book, &series[i], last, error);
        if (code == ERROR_NONE && series[i].count > 0)
            series[kept++] = series[i];
    }
    *count = kept;
    return code;
}

void as_of_instrument(const struct wishes *wishes, struct instrument *instrument)
{
    if (!instrument->last_known || as_of_dated(wishes, instrument->last_date))
        return;
    instrument->last_known = false;
    instrument->last_date = 0;
    instrument->ended_why[0] = '\0';
}
