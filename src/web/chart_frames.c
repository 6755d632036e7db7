/* The figure drawn, and the parts of the sheet Charts that its module asks for. */
#include "web/chart_frames.h"

#include "draw/typesetter.h"
#include "web/bar_margin.h"
#include "web/own_lines.h"
#include "web/sheets.h"

#include <math.h>
#include <string.h>

int chart_draw(const struct page *page, const struct window_request *request, bool whole,
               struct text *moving, struct text *still, struct text *facts, struct error *error)
{
    struct typesetter *typesetter = NULL;
    struct chart_window window = {0};
    int code = page_typesetter(page, &typesetter, error);
    if (code == ERROR_NONE)
        code = chart_window_make(&window, typesetter, request, "rl-chart", error);
    if (code == ERROR_NONE && whole)
        code = chart_window_write_whole(&window, THEME_AUTO, still, error);
    if (code == ERROR_NONE && !whole)
        code = chart_window_write_moving(&window, THEME_AUTO, moving, error);
    if (code == ERROR_NONE && !whole)
        code = chart_window_write_still(&window, THEME_AUTO, still, error);
    if (code == ERROR_NONE)
        chart_window_append_json(&window, facts);
    chart_window_free(&window);
    page_typesetter_done(page, typesetter);
    return code;
}

static double number_field(const struct exchange *exchange, const char *name, double least,
                           double most, double missing)
{
    const char *text = exchange_filled(exchange, name);
    double value = 0;
    if (text == NULL || !number_parse(text, strlen(text), &value) || !(value >= least) ||
        !(value <= most))
        return missing;
    return value;
}

/* The bars in view, for the cross that reads them; the newest of those that no eye
 * could tell apart. */
static void append_bars(struct text *json, const struct chart *chart, double first, double last)
{
    enum { MOST_BARS = 1500 };
    const struct bars *bars = &chart->opened.series.bars;
    const double *atr = sheet_atr(chart->shown, 14);
    double count = (double)chart->shown_count;
    size_t from = first > 0 ? (size_t)(first < count ? first : count) : 0;
    size_t to = last > 0 ? (size_t)(last + 1 < count ? last + 1 : count) : 0;
    if (to > from + MOST_BARS)
        from = to - MOST_BARS;
    text_append_format(json, ",\"from\":%zu,\"bars\":[", from);
    for (size_t i = from; i < to; i++) {
        char date[CALENDAR_TEXT_SIZE];
        page_date(date, chart->clock[i], interval_is_dated(bars->interval));
        text_append(json, i > from ? ",[" : "[");
        text_append_json(json, date);
        const double numbers[] = {bars->open[i], bars->high[i], bars->low[i], bars->close[i],
                                  atr != NULL && i < sheet_count(chart->shown) ? atr[i] : NAN};
        for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
            text_append_char(json, ',');
            if (isfinite(numbers[k]))
                text_append_number(json, numbers[k]);
            else
                text_append(json, "null");
        }
        text_append_format(json, ",%lld]", (long long)bars->time[i]);
    }
    text_append_char(json, ']');
}

/* The frame of the bars first to last as the module takes it. */
static int answer_frame(const struct page *page, const struct chart *chart,
                        struct exchange *exchange, double first, double last, struct error *error)
{
    struct window_request request;
    struct text moving, still, facts;
    text_init(&moving);
    text_init(&still);
    text_init(&facts);
    chart_request(chart, number_field(exchange, "width", LEAST_SIZE, MOST_SIZE, FIGURE_WIDTH),
                  number_field(exchange, "height", LEAST_SIZE, MOST_SIZE, FIGURE_HEIGHT), first,
                  last, &request);
    request.over = 0.2;
    int code = chart_draw(page, &request, false, &moving, &still, &facts, error);
    if (code == ERROR_NONE) {
        struct text *body = &exchange->body;
        exchange->type = "application/json";
        text_append(body, "{\"facts\":");
        text_append(body, facts.bytes);
        text_append(body, ",\"moving\":");
        text_append_json(body, moving.bytes);
        text_append(body, ",\"still\":");
        text_append_json(body, still.bytes);
        append_bars(body, chart, first, last);
        text_append(body, ",\"lines\":");
        own_lines_append_json(body, chart);
        text_append_char(body, '}');
    }
    text_free(&moving);
    text_free(&still);
    text_free(&facts);
    return code;
}

int part_figure(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    double first = number_field(exchange, "first", -1e9, 1e9, 0);
    double last = number_field(exchange, "last", -1e9, 1e9, first + CHART_SPAN);
    int code = chart_open(&chart, page, exchange, error);
    if (last - first < 5)
        last = first + 5;
    if (code == ERROR_NONE)
        code = answer_frame(page, &chart, exchange, first, last, error);
    return chart_close(&chart, code, error);
}

int part_beside(struct page *page, struct exchange *exchange, struct error *error)
{
    enum { BESIDE_SPAN = 60, BESIDE_ROOM = 3 };
    struct chart chart;
    int64_t edge = exchange_integer(exchange, "edge", INT64_MIN / 2, INT64_MAX / 2, INT64_MAX);
    int code = chart_open_beside(&chart, page, exchange, error);
    if (code == ERROR_NONE) {
        const struct bars *bars = &chart.opened.series.bars;
        size_t after = bars_find(bars, edge == INT64_MAX ? edge : edge + 1);
        double last = (double)after + BESIDE_ROOM;
        code = answer_frame(page, &chart, exchange, last - BESIDE_SPAN, last, error);
    }
    return chart_close(&chart, code, error);
}

/* The margin of another bar, by its number. */
int part_bar(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct html html;
    html_init(&html, &exchange->body);
    int code = chart_open(&chart, page, exchange, error);
    if (code == ERROR_NONE) {
        size_t count = chart.shown_count;
        int64_t number = exchange_integer(exchange, "number", 0, (int64_t)count - 1, -1);
        if (number >= 0)
            chart.bar = (size_t)number;
        code = bar_margin_write(&html, &chart, error);
    }
    return chart_close(&chart, code, error);
}
