#include "web/chart.h"

#include "book/bars_store.h"
#include "book/instrument_store.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- reading the address ------------------------------------------------------------------ */

static int read_strips(struct chart_asked *asked, const char *text, struct error *error)
{
    if (text == NULL)
        text = "volume,rsi";
    while (*text != '\0') {
        char name[24];
        size_t length = strcspn(text, ",");
        struct window_strip strip = {0};
        snprintf(name, sizeof name, "%.*s", (int)length, text);
        if (length > 0) {
            if (!window_kind_from_name(&strip.kind, name) || strip.kind == WINDOW_PRICE)
                return error_set(error, ERROR_USAGE,
                                 "panes: found '%s'; volume, rsi, macd, stochastic and adx are "
                                 "allowed",
                                 name);
            if (asked->strip_count < CHART_STRIPS)
                asked->strips[asked->strip_count++] = strip;
        }
        text += length + (text[length] != '\0');
    }
    return ERROR_NONE;
}

static int add_curve(struct chart_asked *asked, enum measure_id measure, double a, double b,
                     enum dash dash, const char *name)
{
    if (asked->curve_count >= CHART_CURVES)
        return ERROR_NONE;
    size_t at = asked->curve_count++;
    if (name != NULL)
        snprintf(asked->curve_names[at], sizeof asked->curve_names[at], "%s", name);
    asked->curves[at] = (struct window_curve){.measure = measure, .a = a, .b = b, .dash = dash};
    return ERROR_NONE;
}

/* "50,200,bands": lengths of averages, and the bands. */
static int read_averages(struct chart_asked *asked, const char *text, struct error *error)
{
    static const enum dash dashes[] = {DASH_NONE, DASH_SHORT, DASH_DOTS};
    size_t averages = 0;
    while (text != NULL && *text != '\0') {
        size_t length = strcspn(text, ",");
        int64_t bars = 0;
        if (length == 5 && strncmp(text, "bands", length) == 0) {
            add_curve(asked, MEASURE_UPPER_BAND, 0, 0, DASH_DOTS, "upper band");
            add_curve(asked, MEASURE_LOWER_BAND, 0, 0, DASH_DOTS, "lower band");
        } else if (number_parse_integer(text, length, &bars) && bars >= 2 && bars <= 2000) {
            char name[24];
            snprintf(name, sizeof name, "average of %d", (int)bars);
            add_curve(asked, MEASURE_MEAN, (double)bars, 0, dashes[averages++ % 3], name);
        } else if (length > 0) {
            return error_set(error, ERROR_USAGE,
                             "averages: found '%.*s'; lengths from 2 to 2000 and bands are allowed",
                             (int)(length < 40 ? length : 40), text);
        }
        text += length + (text[length] != '\0');
    }
    for (size_t i = 0; i < asked->curve_count; i++)
        asked->curves[i].name = asked->curve_names[i];
    return ERROR_NONE;
}

static int read_moment(const char *name, const char *text, int64_t missing, bool end, int64_t *time,
                       struct error *error)
{
    bool date_only = false;
    *time = missing;
    if (text == NULL)
        return ERROR_NONE;
    if (!time_parse(text, strlen(text), time, &date_only))
        return error_set(error, ERROR_USAGE,
                         "%s: found '%.40s'; a date such as 2024-11-01 is allowed", name, text);
    if (end && date_only)
        *time += SECONDS_PER_DAY - 1;
    return ERROR_NONE;
}

int chart_read(struct chart_asked *asked, const struct exchange *exchange, struct error *error)
{
    const char *interval = exchange_filled(exchange, "interval");
    *asked = (struct chart_asked){.instrument = exchange_filled(exchange, "instrument"),
                                  .list = exchange_filled(exchange, "list"),
                                  .setup = exchange_filled(exchange, "setup"),
                                  .logarithmic = exchange_filled(exchange, "scale") != NULL &&
                                                 strcmp(exchange_field(exchange, "scale"), "log") ==
                                                     0};
    if (interval != NULL && !interval_parse(interval, &asked->interval))
        return error_set(error, ERROR_USAGE,
                         "bars of: found '%.40s'; a length such as 1d, 1w, 4h or 30m is allowed",
                         interval);
    int code = read_moment("bar", exchange_filled(exchange, "bar"), INT64_MIN, false, &asked->bar,
                           error);
    if (code == ERROR_NONE)
        code = read_moment("case", exchange_filled(exchange, "case"), INT64_MIN, false, &asked->at,
                           error);
    if (code == ERROR_NONE)
        code = read_strips(asked, exchange_field(exchange, "panes"), error);
    return code == ERROR_NONE ? read_averages(asked, exchange_field(exchange, "averages"), error)
                              : code;
}

/* --- opening it ------------------------------------------------------------------------------- */

