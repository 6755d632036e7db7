#include "work/own_lines.h"

#include "base/array.h"
#include "base/calendar.h"
#include "book/instrument_store.h"
#include "market/scale.h"
#include "work/as_of.h"

#include <math.h>
#include <stdlib.h>

/* --- entering ------------------------------------------------------------------------ */

/* `begun`: a date is the instrument's own day, which has come once it has begun. */
static int settle_since(int64_t now, int64_t known, int64_t ends, int64_t begun,
                        struct own_line *line, struct error *error)
{
    /* A book without bars has shown nothing: it counts from now on. */
    int64_t seen = ends == INT64_MIN ? now : ends;
    if (line->since == INT64_MIN)
        line->since = known < seen ? known : seen;
    if (begun > now && line->since > seen) {
        char since[CALENDAR_TEXT_SIZE];
        time_format(since, line->since, false);
        return error_set(error, ERROR_INPUT,
                         "from: %s has not come yet; the moment at which it was drawn is needed",
                         since);
    }
    line->dated_back = line->since < seen;
    return ERROR_NONE;
}

/* A date counts to the last second of its day. */
static int settle_date(struct book *book, struct own_line *line, int64_t *begun,
                       struct error *error)
{
    struct instrument instrument;
    struct session session = {0};
    int code = instrument_store_need(book, line->instrument, &instrument, error);
    if (code == ERROR_NONE)
        code = session_open(&session, &instrument, error);
    if (code == ERROR_NONE) {
        int64_t day = day_of_time(line->since);
        *begun = session_begins(&session, day);
        line->since = session_begins(&session, day + 1) - 1;
    }
    session_close(&session);
    line->since_is_date = false;
    return code;
}

int own_line_settle(struct book *book, int64_t now, int64_t known, struct own_line *line,
                    struct error *error)
{
    struct newest_stored newest;
    int64_t begun = line->since;
    line->made = now;
    int code = level_store_newest(book, line->instrument, &newest, error);
    if (code == ERROR_NONE && line->since_is_date)
        code = settle_date(book, line, &begun, error);
    if (code == ERROR_NONE)
        code = settle_since(now, known, newest.ends, begun, line, error);
    for (int i = 0; i < 2; i++)
        if (line->points[i].time == INT64_MIN)
            line->points[i].time = newest.begins != INT64_MIN && newest.begins < line->since
                                       ? newest.begins
                                       : line->since;
    return code;
}

int own_line_enter(struct book *book, int64_t now, int64_t known, struct own_line *line,
                   struct error *error)
{
    int code = own_line_settle(book, now, known, line, error);
    return code == ERROR_NONE ? level_store_add(book, line, error) : code;
}

/* --- counting -------------------------------------------------------------------------- */

int64_t own_line_bar(struct session *session, struct interval interval, int64_t moment)
{
    /* INT64_MIN: before every bar there is. */
    if (!interval_is_dated(interval) || moment == INT64_MIN)
        return moment;
    /* Two days on is later in every zone, whenever its session begins. */
    int64_t day = day_of_time(moment) + 2;
    while (session_begins(session, day) > moment)
        day--;
    return day * SECONDS_PER_DAY;
}

/* --- laying -------------------------------------------------------------------------- */

/* Where a moment lies: the bar that has begun by then, and the part of it that has
 * gone, by its usual length, which no later bar changes. */
static double position(const struct bars *bars, int64_t time)
{
    if (bars->count == 0 || time < bars->time[0])
        return NAN;
    size_t at = bars_find(bars, time);
    if (at == bars->count || bars->time[at] > time)
        at--;
    double length = (double)interval_seconds(bars->interval);
    double gone = length > 0 ? (double)(time - bars->time[at]) / length : 0;
    return (double)at + fmin(gone, 1);
}

static double view(const struct bars *bars, const struct line_point *point, double price)
{
    return scale_to_view(bars_scale(bars, point->time), price);
}

bool own_line_lay(const struct own_line *line, const struct bars *bars, struct laid_line *laid)
{
    const struct line_point *first = &line->points[0];
    const struct line_point *second = &line->points[1];
    *laid = (struct laid_line){.bar = position(bars, first->time),
                               .price = view(bars, first, first->price),
                               .other_bar = position(bars, second->time),
                               .other_price = view(bars, second, second->price)};
    if (line->kind != LINE_TREND && line->kind != LINE_CHANNEL) {
        /* What is flat lies where it does, were its point before the first bar. */
        laid->bar = isnan(laid->bar) ? 0 : laid->bar;
        laid->other_bar = isnan(laid->other_bar) ? 0 : laid->other_bar;
        return true;
    }
    if (isnan(laid->bar) || isnan(laid->other_bar))
        return false;
    double apart = laid->other_bar - laid->bar;
    laid->slope = (laid->other_price - laid->price) / apart;
    laid->width = view(bars, first, first->price + line->width) - laid->price;
    return apart != 0;
}

