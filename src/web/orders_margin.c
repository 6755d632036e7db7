/* Orders on the figure: where entry, stop and target stand, and what they come to. */
#include "web/orders_margin.h"

#include "answer/plan_words.h"
#include "document/cautions.h"
#include "draw/ticks.h"
#include "web/chart_address.h"
#include "web/order_bound.h"
#include "web/sheets.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { R_DECIMALS = 2 };
static const char *const order_names[] = {"entry", "stop", "target"};

/* --- reading ------------------------------------------------------------------------------ */

static int read_line(const struct exchange *exchange, const char *name, double *price,
                     struct error *error)
{
    const char *text = exchange_filled(exchange, name);
    *price = NAN;
    if (text == NULL)
        return ERROR_NONE;
    if (!number_parse(text, strlen(text), price) || !isfinite(*price))
        return error_set(error, ERROR_USAGE,
                         "%s: found '%.40s'; a price is allowed, or nothing for that of the setup",
                         name, text);
    return ERROR_NONE;
}

static void add_line(struct chart *chart, enum window_order_kind kind, double price)
{
    if (isfinite(price))
        chart->orders[chart->order_count++] = (struct window_order){kind, price, chart->at};
}

int chart_orders_read(struct chart *chart, const struct exchange *exchange, struct error *error)
{
    struct planned_lines *lines = &chart->lines;
    double *const prices[] = {&lines->entry, &lines->stop, &lines->target};
    *lines = (struct planned_lines){NAN, NAN, NAN};
    if (!chart->has_setup || chart->at == SIZE_MAX)
        return ERROR_NONE;
    enum entry_way way = entry_way_find(exchange_filled(exchange, "way"),
                                        entry_way_of(&chart->setup));
    int code = ERROR_NONE;
    for (int i = 0; i < 3 && code == ERROR_NONE; i++) {
        code = read_line(exchange, order_names[i], prices[i], error);
        if (code == ERROR_NONE)
            code = order_bound_read(chart, exchange, i, error);
        if (chart->bound[i].asked && isfinite(chart->bound[i].price))
            *prices[i] = chart->bound[i].price;
    }
    if (code == ERROR_NONE)
        code = case_plan_make(&chart->opened, chart->shown, &chart->setup, chart->at, way, lines,
                              &chart->plan, &chart->has_plan, error);
    if (code != ERROR_NONE || !chart->has_plan)
        return code;
    add_line(chart, WINDOW_ENTRY, chart->plan.orders.entry);
    add_line(chart, WINDOW_STOP, chart->plan.orders.stop);
    add_line(chart, WINDOW_TARGET, chart->plan.orders.target);
    return ERROR_NONE;
}

/* --- numbers -------------------------------------------------------------------------------- */

static int decimals(const struct chart *chart)
{
    return decimals_of(chart->plan.orders.tick);
}

/* "+2.50", with a minus that is one. */
static void signed_text(double value, int places, struct text *text)
{
    char number[TICK_TEXT_SIZE];
    if (!isfinite(value))
        return;
    number_text(value, places, number);
    if (value > 0)
        text_append_char(text, '+');
    text_append(text, number);
}

static void write_number(struct html *html, double value, int places)
{
    struct text text;
    text_init(&text);
    signed_text(value, places, &text);
    html_element_class(html, "td", "n", text.bytes);
    text_free(&text);
}

static void price_words(const struct chart *chart, double price, struct text *text)
{
    char number[TICK_TEXT_SIZE];
    number_text(price, decimals(chart), number);
    text_append(text, number);
}

/* --- the lines ---------------------------------------------------------------------------------- */

static void write_sample(struct html *html, enum window_order_kind kind)
{
    static const char *const dashes[] = {"none", "5 3", "1 3"};
    struct text svg;
    text_init(&svg);
    text_append_format(&svg,
                       "<svg class=\"sample\" width=\"30\" height=\"9\" viewBox=\"0 0 30 9\" "
                       "aria-hidden=\"true\"><path class=\"kw\" stroke-dasharray=\"%s\" "
                       "d=\"M0 4.5H30\"/></svg>",
                       dashes[kind]);
    html_markup(html, svg.bytes);
    text_free(&svg);
}

