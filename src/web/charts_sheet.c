/* Charts: one instrument on its figure, to be moved, asked and compared with a
 * setup. */
#include "base/words.h"
#include "web/bar_margin.h"
#include "web/case_walk.h"
#include "web/chart_address.h"
#include "web/chart_choices.h"
#include "web/chart_frames.h"
#include "web/chart_list.h"
#include "web/orders_margin.h"
#include "web/own_lines.h"
#include "web/sheets.h"

#include <string.h>

/* --- the figure --------------------------------------------------------------------------------- */

/* The bars in view at first: the span, the one asked about well to the right. */
static void usual_view(const struct chart *chart, const struct exchange *exchange, double *first,
                       double *last)
{
    double span = (double)exchange_integer(exchange, "span", 10, 100000, CHART_SPAN);
    size_t count = chart->shown_count;
    double edge = chart->bar == SIZE_MAX ? 0 : (double)chart->bar + span / 6;
    if (edge > (double)count + 3)
        edge = (double)count + 3;
    *last = edge;
    *first = edge - span;
}

/* The figure of the longer bars: its module fills it, and it takes no room before. */
static void write_beside(struct html *html, const struct exchange *exchange)
{
    const char *beside = exchange_filled(exchange, "beside");
    if (beside == NULL)
        return;
    html_open_class(html, "div", "frame beside");
    html_attribute(html, "id", "beside");
    html_attribute(html, "role", "img");
    html_attribute(html, "data-length", beside);
    html_attribute(html, "aria-label", "The same in longer bars, up to the last bar in view");
    html_close(html);
}

static int write_figure(struct html *html, const struct page *page, const struct chart *chart,
                        const struct exchange *exchange, struct error *error)
{
    struct window_request request;
    struct text svg, facts;
    double first = 0;
    double last = 0;
    usual_view(chart, exchange, &first, &last);
    chart_request(chart, FIGURE_WIDTH, FIGURE_HEIGHT, first, last, &request);
    text_init(&svg);
    text_init(&facts);
    int code = chart_draw(page, &request, true, NULL, &svg, &facts, error);
    if (code == ERROR_NONE) {
        html_open_class(html, "div", "chart");
        html_open(html, "figure");
        html_open_class(html, "div", "frames");
        html_open_class(html, "div", "frame");
        html_attribute(html, "id", "chart");
        html_attribute(html, "tabindex", "0");
        html_attribute(html, "role", "application");
        html_attribute(html, "aria-label",
                       "The chart; arrow keys go from bar to bar, plus and minus change the span");
        html_attribute_number(html, "data-first", first);
        html_attribute_number(html, "data-last", last);
        html_attribute_integer(html, "data-count", (int64_t)chart->shown_count);
        html_attribute_integer(html, "data-bar", chart->bar == SIZE_MAX ? -1 : (int64_t)chart->bar);
        html_markup(html, svg.bytes);
        html_close(html);
        write_beside(html, exchange);
        html_close(html);
        html_open(html, "figcaption");
        html_element(html, "b", "Figure 1.");
        html_text(html, " Hollow candles closed above their open, filled ones at or below it. The "
                        "orange one is asked about. Drag, turn the wheel or use the arrow keys to "
                        "move; press a bar, or Enter, to ask it.");
        if (exchange_filled(exchange, "beside") != NULL)
            html_text(html, " Beside them the same in longer bars, up to the last in view; one "
                            "cross stands on the same price in both, and on the longer bar that "
                            "holds the shorter.");
        if (chart->has_plan)
            html_text(html, " Entry, stop and target are ruled: take one at its ring, or go to it "
                            "with Tab and use the up and down keys; Delete puts it back.");
        if (chart->drawn.line_count > 0)
            html_text(html, " Own lines are black; an end is moved by its open ring.");
        if (chart->is_cut)
            html_text(html, chart->at != SIZE_MAX
                                ? " The case is cut at its last bar: what followed is held back."
                                : " It ends with the last bar shown: what follows is held back.");
        html_close_all(html, 2);
        html_element_class(html, "p", "readout small soft", "\xC2\xA0");
        chart_shows_write(html, page, chart, exchange);
        html_close(html);
    }
    text_free(&svg);
    text_free(&facts);
    return code;
}

/* --- the cases of the setup ------------------------------------------------------------------------ */

static void write_cases(struct html *html, const struct chart *chart,
                        const struct exchange *exchange)
{
    const struct bars *bars = &chart->opened.series.bars;
    bool dated = interval_is_dated(bars->interval);
    html_open_class(html, "section", "block ruled");
    html_open(html, "h2");
    html_text(html, "Every case of ");
    html_text(html, chart->setup.name);
    html_text(html, " here: ");
    page_count(html, (int64_t)chart->signals.count);
    html_close(html);
    if (chart->signals.count == 0) {
        html_element_class(html, "p", "gap soft", "None.");
        html_close(html);
        return;
    }
    html_open_class(html, "ul", "dates gap");
    for (size_t i = 0; i < chart->signals.count; i++) {
        char date[CALENDAR_TEXT_SIZE], moment[CALENDAR_TEXT_SIZE];
        struct text address;
        size_t at = chart->signals.list[i].candle.at;
        page_date(date, chart->clock[at], dated);
        time_format(moment, bars->time[at], dated);
        chart_address(&address, chart, exchange, "case", moment);
        html_open(html, "li");
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_attribute(html, "aria-current", at == chart->at ? "true" : NULL);
        html_text(html, date);
        html_close_all(html, 2);
        text_free(&address);
    }
    html_close_all(html, 2);
}

