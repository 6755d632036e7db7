#include "web/chart.h"

#include "base/calendar.h"
#include "market/longer.h"
#include "market/session.h"
#include "web/chart_names.h"
#include "work/as_of.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- reading the address ------------------------------------------------------------------ */

static int read_moment(const char *name, const char *text, int64_t missing, int64_t *time,
                       struct error *error)
{
    bool date_only = false;
    *time = missing;
    if (text == NULL)
        return ERROR_NONE;
    if (!time_parse(text, strlen(text), time, &date_only))
        return error_set(error, ERROR_USAGE,
                         "%s: found '%.40s'; a date such as 2024-11-01 is allowed", name, text);
    return ERROR_NONE;
}

int chart_read(struct chart_asked *asked, const struct exchange *exchange, struct error *error)
{
    const char *interval = exchange_filled(exchange, "interval");
    *asked = (struct chart_asked){.instrument = exchange_filled(exchange, "instrument"),
                                  .list = exchange_filled(exchange, "list"),
                                  .setup = exchange_filled(exchange, "setup"),
                                  .seen = INT64_MAX,
                                  .held = INT64_MAX,
                                  .panes = exchange_field(exchange, "panes"),
                                  .averages = exchange_field(exchange, "averages"),
                                  .scale = exchange_filled(exchange, "scale")};
    if (interval != NULL && !interval_parse(interval, &asked->interval))
        return error_set(
            error, ERROR_USAGE,
            "bars of: found '%.40s'; a length such as 1d, 1w, 1month, 4h or 30m is allowed",
            interval);
    int code = read_moment("bar", exchange_filled(exchange, "bar"), INT64_MIN, &asked->bar, error);
    if (code == ERROR_NONE)
        code = read_moment("held back from", exchange_filled(exchange, "held"), INT64_MAX,
                           &asked->held, error);
    return code == ERROR_NONE ? read_moment("case", exchange_filled(exchange, "case"), INT64_MIN,
                                            &asked->at, error)
                              : code;
}

/* --- opening it ------------------------------------------------------------------------------- */

/* The first member of the list, else the first instrument of the book. */
static int first_name(struct chart *chart, struct error *error)
{
    struct book *book = NULL;
    struct place place = {0};
    int code = work_borrow(chart->work, &book, error);
    if (code == ERROR_NONE)
        code = as_of_place(&chart->wishes, book, chart->asked.list, "", &place, error);
    work_return(chart->work, book);
    if (code == ERROR_NONE && chart->asked.list != NULL && place.count == 0)
        code = error_set(error, ERROR_INPUT, "there is no watchlist '%.60s' in the book%s",
                         chart->asked.list, as_of_wished(&chart->wishes) ? " by that date" : "");
    snprintf(chart->name, sizeof chart->name, "%s", place.after);
    if (code == ERROR_NONE && chart->name[0] == '\0')
        code = error_set(error, ERROR_INPUT,
                         "the book has no instrument yet; bring in a file of "
                         "prices on the sheet Data");
    return code;
}

static int open_series(struct chart *chart, struct error *error)
{
    struct rules_case *opened = &chart->opened;
    if (chart->has_setup)
        return rules_open(chart->work, &chart->notices, chart->name, &chart->setup, opened, error);
    int code = series_open(chart->work, &chart->notices, chart->name, &opened->series, error);
    if (code != ERROR_NONE)
        return code;
    opened->sheet = sheet_of_instrument(&opened->series.bars, &opened->series.instrument);
    return opened->sheet != NULL ? ERROR_NONE : error_memory(error);
}

/* The bar that holds the moment asked for; the last without one. */
static size_t find_bar(const struct bars *bars, int64_t time)
{
    if (bars->count == 0)
        return SIZE_MAX;
    if (time == INT64_MIN)
        return bars->count - 1;
    size_t at = bars_find(bars, time);
    if (at == bars->count || (bars->time[at] > time && at > 0))
        at--;
    return at;
}