static void write_line(struct html *html, const struct chart *chart, enum window_order_kind kind,
                       const char *name, double price, double moved, double from)
{
    const struct planned_orders *orders = &chart->plan.orders;
    bool is_short = chart->setup.side == SIDE_SHORT;
    struct text text;
    text_init(&text);
    if (isfinite(price))
        price_words(chart, price, &text);
    html_open(html, "tr");
    html_open(html, "td");
    write_sample(html, kind);
    html_text(html, name);
    order_bound_write(html, chart, (int)kind);
    html_close(html);
    html_open_class(html, "td", "n");
    html_open_class(html, "input", isnan(moved) ? "blank no" : "blank no moved");
    html_attribute(html, "name", name);
    html_attribute(html, "size", "8");
    html_attribute(html, "inputmode", "decimal");
    html_attribute(html, "autocomplete", "off");
    html_attribute(html, "aria-label", name);
    html_attribute(html, "value", text.bytes);
    html_close(html);
    double away = price - from;
    write_number(html, orders->tick > 0 ? away / orders->tick : NAN, 0);
    write_number(html, away / orders->atr, 2);
    write_number(html, (is_short ? orders->entry - price : price - orders->entry) / orders->risk,
                 R_DECIMALS);
    html_close(html);
    text_free(&text);
}

static void write_lines(struct html *html, const struct chart *chart,
                        const struct exchange *exchange)
{
    static const char *const asked[] = {"way",      "entry",   "stop",      "target",
                                        "entry-on", "stop-on", "target-on", NULL};
    const struct planned_orders *orders = &chart->plan.orders;
    html_open(html, "form");
    html_attribute(html, "method", "get");
    html_attribute(html, "action", "/charts");
    chart_write_fields(html, chart, exchange, asked);
    form_hidden(html, "way", entry_way_name(chart->plan.way));
    html_open_class(html, "table", "orders");
    html_element(html, "caption",
                 "The entry is measured from the close, stop and target from the "
                 "entry.");
    html_markup(html, "<thead><tr><th scope=\"col\">line</th><th scope=\"col\" class=\"n\">price"
                      "</th><th scope=\"col\" class=\"n\">ticks</th><th scope=\"col\" "
                      "class=\"n\">ATR</th><th scope=\"col\" class=\"n\">R</th></tr></thead>");
    html_open(html, "tbody");
    write_line(html, chart, WINDOW_TARGET, "target", orders->target, chart->lines.target,
               orders->entry);
    write_line(html, chart, WINDOW_ENTRY, "entry", orders->entry, chart->lines.entry,
               orders->close);
    write_line(html, chart, WINDOW_STOP, "stop", orders->stop, chart->lines.stop, orders->entry);
    html_close_all(html, 2);
    html_open_class(html, "p", "acts");
    form_button(html, "slight", "Work them out", NULL);
    html_close_all(html, 2);
}

/* --- the ways in ------------------------------------------------------------------------------- */

static void write_way(struct html *html, const struct chart *chart, const struct exchange *exchange,
                      enum entry_way way)
{
    static const char *const words[WAY_COUNT] = {"at the break", "at a close beyond",
                                                 "at the return", "at the next open",
                                                 "back at a better price"};
    const struct planned_orders *orders = &chart->plan.ways[way];
    struct text text;
    html_open(html, "tr");
    html_open(html, "td");
    if (way == chart->plan.way) {
        html_open(html, "b");
        html_attribute(html, "aria-current", "true");
    } else {
        chart_address(&text, chart, exchange, "way", entry_way_name(way));
        html_open(html, "a");
        html_address(html, "href", text.bytes);
        html_attribute(html, "data-way", entry_way_name(way));
        text_free(&text);
    }
    html_text(html, words[way]);
    html_close(html);
    if (way == chart->plan.own)
        html_element(html, "small", "as the setup has it");
    html_close(html);
    if (orders->note[0] != '\0') {
        html_open_class(html, "td", "small soft");
        html_attribute_integer(html, "colspan", 3);
        html_text(html, orders->note);
        html_close_all(html, 2);
        return;
    }
    text_init(&text);
    price_words(chart, orders->entry, &text);
    html_element_class(html, "td", "n", text.bytes);
    text_clear(&text);
    if (isfinite(orders->risk))
        price_words(chart, orders->risk, &text);
    else
        text_append(&text, "not known yet");
    html_element_class(html, "td", "n", text.bytes);
    text_free(&text);
    write_number(html, orders->at_target / orders->risk, R_DECIMALS);
    html_close(html);
}