/* Which of the cases is the one shown, counted from 1 in order of time; 0: none. */
static size_t number_of_case(const struct chart *chart)
{
    for (size_t i = 0; i < chart->signals.count; i++)
        if (chart->signals.list[i].candle.at == chart->at)
            return i + 1;
    return 0;
}

static void say_cases(const struct chart *chart, struct text *says)
{
    size_t count = chart->signals.count;
    size_t number = number_of_case(chart);
    const char *setup = chart->setup.name;
    if (count == 0)
        text_append_format(says, " None of them is a case of %s.", setup);
    else if (number > 0)
        text_append_format(says, " Case %zu of the %zu of %s.", number, count, setup);
    else
        text_append_format(says, " %zu %s of %s among them.", count,
                           count_word(count, "case", "cases"), setup);
}

static void say(const struct chart *chart, const char *none, struct text *says)
{
    const struct bars *bars = &chart->opened.series.bars;
    if (bars->count == 0) {
        text_append(says, "There is no bar of it as of that date.");
        return;
    }
    char last[CALENDAR_TEXT_SIZE];
    bool held = chart->asked.held != INT64_MAX && chart->is_cut;
    page_date(last, chart->clock[held ? chart->shown_count - 1 : bars->count - 1],
              interval_is_dated(bars->interval));
    if (held)
        text_append_format(says, "%zu %s up to %s; what follows is held back.", chart->shown_count,
                           count_word(chart->shown_count, "bar", "bars"), last);
    else
        text_append_format(says, "%zu %s, the newest of %s.", bars->count,
                           count_word(bars->count, "bar", "bars"), last);
    if (none != NULL)
        text_append_format(says, " There is no %s case of %s.",
                           strcmp(none, "next") == 0 ? "later" : "earlier", chart->setup.name);
    if (chart->has_setup && !held)
        say_cases(chart, says);
}

/* The bar asked about, and the way on from it bar by bar. */
static int write_margin(struct html *html, struct chart *chart, const struct exchange *exchange,
                        struct error *error)
{
    html_open_class(html, "aside", "margin");
    html_attribute(html, "aria-label", "The bar");
    html_open(html, "div");
    html_attribute(html, "id", "bar");
    html_attribute(html, "aria-live", "polite");
    int code = bar_margin_write(html, chart, error);
    html_close(html);
    if (code == ERROR_NONE)
        case_walk_write_bars(html, chart, exchange);
    html_close(html);
    return code;
}

/* Below the figure, side by side, however long the margin is: the orders of a case, and
 * own lines. */
static int write_parts(struct html *html, const struct page *page, struct chart *chart,
                       const struct exchange *exchange, struct error *error)
{
    int code = ERROR_NONE;
    html_open_class(html, "div", "parts");
    if (chart->has_plan) {
        html_open_class(html, "section", "ruled");
        html_attribute(html, "id", "orders");
        code = orders_margin_write(html, chart, exchange, error);
        html_close(html);
    }
    if (code == ERROR_NONE)
        code = own_lines_write(html, page, chart, exchange, error);
    html_close(html);
    return code;
}

static int write_sheet(struct html *html, struct page *page, struct exchange *exchange,
                       struct chart *chart, struct error *error)
{
    struct text says;
    struct chart_list list;
    int code = chart_list_read(&list, chart, error);
    text_init(&says);
    say(chart, chart->has_setup ? exchange_filled(exchange, "none") : NULL, &says);
    frame_begin(html, page, exchange,
                &(struct sheet_head){SHEET_CHARTS, chart->name, says.bytes, "charts.js"});
    text_free(&says);
    if (code == ERROR_NONE)
        code = chart_choices_write(html, page, chart, &list, exchange, error);
    if (code == ERROR_NONE)
        chart_list_write(html, page, chart, &list, exchange);
    chart_list_free(&list);
    html_open_class(html, "div", "pair gap2");
    if (code == ERROR_NONE && chart->opened.series.bars.count > 0)
        code = write_figure(html, page, chart, exchange, error);
    if (code == ERROR_NONE)
        code = write_margin(html, chart, exchange, error);
    if (code == ERROR_NONE && chart->opened.series.bars.count > 0)
        code = write_parts(html, page, chart, exchange, error);
    if (code == ERROR_NONE) {
        html_close(html);
        if (chart->has_setup && chart->asked.held == INT64_MAX)
            write_cases(html, chart, exchange);
        frame_end(html, exchange);
    }
    return code;
}

/* What a form names that it did not stand beside; NULL: nothing. Its case, its bar or
 * its orders are not those of the other. */
static const char *another(const struct chart *chart, const struct exchange *exchange,
                           const char **value)
{
    const char *was = exchange_filled(exchange, "was");
    const char *was_setup = exchange_field(exchange, "was-setup");
    const char *setup = chart->has_setup ? chart->asked.setup : "";
    *value = chart->name;
    if (was != NULL && strcmp(was, chart->name) != 0)
        return "instrument";
    *value = chart->has_setup ? setup : NULL;
    return was_setup != NULL && strcmp(was_setup, setup) != 0 ? "setup" : NULL;
}

static int go_there(const struct chart *chart, struct exchange *exchange, const char *name,
                    const char *value, struct error *error)
{
    struct text address;
    chart_address(&address, chart, exchange, name, value);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}

int sheet_charts(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct html html;
    const char *value = NULL;
    html_init(&html, &exchange->body);
    int code = chart_open(&chart, page, exchange, error);
    const char *name = code == ERROR_NONE ? another(&chart, exchange, &value) : NULL;
    if (name != NULL)
        code = go_there(&chart, exchange, name, value, error);
    else if (code == ERROR_NONE)
        code = write_sheet(&html, page, exchange, &chart, error);
    return chart_close(&chart, code, error);
}