/* The first member of the list, else the first instrument of the book. */
static int first_name(struct chart *chart, struct error *error)
{
    struct book *book = NULL;
    char **members = NULL;
    struct instrument *all = NULL;
    size_t count = 0;
    bool found = false;
    int code = work_borrow(chart->work, &book, error);
    if (code == ERROR_NONE && chart->asked.list != NULL)
        code = list_store_members(book, chart->asked.list, &members, &count, &found, error);
    if (code == ERROR_NONE && chart->asked.list != NULL && !found)
        code = error_set(error, ERROR_INPUT, "there is no list '%.60s' in the book",
                         chart->asked.list);
    if (found && count > 0)
        snprintf(chart->name, sizeof chart->name, "%s", members[0]);
    for (size_t i = 0; i < count; i++)
        free(members[i]);
    free(members);
    if (code == ERROR_NONE && chart->asked.list == NULL)
        code = instrument_store_all(book, &all, &count, error);
    if (all != NULL && count > 0)
        snprintf(chart->name, sizeof chart->name, "%s", all[0].name);
    free(all);
    work_return(chart->work, book);
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

/* Of a case nobody sees unasked what followed. */
static int cut(struct chart *chart, struct error *error)
{
    const struct series *series = &chart->opened.series;
    chart->shown = chart->opened.sheet;
    chart->shown_count = series->bars.count;
    if (chart->at == SIZE_MAX || chart->at + 1 == series->bars.count)
        return ERROR_NONE;
    int code = bars_slice(&chart->shown_bars, &series->bars, 0, chart->at + 1, error);
    if (code != ERROR_NONE)
        return code;
    chart->is_cut = true;
    chart->shown_count = chart->at + 1;
    if (chart->bar >= chart->shown_count)
        chart->bar = chart->at;
    chart->shown = sheet_of_instrument(&chart->shown_bars, &series->instrument);
    return chart->shown != NULL ? ERROR_NONE : error_memory(error);
}

static int settle(struct chart *chart, struct error *error)
{
    const struct bars *bars = &chart->opened.series.bars;
    if (chart->has_setup && chart->asked.at != INT64_MIN)
        chart->at = find_bar(bars, chart->asked.at);
    chart->bar = chart->asked.bar == INT64_MIN && chart->at != SIZE_MAX
                     ? chart->at
                     : find_bar(bars, chart->asked.bar);
    int code = window_clock(bars, chart->opened.series.instrument.zone, &chart->clock, error);
    if (code == ERROR_NONE && chart->has_setup)
        code = signals_find(&chart->opened.view, 0, SIZE_MAX, true, &chart->signals, error);
    return code == ERROR_NONE ? cut(chart, error) : code;
}

int page_wishes(const struct page *page, const struct exchange *exchange, struct wishes *wishes,
                struct error *error)
{
    wishes_init(wishes);
    wishes->book = page->options.book;
    wishes->names_only = true;
    wishes->threads = page->options.threads;
    wishes->seed = page->options.seed;
    wishes->now = page->options.clock();
    return read_moment("as of", exchange_filled(exchange, "as-of"), INT64_MAX, true, &wishes->to,
                       error);
}

int chart_open(struct chart *chart, const struct page *page, const struct exchange *exchange,
               struct error *error)
{
    *chart = (struct chart){.bar = SIZE_MAX, .at = SIZE_MAX};
    int code = chart_read(&chart->asked, exchange, error);
    if (code == ERROR_NONE)
        code = page_wishes(page, exchange, &chart->wishes, error);
    chart->wishes.interval = chart->asked.interval;
    chart->wishes.threads = 1;
    if (code == ERROR_NONE)
        code = work_open(&chart->work, &chart->wishes, &(struct voice){0}, error);
    if (code == ERROR_NONE && chart->asked.instrument != NULL)
        snprintf(chart->name, sizeof chart->name, "%s", chart->asked.instrument);
    else if (code == ERROR_NONE)
        code = first_name(chart, error);
    if (code == ERROR_NONE && chart->asked.setup != NULL) {
        code = page_setup(page, chart->asked.setup, &chart->setup, error);
        chart->has_setup = code == ERROR_NONE;
    }
    if (code == ERROR_NONE)
        code = open_series(chart, error);
    return code == ERROR_NONE ? settle(chart, error) : code;
}

int chart_close(struct chart *chart, int code, struct error *error)
{
    if (chart->is_cut) {
        sheet_free(chart->shown);
        bars_free(&chart->shown_bars);
    }
    free(chart->clock);
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
    const struct instrument *instrument = &chart->opened.series.instrument;
    *request = (struct window_request){
        .sheet = chart->shown,
        .clock = chart->clock,
        .name = chart->name,
        .tick = instrument->tick_known ? instrument->tick.value : 0.01,
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
    };
}

void chart_panes_text(const struct chart_asked *asked, struct text *panes)
{
    for (size_t i = 0; i < asked->strip_count; i++) {
        text_append(panes, i > 0 ? "," : "");
        text_append(panes, window_kind_name(asked->strips[i].kind));
    }
}

void chart_averages_text(const struct chart_asked *asked, struct text *averages)
{
    bool bands = false;
    for (size_t i = 0; i < asked->curve_count; i++) {
        bool is_band = asked->curves[i].measure != MEASURE_MEAN;
        if (is_band && bands)
            continue;
        text_append(averages, averages->length > 0 ? "," : "");
        if (is_band)
            text_append(averages, "bands");
        else
            text_append_integer(averages, (int64_t)asked->curves[i].a);
        bands |= is_band;
    }
}

void chart_address(struct text *address, const struct chart *chart, const struct exchange *exchange,
                   const char *name, const char *value)
{
    static const char *const kept[] = {"list", "interval", "setup", "case",     "bar",
                                       "span", "scale",    "panes", "averages", "as-of"};
    address_begin(address, "/charts");
    address_add(address, "instrument", strcmp(name, "instrument") == 0 ? value : chart->name);
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++)
        address_add(address, kept[i],
                    strcmp(name, kept[i]) == 0 ? value : exchange_filled(exchange, kept[i]));
}
