#include "web/case_walk.h"

#include "web/chart_address.h"
#include "web/draft.h"
#include "web/sheets.h"

#include <string.h>

/* --- the ways on --------------------------------------------------------------------------- */

static void write_way(struct html *html, struct text *address, const char *way, const char *words,
                      const char *key)
{
    html_open(html, "a");
    html_address(html, "href", address->bytes);
    html_attribute(html, "data-way-on", way);
    html_text(html, words);
    html_element(html, "kbd", key);
    html_close(html);
    html_text(html, " ");
    text_free(address);
}

/* The chart's own address on another path, with one field more. */
static void elsewhere(struct text *address, const struct chart *chart,
                      const struct exchange *exchange, const char *path, const char *name,
                      const char *value)
{
    struct text here;
    chart_address(&here, chart, exchange, "", NULL);
    address_begin(address, path);
    text_append(address, strchr(here.bytes, '?'));
    address_add(address, name, value);
    text_free(&here);
}

void case_walk_write(struct html *html, const struct chart *chart, const struct exchange *exchange)
{
    struct text address;
    if (chart->has_setup) {
        elsewhere(&address, chart, exchange, "/charts/case", "go", "previous");
        write_way(html, &address, "previous-case", "previous case", "p");
        elsewhere(&address, chart, exchange, "/charts/case", "go", "next");
        write_way(html, &address, "next-case", "next case", "n");
    }
}

/* What is held back, or would be. */
static void write_held(struct html *html, const struct chart *chart)
{
    char date[CALENDAR_TEXT_SIZE];
    bool held = chart->asked.held != INT64_MAX;
    size_t bar = held ? chart->shown_count - 1 : chart->bar;
    page_date(date, chart->clock[bar], interval_is_dated(chart->opened.series.bars.interval));
    html_open(html, "p");
    html_text(html, "The bars after ");
    html_element(html, "b", date);
    html_text(html, held ? " are held back, and shown one by one."
                         : " can be held back, and then shown one by one.");
    html_close(html);
}

void case_walk_write_bars(struct html *html, const struct chart *chart,
                          const struct exchange *exchange)
{
    struct text address;
    if (chart->bar == SIZE_MAX)
        return;
    html_open_class(html, "section", "ruled by-bar");
    html_element(html, "h2", "One bar at a time");
    write_held(html, chart);
    html_open_class(html, "p", "acts");
    if (chart->asked.held == INT64_MAX) {
        elsewhere(&address, chart, exchange, "/charts/step", "by", "0");
        write_way(html, &address, "hold", "hold them back", "h");
    } else {
        elsewhere(&address, chart, exchange, "/charts/step", "by", "-1");
        write_way(html, &address, "back", "one bar back", "b");
        elsewhere(&address, chart, exchange, "/charts/step", "by", "1");
        write_way(html, &address, "on", "one bar on", "f");
        chart_address(&address, chart, exchange, "held", NULL);
        write_way(html, &address, "hold", "show all again", "h");
    }
    html_close_all(html, 2);
}

/* --- bar by bar ------------------------------------------------------------------------------- */

/* The bar so many on from the last one shown, never past that of a case. */
static size_t step_from(const struct chart *chart, int64_t by)
{
    const struct bars *bars = &chart->opened.series.bars;
    bool held = chart->asked.held != INT64_MAX;
    int64_t at = held ? (int64_t)chart->shown_count - 1 : (int64_t)chart->bar;
    int64_t most = chart->at != SIZE_MAX ? (int64_t)chart->at : (int64_t)bars->count - 1;
    at += by;
    return (size_t)(at < 0 ? 0 : at > most ? most : at);
}

int step_bar(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct text address;
    char moment[CALENDAR_TEXT_SIZE];
    int64_t by = exchange_integer(exchange, "by", -1, 1, 0);
    int code = chart_open(&chart, page, exchange, error);
    if (code == ERROR_NONE && chart.bar == SIZE_MAX)
        code = error_set(error, ERROR_INPUT, "there is no bar of it as of that date");
    if (code == ERROR_NONE) {
        const struct bars *bars = &chart.opened.series.bars;
        time_format(moment, bars->time[step_from(&chart, by)], interval_is_dated(bars->interval));
        chart_address(&address, &chart, exchange, "held", moment);
        code = exchange_go(exchange, address.bytes, error);
        text_free(&address);
    }
    return chart_close(&chart, code, error);
}

/* --- case by case ------------------------------------------------------------------------------ */

/* Where one stands: on a case, or on a bar between cases. */
struct standing {
    const char *name;
    int64_t time;
};

static struct standing stand(const struct chart *chart)
{
    const struct bars *bars = &chart->opened.series.bars;
    size_t bar = chart->at != SIZE_MAX ? chart->at : chart->bar;
    return (struct standing){chart->name, bar != SIZE_MAX ? bars->time[bar] : INT64_MIN};
}

static bool is_here(const struct held *held, const struct held_case *one,
                    const struct standing *here)
{
    return one->time == here->time &&
           strcmp(held->list[one->series].opened.series.instrument.name, here->name) == 0;
}

/* The case beside this place in the order of time; SIZE_MAX: there is none. */
static size_t beside(const struct held *held, const struct held_cases *cases,
                     const struct standing *here, bool next)
{
    size_t before = SIZE_MAX;
    size_t after = SIZE_MAX;
    for (size_t i = 0; i < cases->count; i++) {
        if (is_here(held, &cases->list[i], here)) {
            before = i > 0 ? i - 1 : SIZE_MAX;
            after = i + 1 < cases->count ? i + 1 : SIZE_MAX;
            break;
        }
        if (cases->list[i].time < here->time)
            before = i;
        else if (after == SIZE_MAX)
            after = i;
    }
    return next ? after : before;
}

static int go_to(struct exchange *exchange, const struct held *held, const struct held_case *one,
                 struct error *error)
{
    const struct series *series = &held->list[one->series].opened.series;
    struct text address;
    char moment[CALENDAR_TEXT_SIZE];
    time_format(moment, one->time, interval_is_dated(series->bars.interval));
    chart_address_of_case(&address, exchange, series->instrument.name, moment);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}

/* Past the last one it stays where it is, and the sheet says so. */
static int stay(struct exchange *exchange, const struct chart *chart, bool next,
                struct error *error)
{
    struct text address;
    elsewhere(&address, chart, exchange, "/charts", "none", next ? "next" : "previous");
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}

int walk_cases(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct work *work = NULL;
    struct held *held = NULL;
    struct held_cases cases = {0};
    const char *go = exchange_filled(exchange, "go");
    bool next = go == NULL || strcmp(go, "previous") != 0;
    int code = chart_open(&chart, page, exchange, error);
    if (code == ERROR_NONE && !chart.has_setup)
        code = error_set(error, ERROR_INPUT, "choose a setup first: cases are those of a setup");
    if (code != ERROR_NONE)
        return chart_close(&chart, code, error);
    code = page_held(page, exchange, &chart.setup, &work, &held, error);
    if (code == ERROR_NONE)
        code = held_cases_find(held, work, &chart.setup, &cases, error);
    if (code == ERROR_NONE) {
        const struct standing here = stand(&chart);
        size_t at = beside(held, &cases, &here, next);
        code = at != SIZE_MAX ? go_to(exchange, held, &cases.list[at], error)
                              : stay(exchange, &chart, next, error);
    }
    held_cases_free(&cases);
    code = page_held_done(page, work, code, error);
    return chart_close(&chart, code, error);
}