const double own_line_parts[OWN_LINE_PRICES] = {0.382, 0.5, 0.618};

size_t own_line_prices(enum line_kind kind, const struct laid_line *laid, double bar,
                       double prices[OWN_LINE_PRICES])
{
    double here = laid->price + laid->slope * (bar - laid->bar);
    if (kind == LINE_NOTE || kind == LINE_RULER)
        return 0;
    if (kind == LINE_RETRACEMENT) {
        for (int i = 0; i < OWN_LINE_PRICES; i++)
            prices[i] = laid->other_price + own_line_parts[i] * (laid->price - laid->other_price);
        return OWN_LINE_PRICES;
    }
    prices[0] = here;
    prices[1] = here + laid->width;
    return kind == LINE_CHANNEL ? 2 : 1;
}

/* --- touches --------------------------------------------------------------------------- */

static bool comes_to(enum line_kind kind, const struct laid_line *laid, const struct bars *bars,
                     double near, size_t at)
{
    double prices[OWN_LINE_PRICES];
    size_t count = own_line_prices(kind, laid, (double)at, prices);
    for (size_t i = 0; i < count; i++)
        if (bars->low[at] - near <= prices[i] && prices[i] <= bars->high[at] + near)
            return true;
    return false;
}

size_t own_line_touches(enum line_kind kind, const struct laid_line *laid, struct sheet *sheet,
                        size_t last)
{
    const struct bars *bars = sheet_bars(sheet);
    const double *atr = sheet_atr(sheet, 14);
    double begins = ceil(fmin(laid->bar, laid->other_bar));
    size_t touches = 0;
    bool before = false;
    size_t whole = sheet_count(sheet);
    for (size_t at = begins > 0 ? (size_t)begins : 0; at <= last && at < bars->count; at++) {
        /* A partial last bar has no measures: what was before it says what is near. */
        size_t measured = at < whole ? at : whole - 1;
        double near = atr != NULL && whole > 0 && atr[measured] > 0 ? 0.1 * atr[measured] : 0;
        bool now = comes_to(kind, laid, bars, near, at);
        touches += now && !before;
        before = now;
    }
    return touches;
}

/* --- what stood ----------------------------------------------------------------------- */

bool own_line_stands(const struct own_line *line, int64_t known)
{
    return line->made <= known && (!line->withdrawn || line->withdrawn_at > known);
}

static int add_mark(struct rules_case *opened, size_t *room, const struct own_mark *mark,
                    struct error *error)
{
    struct own_mark *marks = array_reserve(opened->marks, room, opened->around.mark_count + 1,
                                           sizeof *marks);
    if (marks == NULL)
        return error_memory(error);
    opened->marks = marks;
    marks[opened->around.mark_count++] = *mark;
    return ERROR_NONE;
}

/* One that was dated back and then withdrawn stood at no time that anyone saw. */
static bool ever_stood(const struct own_line *line, int64_t known)
{
    return line->made <= known &&
           !(line->withdrawn && line->withdrawn_at <= known && line->dated_back);
}

int own_line_mark(struct rules_case *opened, struct session *session, size_t *room,
                  const struct own_line *line, int64_t known, struct error *error)
{
    const struct bars *bars = &opened->series.bars;
    struct laid_line laid;
    double prices[OWN_LINE_PRICES];
    int code = ERROR_NONE;
    if (!ever_stood(line, known) || !own_line_lay(line, bars, &laid))
        return ERROR_NONE;
    size_t count = own_line_prices(line->kind, &laid, laid.bar, prices);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        const struct own_mark mark = {.price = prices[i],
                                      .slope = laid.slope,
                                      .bar = laid.bar,
                                      .made = own_line_bar(session, bars->interval, line->since),
                                      .dated_back = line->dated_back,
                                      .withdrawn = line->withdrawn && line->withdrawn_at <= known,
                                      .until = line->withdrawn
                                                   ? own_line_bar(session, bars->interval,
                                                                  line->until)
                                                   : 0};
        code = add_mark(opened, room, &mark, error);
    }
    return code;
}

int own_lines_mark(struct work *work, struct rules_case *opened, size_t *room, struct error *error)
{
    struct book *book = NULL;
    struct own_line *lines = NULL;
    struct session session = {0};
    size_t count = 0;
    const struct wishes *wishes = work_wishes(work);
    int64_t end = INT64_MAX;
    int code = as_of_end(wishes, &opened->series.instrument, &end, error);
    if (code == ERROR_NONE)
        code = session_open(&session, &opened->series.instrument, error);
    int64_t last = end <= wishes->entered_by ? end - 1 : wishes->entered_by;
    if (code == ERROR_NONE)
        code = work_borrow(work, &book, error);
    if (code == ERROR_NONE)
        code = level_store_list(book, opened->series.instrument.name, &lines, &count, error);
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = own_line_mark(opened, &session, room, &lines[i], last, error);
    free(lines);
    session_close(&session);
    work_return(work, book);
    return code;
}