/* The last bar that may be shown: of a case nobody sees unasked what followed. */
static size_t last_shown(struct chart *chart)
{
    const struct bars *bars = &chart->opened.series.bars;
    size_t last = bars->count - 1;
    if (chart->at != SIZE_MAX)
        last = chart->at;
    if (chart->asked.held == INT64_MAX || bars->count == 0)
        return last;
    size_t held = find_bar(bars, chart->asked.held);
    if (chart->at != SIZE_MAX && held < chart->at)
        chart->at = SIZE_MAX; /* the case is not there yet */
    return held < last ? held : last;
}

static int cut(struct chart *chart, struct error *error)
{
    const struct series *series = &chart->opened.series;
    chart->shown = chart->opened.sheet;
    chart->shown_count = series->bars.count;
    size_t last = last_shown(chart);
    if (last + 1 == series->bars.count)
        return ERROR_NONE;
    int code = bars_slice(&chart->shown_bars, &series->bars, 0, last + 1, error);
    if (code != ERROR_NONE)
        return code;
    chart->is_cut = true;
    chart->shown_count = last + 1;
    if (chart->bar >= chart->shown_count)
        chart->bar = last;
    chart->shown = sheet_of_instrument(&chart->shown_bars, &series->instrument);
    return chart->shown != NULL ? ERROR_NONE : error_memory(error);
}

/* The signal whose candle the case is, and a stroke for each that is one on the bars
 * shown: of a candle nobody sees yet that a later bar will confirm it. */
static int take_signals(struct chart *chart, struct error *error)
{
    const struct signals *signals = &chart->signals;
    chart->marks = calloc(signals->count + 1, sizeof *chart->marks);
    if (chart->marks == NULL)
        return error_memory(error);
    for (size_t i = 0; i < signals->count; i++) {
        const struct signal *signal = &signals->list[i];
        if (signal->at < chart->shown_count)
            chart->marks[chart->mark_count++] = (struct window_mark){.bar = signal->candle.at,
                                                                     .full = true};
        if (signal->candle.at != chart->at || chart->is_case)
            continue;
        chart->is_case = true;
        chart->found = (struct case_request){.view = &chart->opened.view,
                                             .terms = &chart->opened.terms,
                                             .instrument = chart->name,
                                             .signal = *signal};
        /* Nothing of a confirmation that came later: the case is cut at its candle. */
        chart->found.signal.at = chart->at;
    }
    return ERROR_NONE;
}

static void find_case(struct chart *chart)
{
    if (chart->has_setup && chart->asked.at != INT64_MIN)
        chart->at = find_bar(&chart->opened.series.bars, chart->asked.at);
}

static int settle(struct chart *chart, struct error *error)
{
    const struct bars *bars = &chart->opened.series.bars;
    find_case(chart);
    chart->bar = chart->asked.bar == INT64_MIN && chart->at != SIZE_MAX
                     ? chart->at
                     : find_bar(bars, chart->asked.bar);
    int code = window_clock(bars, chart->opened.series.instrument.zone, &chart->clock, error);
    if (code == ERROR_NONE && chart->has_setup)
        code = signals_find(&chart->opened.view, 0, SIZE_MAX, true, &chart->signals, error);
    if (code == ERROR_NONE)
        code = cut(chart, error);
    return code == ERROR_NONE && chart->has_setup ? take_signals(chart, error) : code;
}

int page_wishes(const struct page *page, const struct exchange *exchange, struct wishes *wishes,
                struct error *error)
{
    bool there = false;
    wishes_init(wishes);
    if (page_same_book(page, &there, error) != ERROR_NONE)
        return error->code;
    wishes->book = page->options.book;
    wishes->shelf = page->shelf;
    wishes->names_only = true;
    wishes->threads = page->options.threads;
    wishes->seed = page->options.seed;
    wishes->now = page->options.clock();
    return page_as_of(exchange, &wishes->as_of, error);
}

