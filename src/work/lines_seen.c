#include "work/lines_seen.h"

#include "base/array.h"
#include "base/calendar.h"
#include "market/scale.h"
#include "work/as_of.h"

#include <math.h>
#include <stdlib.h>

/* --- what stands -------------------------------------------------------------------- */

static double price_here(const struct line_seen *seen, const struct bars *bars)
{
    double prices[OWN_LINE_PRICES];
    size_t last = bars->count - 1;
    size_t count = own_line_prices(seen->line.kind, &seen->laid, (double)last, prices);
    double here = NAN;
    for (size_t i = 0; i < count; i++)
        if (isnan(here) || fabs(prices[i] - bars->close[last]) < fabs(here - bars->close[last]))
            here = prices[i];
    return here;
}

/* Whether a moment comes after the last bar, which its interval and the session end. One
 * of 00:00 UTC is the date of a bar. */
static bool lies_behind(struct session *session, const struct bars *bars, int64_t time)
{
    int64_t last = bars->time[bars->count - 1];
    if (bars->interval.unit == INTERVAL_NONE)
        return time > last;
    bool dated = time % SECONDS_PER_DAY == 0;
    return session_bucket(session, bars->interval, time, dated).start >
           session_bucket(session, bars->interval, last, true).start;
}

/* Whether all of it lies on the bars; one that lies behind the last is held back. */
static bool take(struct lines_seen *seen, const struct own_line *line, struct session *session,
                 struct sheet *shown)
{
    const struct bars *bars = sheet_bars(shown);
    struct line_seen *next = &seen->list[seen->count];
    *next = (struct line_seen){.line = *line};
    for (int i = 0; i < line_kind_points(line->kind); i++)
        if (lies_behind(session, bars, line->points[i].time)) {
            seen->held_back++;
            return false;
        }
    if (!own_line_lay(line, bars, &next->laid))
        return false;
    next->here = price_here(next, bars);
    next->touches = own_line_touches(line->kind, &next->laid, shown, bars->count - 1);
    return true;
}

/* The last second of entry that counts. */
static int known_until(const struct work *work, const struct series *series, int64_t *known,
                       struct error *error)
{
    const struct wishes *wishes = work_wishes(work);
    int64_t end = INT64_MAX;
    int code = as_of_end(wishes, &series->instrument, &end, error);
    *known = end <= wishes->entered_by ? end - 1 : wishes->entered_by;
    return code;
}

int lines_seen_find(struct work *work, const struct series *series, struct sheet *shown,
                    struct lines_seen *seen, struct error *error)
{
    struct book *book = NULL;
    struct own_line *lines = NULL;
    size_t count = 0;
    int64_t known = INT64_MAX;
    struct session session = {0};
    const struct bars *bars = sheet_bars(shown);
    *seen = (struct lines_seen){0};
    if (bars->count == 0)
        return ERROR_NONE;
    int code = known_until(work, series, &known, error);
    if (code == ERROR_NONE)
        code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE)
        code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = level_store_list(book, series->instrument.name, &lines, &count, error);
    work_return(work, book);
    if (code == ERROR_NONE) {
        seen->list = array_new(count + 1, sizeof *seen->list);
        code = seen->list != NULL ? ERROR_NONE : error_memory(error);
    }
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        if (own_line_stands(&lines[i], known))
            seen->count += take(seen, &lines[i], &session, shown);
    for (size_t i = 0; i < seen->count; i++)
        seen->list[i].counts_after = own_line_bar(&session, bars->interval,
                                                  seen->list[i].line.since);
    session_close(&session);
    free(lines);
    return code;
}

void lines_seen_free(struct lines_seen *seen)
{
    free(seen->list);
    *seen = (struct lines_seen){0};
}

const struct line_seen *lines_seen_of(const struct lines_seen *seen, int64_t id)
{
    for (size_t i = 0; i < seen->count; i++)
        if (seen->list[i].line.id == id)
            return &seen->list[i];
    return NULL;
}

double line_seen_price(const struct line_seen *seen, size_t index, double bar)
{
    double prices[OWN_LINE_PRICES];
    return index < own_line_prices(seen->line.kind, &seen->laid, bar, prices) ? prices[index] : NAN;
}

/* --- points ------------------------------------------------------------------------- */

int line_point_at(const struct series *series, int64_t time, double price, struct line_point *point,
                  struct error *error)
{
    const struct bars *bars = &series->bars;
    struct session session;
    if (bars->count == 0 || time < bars->time[0]) {
        char text[CALENDAR_TEXT_SIZE];
        time_format(text, time, time % SECONDS_PER_DAY == 0);
        return error_set(error, ERROR_INPUT,
                         "there is no bar at %s for a line to stand on; the first is later", text);
    }
    size_t at = bars_find(bars, time);
    if (at == bars->count || bars->time[at] > time)
        at--;
    /* What lies behind the newest bar keeps its time, and is refused by the book. */
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE)
        point->time = lies_behind(&session, bars, time) ? time : bars->time[at];
    session_close(&session);
    point->price = scale_to_traded(bars_scale(bars, point->time), price);
    return code;
}

double line_width_at(const struct bars *bars, const struct line_point *point, double width)
{
    const struct price_scale *scale = bars_scale(bars, point->time);
    return scale_to_traded(scale, scale_to_view(scale, point->price) + width) - point->price;
}

double line_width_around(const struct bars *bars, const struct laid_line *laid)
{
    double above = 0;
    double below = 0;
    double sum = 0;
    double first = fmin(laid->bar, laid->other_bar);
    double last = fmax(laid->bar, laid->other_bar);
    for (double at = ceil(first); at <= last && at < (double)bars->count; at++) {
        size_t bar = (size_t)at;
        double line = laid->price + laid->slope * (at - laid->bar);
        above = fmax(above, bars->high[bar] - line);
        below = fmin(below, bars->low[bar] - line);
        sum += bars->close[bar] - line;
    }
    return sum >= 0 ? above : below;
}