static void write_ways(struct html *html, const struct chart *chart,
                       const struct exchange *exchange)
{
    html_open_class(html, "table", "orders ways");
    html_markup(html, "<thead><tr><th scope=\"col\">way in</th><th scope=\"col\" class=\"n\">entry"
                      "</th><th scope=\"col\" class=\"n\">1 R</th><th scope=\"col\" "
                      "class=\"n\">target, R</th></tr></thead>");
    html_open(html, "tbody");
    for (int way = 0; way < WAY_COUNT; way++)
        if (chart->plan.offered[way])
            write_way(html, chart, exchange, (enum entry_way)way);
    html_close_all(html, 2);
}

/* --- in words ------------------------------------------------------------------------------------- */

static void say_study(const struct chart *chart, const struct plan_study *study, struct text *text)
{
    char date[CALENDAR_TEXT_SIZE] = "";
    if (study->found)
        page_date(date, study->at, true);
    plan_study_words(text, study, date);
    if (!study->found)
        return;
    const struct planned_lines *lines = &chart->lines;
    if (chart->plan.way != chart->plan.own || !isnan(lines->entry) || !isnan(lines->stop) ||
        !isnan(lines->target))
        text_append(text, " That is of the setup's own orders, not of these.");
}

static void write_words(struct html *html, const struct chart *chart,
                        const struct exchange *exchange, const struct plan_study *study)
{
    struct text text;
    text_init(&text);
    orders_words(&text, &chart->plan.orders, chart->setup.side == SIDE_SHORT);
    html_element_class(html, "p", "small gap", text.bytes);
    text_clear(&text);
    if (chart->plan.supposed)
        html_element_class(html, "p", "small gap",
                           "The setup waits for what confirms the candle: these are its orders if "
                           "that comes with this close.");
    say_study(chart, study, &text);
    html_element_class(html, "p", "small gap", text.bytes);
    text_clear(&text);
    order_bound_say(chart, &text);
    if (text.length > 0)
        html_element_class(html, "p", "small gap", text.bytes);
    text_free(&text);
    chart_address(&text, chart, exchange, "way", NULL);
    html_open_class(html, "p", "small gap");
    html_open(html, "a");
    html_address(html, "href", text.bytes);
    html_attribute(html, "data-way", "");
    html_text(html, "All as the setup has it");
    html_close(html);
    html_text(html, ". No order is sent, and nothing of this is kept.");
    html_close(html);
    html_element_class(html, "p", "small soft gap", caution_plan);
    text_free(&text);
}

/* What the module needs to move the lines. */
static void write_facts(struct html *html, const struct chart *chart)
{
    const struct planned_orders *orders = &chart->plan.orders;
    html_open(html, "div");
    html_attribute(html, "id", "order-facts");
    /* By which the lines are moved: the last place shown where no tick is known. */
    html_attribute_number(html, "data-tick",
                          orders->tick > 0 ? orders->tick : pow(10, -decimals(chart)));
    html_attribute_integer(html, "data-decimals", decimals(chart));
    if (isfinite(orders->entry))
        html_attribute_number(html, "data-entry", orders->entry);
    if (isfinite(orders->stop))
        html_attribute_number(html, "data-stop", orders->stop);
    if (isfinite(orders->target))
        html_attribute_number(html, "data-target", orders->target);
    html_close(html);
}

int orders_margin_write(struct html *html, struct chart *chart, const struct exchange *exchange,
                        struct error *error)
{
    struct plan_study study;
    if (!chart->has_plan)
        return ERROR_NONE;
    int code = plan_study_find(chart->work, &chart->setup, &study, error);
    if (code != ERROR_NONE)
        return code;
    html_element(html, "h2", "Orders on the figure");
    write_facts(html, chart);
    write_lines(html, chart, exchange);
    write_ways(html, chart, exchange);
    write_words(html, chart, exchange, &study);
    return ERROR_NONE;
}

int part_orders(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct html html;
    html_init(&html, &exchange->body);
    int code = chart_open(&chart, page, exchange, error);
    if (code == ERROR_NONE)
        code = orders_margin_write(&html, &chart, exchange, error);
    return chart_close(&chart, code, error);
}
