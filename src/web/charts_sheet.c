/* Charts: one instrument on its figure, to be moved, asked and compared with a
 * setup. */
#include "base/words.h"
#include "web/bar_margin.h"
#include "web/case_walk.h"
#include "web/chart_address.h"
#include "web/chart_list.h"
#include "web/orders_margin.h"
#include "web/own_lines.h"
#include "web/sheets.h"

#include "book/bars_store.h"
#include "draw/typesetter.h"
#include "market/longer.h"
#include "work/as_of.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIGURE_WIDTH = 860, FIGURE_HEIGHT = 600, LEAST_SIZE = 240, MOST_SIZE = 4000 };

/* --- the line of choices -------------------------------------------------------------------- */

static void write_choice(struct html *html, const struct chart *chart,
                         const struct exchange *exchange, const char *name, const char *value,
                         const char *word, bool here)
{
    struct text address;
    if (here) {
        html_open(html, "b");
        html_attribute(html, "aria-current", "true");
        html_text(html, word);
        html_close(html);
    } else {
        chart_address(&address, chart, exchange, name, value);
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_text(html, word);
        html_close(html);
        text_free(&address);
    }
    html_text(html, " ");
}

/* The lengths of bars that the book has, and the longer ones made of them. */
static bool is_there(const struct stored_series *stored, size_t count, struct interval interval)
{
    for (size_t i = 0; i < count; i++)
        if (stored[i].count > 0 && (interval_equal(stored[i].interval, interval) ||
                                    longer_possible(stored[i].interval, interval)))
            return true;
    return false;
}

static void write_lengths(struct html *html, const struct chart *chart,
                          const struct exchange *exchange, const struct stored_series *stored,
                          size_t count)
{
    static const char *const usual[] = {"5m", "15m", "30m", "1h", "4h", "1d", "1w", "1month"};
    struct interval own = chart->opened.series.bars.interval;
    const char *beside = exchange_filled(exchange, "beside");
    html_open_class(html, "span", "choice");
    html_text(html, "bars of\xC2\xA0");
    for (size_t u = 0; u < sizeof usual / sizeof usual[0]; u++) {
        struct interval interval;
        if (interval_parse(usual[u], &interval) && is_there(stored, count, interval))
            write_choice(html, chart, exchange, "interval", usual[u], usual[u],
                         interval_equal(interval, own));
    }
    html_close(html);
    html_text(html, " ");
    html_open_class(html, "span", "choice");
    html_text(html, "beside them\xC2\xA0");
    write_choice(html, chart, exchange, "beside", NULL, "nothing", beside == NULL);
    for (size_t u = 0; u < sizeof usual / sizeof usual[0]; u++) {
        struct interval interval;
        if (interval_parse(usual[u], &interval) && longer_possible(own, interval) &&
            !interval_equal(own, interval))
            write_choice(html, chart, exchange, "beside", usual[u], usual[u],
                         beside != NULL && strcmp(beside, usual[u]) == 0);
    }
    html_close(html);
}

static int write_intervals(struct html *html, struct chart *chart, const struct exchange *exchange,
                           struct error *error)
{
    struct stored_series *stored = NULL;
    struct book *book = NULL;
    size_t count = 0;
    int code = work_borrow(chart->work, &book, error);
    if (code == ERROR_NONE)
        code = bars_store_list(book, chart->opened.series.instrument.id, &stored, &count, error);
    if (code == ERROR_NONE)
        code = as_of_stored(&chart->wishes, book, &chart->opened.series.instrument, stored, &count,
                            error);
    work_return(chart->work, book);
    if (code == ERROR_NONE)
        write_lengths(html, chart, exchange, stored, count);
    free(stored);
    return code;
}

static int write_setups(struct html *html, const struct page *page, const struct chart *chart,
                        struct error *error)
{
    struct book *book = NULL;
    char **names = NULL;
    size_t count = 0;
    int code = work_borrow(chart->work, &book, error);
    if (code == ERROR_NONE)
        code = page_setup_names_in(page, book, &names, &count, error);
    work_return(chart->work, book);
    form_choice_begin(html, "setup", "setup");
    form_option(html, "", "none, just a chart", NULL);
    for (size_t i = 0; i < count; i++) {
        form_option(html, names[i], names[i], chart->has_setup ? chart->asked.setup : NULL);
        free(names[i]);
    }
    form_choice_end(html);
    free(names);
    return code;
}

static void write_input(struct html *html, const char *label, const char *name, const char *size,
                        const char *value, const char *hint)
{
    html_open_class(html, "label", "field");
    html_text(html, label);
    html_text(html, " ");
    html_open_class(html, "input", "blank");
    html_attribute(html, "name", name);
    html_attribute(html, "size", size);
    html_attribute(html, "value", value);
    html_attribute(html, "placeholder", hint);
    html_attribute(html, "autocomplete", "off");
    if (strcmp(name, "instrument") == 0)
        html_attribute(html, "list", "names");
    html_close(html);
}

/* The size of a field for so many letters: a browser's field of 10 holds some 14. */
static size_t fitting(size_t length)
{
    size_t size = length * 3 / 4;
    return size < 10 ? 10 : size > 24 ? 24 : size;
}

/* One form holds every choice, so that it works without a module too. */
static int write_choices(struct html *html, const struct page *page, struct chart *chart,
                         const struct chart_list *list, const struct exchange *exchange,
                         struct error *error)
{
    static const char *const asked[] = {"instrument", "list", "setup", "bar", NULL};
    char bar[CALENDAR_TEXT_SIZE] = "";
    const struct bars *bars = &chart->opened.series.bars;
    if (chart->bar != SIZE_MAX)
        time_format(bar, bars->time[chart->bar], interval_is_dated(bars->interval));
    html_open_class(html, "form", "line choices");
    html_attribute(html, "method", "get");
    html_attribute(html, "action", "/charts");
    char room[24]; /* for the whole name, which a person reads there too */
    snprintf(room, sizeof room, "%zu", fitting(strlen(chart->name)));
    write_input(html, "instrument", "instrument", room, chart->name, NULL);
    html_open(html, "datalist");
    html_attribute(html, "id", "names");
    html_close(html);
    /* Where there is little room the figure comes first: all but the instrument and the
     * date is folded away behind this box. */
    html_open_class(html, "input", "fold");
    html_attribute(html, "type", "checkbox");
    html_attribute(html, "id", "all-choices");
    html_open_class(html, "label", "fold");
    html_attribute(html, "for", "all-choices");
    html_text(html, "list, length of bars, setup");
    html_close(html);
    html_open_class(html, "div", "rest");
    chart_list_write_choice(html, chart, list);
    int code = write_intervals(html, chart, exchange, error);
    if (code == ERROR_NONE)
        code = write_setups(html, page, chart, error);
    html_close(html);
    write_input(html, "date", "bar", "10", bar, NULL);
    form_hidden(html, "was", chart->name);
    form_hidden(html, "was-setup", chart->has_setup ? chart->asked.setup : "");
    chart_write_fields(html, chart, exchange, asked);
    form_button(html, "slight", "show", NULL);
    html_close(html);
    return code;
}

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

static int draw(const struct page *page, const struct window_request *request, bool whole,
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
    int code = draw(page, &request, true, NULL, &svg, &facts, error);
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
        code = write_choices(html, page, chart, &list, exchange, error);
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

/* --- parts that the module asks for ----------------------------------------------------------------- */

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
    int code = draw(page, &request, false, &moving, &still, &facts, error);
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