/* The instrument that is asked for, by its name or by what may stand for it. */
static int find_name(struct chart *chart, struct error *error)
{
    const char *typed = chart->asked.instrument;
    if (typed == NULL)
        return first_name(chart, error);
    if (strchr(typed, '@') == NULL)
        return chart_name_meant(chart->work, typed, chart->name, error);
    snprintf(chart->name, sizeof chart->name, "%s", typed);
    return ERROR_NONE;
}

static int read_setup(struct chart *chart, const struct page *page, struct error *error)
{
    struct book *book = NULL;
    int code = work_borrow(chart->work, &book, error);
    if (code == ERROR_NONE)
        code = page_setup_in(page, book, chart->asked.setup, &chart->setup, error);
    work_return(chart->work, book);
    chart->has_setup = code == ERROR_NONE;
    return code;
}

double chart_tick(const struct chart *chart)
{
    const struct instrument *instrument = &chart->opened.series.instrument;
    return instrument->tick_known ? instrument->tick.value : 0.01;
}

static int draw_own(struct chart *chart, struct error *error)
{
    double risk = chart->has_plan ? chart->plan.orders.risk : NAN;
    return drawn_lines_make(&chart->drawn, &chart->own, chart->shown, chart_tick(chart), risk,
                            error);
}

/* Its bars, and the setup that they are read with. */
static int open_bars(struct chart *chart, const struct page *page, const struct exchange *exchange,
                     struct error *error)
{
    int code = page_wishes(page, exchange, &chart->wishes, error);
    chart->wishes.interval = chart->asked.interval;
    chart->wishes.threads = 1;
    chart->wishes.seen = chart->asked.seen;
    if (code == ERROR_NONE)
        code = work_open(&chart->work, &chart->wishes, &(struct voice){0}, error);
    if (code == ERROR_NONE)
        code = find_name(chart, error);
    if (code == ERROR_NONE && chart->asked.setup != NULL)
        code = read_setup(chart, page, error);
    return code == ERROR_NONE ? open_series(chart, error) : code;
}

static int open_asked(struct chart *chart, const struct page *page, const struct exchange *exchange,
                      struct error *error)
{
    int code = open_bars(chart, page, exchange, error);
    if (code == ERROR_NONE)
        code = chart_shows_read(&chart->asked, chart->work, chart->opened.series.bars.interval,
                                error);
    if (code == ERROR_NONE)
        code = settle(chart, error);
    if (code == ERROR_NONE)
        code = lines_seen_find(chart->work, &chart->opened.series, chart->shown, &chart->own,
                               error);
    if (code == ERROR_NONE)
        code = chart_orders_read(chart, exchange, error);
    return code == ERROR_NONE ? draw_own(chart, error) : code;
}

int chart_open(struct chart *chart, const struct page *page, const struct exchange *exchange,
               struct error *error)
{
    *chart = (struct chart){.bar = SIZE_MAX, .at = SIZE_MAX};
    int code = chart_read(&chart->asked, exchange, error);
    return code == ERROR_NONE ? open_asked(chart, page, exchange, error) : code;
}

/* The last instant before the bars that are not shown, or, where all are, before the end
 * of the last: the book may have longer ones that came later. Those of a day, a week or a
 * month begin with its session. */
static int last_instant(struct chart *chart, int64_t *instant, struct error *error)
{
    struct session session;
    const struct series *series = &chart->opened.series;
    const struct bars *bars = &series->bars;
    if (bars->count == 0)
        return ERROR_NONE;
    find_case(chart);
    size_t last = last_shown(chart);
    int code = session_open(&session, &series->instrument, error);
    if (code == ERROR_NONE && last + 1 == bars->count)
        *instant = bar_known(&session, bars->interval, bars->time[last]) - 1;
    else if (code == ERROR_NONE && interval_is_dated(bars->interval))
        *instant = session_begins(&session, day_of_time(bars->time[last + 1])) - 1;
    else if (code == ERROR_NONE)
        *instant = bars->time[last + 1] - 1;
    session_close(&session);
    return code;
}

