#include "work/newest.h"

#include "base/array.h"
#include "base/calendar.h"
#include "market/session.h"

#include <stdlib.h>
#include <string.h>

/* Where the session's days are not known, the days of so many bars say them; of
 * fewer than the fewest, Monday to Friday are taken to be among them. */
enum { BARS_THAT_SAY_DAYS = 60, FEWEST_BARS = 10, WEEKDAYS = 0x1f };

const char *bar_state_name(enum bar_state state)
{
    static const char *const names[] = {"whole", "provisional", "old"};
    return names[state];
}

static int64_t day_of_bar(struct session *session, const struct bars *bars, size_t at)
{
    return interval_is_dated(bars->interval) ? day_of_time(bars->time[at])
                                             : session_day(session, bars->time[at]);
}

static void settle_days(struct session *session, const struct bars *bars, size_t newest)
{
    size_t first = newest + 1 > BARS_THAT_SAY_DAYS ? newest + 1 - BARS_THAT_SAY_DAYS : 0;
    unsigned days = newest + 1 < FEWEST_BARS ? WEEKDAYS : 0;
    if (session->days != 0)
        return;
    for (size_t i = first; i <= newest; i++)
        days |= 1U << weekday_of_day(day_of_bar(session, bars, i));
    session->days = days;
}

int newest_bar_read(const struct rules_case *opened, struct newest_bar *newest, struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    const struct instrument *instrument = &opened->series.instrument;
    size_t count = sheet_count(opened->sheet);
    bool dated = interval_is_dated(bars->interval);
    struct session session;
    *newest = (struct newest_bar){0};
    if (count == 0)
        return ERROR_NONE;
    int code = session_open(&session, instrument, error);
    if (code == ERROR_NONE) {
        struct interval step = dated ? bars->interval : (struct interval){INTERVAL_DAY, 1};
        struct bucket own = session_bucket(&session, bars->interval, bars->time[count - 1], dated);
        struct bucket day = session_bucket(&session, step, bars->time[count - 1], dated);
        settle_days(&session, bars, count - 1);
        memcpy(newest->instrument, instrument->name, sizeof newest->instrument);
        newest->time = bars->time[count - 1];
        newest->dated = dated;
        newest->ended = instrument->last_known && newest->time >= instrument->last_date;
        newest->provisional = opened->provisional;
        newest->in_book = instrument->id != 0;
        newest->known = opened->provisional ? newest->time : own.end;
        newest->due = session_bucket(&session, step, day.end, false).end;
    }
    session_close(&session);
    return code;
}

void newest_bars_begin_pass(struct newest_bars *bars)
{
    bars->before = bars->count;
    bars->cursor = 0;
}

static bool is_there(struct newest_bars *bars, const struct newest_bar *newest)
{
    for (size_t i = 0; i < bars->before; i++) {
        size_t at = (bars->cursor + i) % bars->before;
        if (bars->list[at].time != newest->time || bars->list[at].due != newest->due ||
            strcmp(bars->list[at].instrument, newest->instrument) != 0)
            continue;
        bars->cursor = at + 1;
        return true;
    }
    return false;
}

int newest_bars_add(struct newest_bars *bars, const struct newest_bar *newest, struct error *error)
{
    if (newest->instrument[0] == '\0' || is_there(bars, newest))
        return ERROR_NONE;
    struct newest_bar *list = array_reserve(bars->list, &bars->room, bars->count + 1, sizeof *list);
    if (list == NULL)
        return error_memory(error);
    bars->list = list;
    bars->known = bars->count == 0 || newest->known > bars->known ? newest->known : bars->known;
    list[bars->count++] = *newest;
    return ERROR_NONE;
}

void newest_bars_free(struct newest_bars *bars)
{
    free(bars->list);
    *bars = (struct newest_bars){0};
}

enum bar_state newest_bar_state(const struct newest_bars *bars, int64_t due, bool provisional)
{
    return provisional ? BAR_PROVISIONAL : due <= bars->known ? BAR_OLD : BAR_WHOLE;
}

bool newest_bar_behind(const struct newest_bars *bars, size_t index)
{
    const struct newest_bar *bar = &bars->list[index];
    return !bar->ended && bar->due <= bars->known;
}

bool newest_bar_long_behind(const struct newest_bars *bars, size_t index)
{
    enum { MONTH = 31 };
    return newest_bar_behind(bars, index) &&
           bars->known - bars->list[index].due > MONTH * (int64_t)SECONDS_PER_DAY;
}

bool newest_bars_all_due(const struct newest_bars *bars, int64_t now)
{
    size_t in_book = 0;
    for (size_t i = 0; i < bars->count; i++) {
        if (bars->list[i].ended)
            continue;
        if (!bars->list[i].in_book || bars->list[i].due > now)
            return false;
        in_book++;
    }
    return in_book > 0;
}