/* What the figure that the request asks for lets be seen: its bars are opened as it has
 * them, and cut where it is cut. */
static int find_seen(const struct page *page, const struct exchange *exchange, int64_t *seen,
                     struct error *error)
{
    struct chart chart = {.bar = SIZE_MAX, .at = SIZE_MAX};
    *seen = INT64_MAX;
    int code = chart_read(&chart.asked, exchange, error);
    bool whole = chart.asked.held == INT64_MAX &&
                 (chart.asked.at == INT64_MIN || chart.asked.setup == NULL);
    if (code != ERROR_NONE || whole)
        return code;
    code = open_bars(&chart, page, exchange, error);
    if (code == ERROR_NONE)
        code = last_instant(&chart, seen, error);
    return chart_close(&chart, code, error);
}

int chart_open_beside(struct chart *chart, const struct page *page, const struct exchange *exchange,
                      struct error *error)
{
    const char *beside = exchange_filled(exchange, "beside");
    struct interval longer;
    *chart = (struct chart){.bar = SIZE_MAX, .at = SIZE_MAX};
    int code = chart_read(&chart->asked, exchange, error);
    if (code != ERROR_NONE)
        return code;
    if (beside == NULL || !interval_parse(beside, &longer))
        return error_set(error, ERROR_USAGE,
                         "beside: found '%.40s'; a length such as 1w or 1month is allowed",
                         beside != NULL ? beside : "");
    code = find_seen(page, exchange, &chart->asked.seen, error);
    if (code != ERROR_NONE)
        return code;
    if (chart->asked.bar == INT64_MIN)
        chart->asked.bar = chart->asked.at;
    chart->asked.at = INT64_MIN;
    chart->asked.held = INT64_MAX; /* what it holds back is not there at all */
    chart->asked.setup = NULL;
    chart->asked.interval = longer;
    chart->asked.panes = chart->asked.averages = chart->asked.scale = NULL;
    return open_asked(chart, page, exchange, error);
}

int chart_close(struct chart *chart, int code, struct error *error)
{
    drawn_lines_free(&chart->drawn);
    lines_seen_free(&chart->own);
    if (chart->is_cut) {
        sheet_free(chart->shown);
        bars_free(&chart->shown_bars);
    }
    free(chart->clock);
    free(chart->marks);
    signals_free(&chart->signals);
    notices_free(&chart->notices);
    rules_close(&chart->opened);
    if (chart->has_setup)
        setup_free(&chart->setup);
    return work_close(chart->work, code, error);
}

/* --- asking for the figure ------------------------------------------------------------------- */

void chart_request(const struct chart *chart, double width, double height, double first,
                   double last, struct window_request *request)
{
    *request = (struct window_request){
        .sheet = chart->shown,
        .clock = chart->clock,
        .name = chart->name,
        .tick = chart_tick(chart),
        .width = width,
        .height = height,
        .first = first,
        .last = last,
        .logarithmic = chart->asked.logarithmic,
        .asked_first = chart->bar,
        .asked = chart->bar,
        .strips = chart->asked.strips,
        .strip_count = chart->asked.strip_count,
        .curves = chart->asked.curves,
        .curve_count = chart->asked.curve_count,
        .marks = chart->marks,
        .mark_count = chart->mark_count,
        .lines = chart->drawn.lines,
        .line_count = chart->drawn.line_count,
        .rules = chart->drawn.rules,
        .rule_count = chart->drawn.rule_count,
        .notes = chart->drawn.notes,
        .note_count = chart->drawn.note_count,
        .orders = chart->orders,
        .order_count = chart->order_count,
        .found = chart->is_case && chart->at < chart->shown_count ? &chart->found : NULL,
    };
}
