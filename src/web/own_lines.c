#include "web/own_lines.h"

#include "base/words.h"
#include "web/chart_address.h"
#include "web/sheets.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const none[] = {NULL};

/* --- what can be undone ------------------------------------------------------------------ */

int undo_read(struct undo_list *undo, const struct exchange *exchange, struct error *error)
{
    const char *text = exchange_filled(exchange, "undo");
    const char *at = text;
    *undo = (struct undo_list){.count = 0};
    while (at != NULL && *at != '\0') {
        long long gone = 0;
        long long come = 0;
        int used = 0;
        bool is_read = undo->count < UNDO_LIMIT &&
                       sscanf(at, "%15lld-%15lld%n", &gone, &come, &used) == 2 && gone >= 0 &&
                       come >= 0 && (at[used] == '\0' || at[used] == '.');
        if (!is_read)
            return error_set(error, ERROR_USAGE,
                             "undo: found '%.40s'; the changes that the sheet itself names are "
                             "allowed",
                             text);
        undo->changes[undo->count++] = (struct line_change){gone, come};
        at += at[used] == '.' ? used + 1 : used;
    }
    return ERROR_NONE;
}

void undo_push(struct undo_list *undo, const struct line_change *change)
{
    if (undo->count == UNDO_LIMIT) {
        undo->count--;
        memmove(undo->changes, undo->changes + 1, undo->count * sizeof *undo->changes);
    }
    undo->changes[undo->count++] = *change;
}

void undo_write(const struct undo_list *undo, char text[UNDO_TEXT_SIZE])
{
    size_t length = 0;
    text[0] = '\0';
    for (size_t i = 0; i < undo->count && length < UNDO_TEXT_SIZE; i++)
        length += (size_t)snprintf(text + length, UNDO_TEXT_SIZE - length, "%s%lld-%lld",
                                   i > 0 ? "." : "", (long long)undo->changes[i].gone,
                                   (long long)undo->changes[i].come);
}

/* --- fields -------------------------------------------------------------------------------- */

/* --- drawing --------------------------------------------------------------------------------- */

static const struct kind_row {
    const char *words;
    const char *key;
    const char *says;
} kind_rows[LINE_KINDS] = {
    [LINE_LEVEL] = {"a level", "l", "A level stands at one price."},
    [LINE_TREND] = {"a trend line", "t", "A trend line is straight through two points."},
    [LINE_RETRACEMENT] = {"a retracement", "r",
                          "A retracement goes from where a move began to where it ended, and marks "
                          "38.2, 50 and 61.8 % of the way back."},
    [LINE_CHANNEL] = {"a channel", "c",
                      "A channel is a trend line through two points and another beside it; without "
                      "a width the other one takes in all bars between them."},
    [LINE_NOTE] = {"a note", "o", "A note stands at a point, in your own words."},
    [LINE_RULER] = {"a ruler", "m", "A ruler measures from one point to another."},
};

static void write_kinds(struct html *html, const struct chart *chart,
                        const struct exchange *exchange)
{
    html_open_class(html, "form", "draw");
    html_attribute(html, "method", "get");
    html_attribute(html, "action", "/charts#own-lines");
    chart_write_fields(html, chart, exchange, none);
    html_text(html, "Draw ");
    for (int kind = 0; kind < LINE_KINDS; kind++) {
        html_open_class(html, "button", "slight");
        html_attribute(html, "name", "draw");
        html_attribute(html, "value", line_kind_word((enum line_kind)kind));
        html_text(html, kind_rows[kind].words);
        html_element(html, "kbd", kind_rows[kind].key);
        html_close(html);
        html_text(html, " ");
    }
    html_close(html);
}

void own_lines_begin_form(struct html *html, const struct chart *chart,
                          const struct exchange *exchange, const char *class, const char *id)
{
    html_open_class(html, "form", class);
    html_attribute(html, "id", id);
    html_attribute(html, "method", "post");
    html_attribute(html, "action", "/charts/line");
    form_hidden(html, "token", exchange->token);
    chart_write_fields(html, chart, exchange, none);
}

static void write_undo(struct html *html, const struct chart *chart,
                       const struct exchange *exchange)
{
    if (exchange_filled(exchange, "undo") == NULL)
        return;
    own_lines_begin_form(html, chart, exchange, "undo", NULL);
    form_hidden(html, "act", "undo");
    form_button(html, "slight", "undo the last change", "u");
    html_close(html);
}

static void label_field(struct html *html, const char *words, const char *name, const char *size)
{
    html_open_class(html, "label", "field");
    html_text(html, words);
    html_text(html, " ");
    html_open_class(html, "input",
                    strstr(name, "price") != NULL || strcmp(name, "width") == 0 ? "blank no"
                                                                                : "blank");
    html_attribute(html, "name", name);
    html_attribute(html, "size", size);
    html_attribute(html, "autocomplete", "off");
    html_close(html);
    html_text(html, " ");
}

/* The form of what is being drawn: filled by hand, or by the figure. */
static void write_drawing(struct html *html, const struct chart *chart,
                          const struct exchange *exchange, enum line_kind kind)
{
    struct text words;
    bool two = line_kind_points(kind) == 2;
    own_lines_begin_form(html, chart, exchange, two ? "two-points" : "one-point", "drawing");
    form_hidden(html, "act", "draw");
    form_hidden(html, "kind", line_kind_word(kind));
    html_open_class(html, "p", "measure");
    html_text(html, kind_rows[kind].says);
    html_open(html, "span");
    html_attribute(html, "role", "status");
    html_close_all(html, 2);
    html_open_class(html, "p", "fields");
    label_field(html, two ? "from" : "at", "date", "11");
    label_field(html, "price", "price", "8");
    if (two) {
        label_field(html, "to", "other-date", "11");
        label_field(html, "price", "other-price", "8");
    }
    if (kind == LINE_CHANNEL)
        label_field(html, "width", "width", "6");
    label_field(html, kind == LINE_NOTE ? "words" : "words beside it", "note", "20");
    html_close(html);
    text_init(&words);
    text_append_format(&words, "Draw the %s", line_kind_name(kind));
    html_open_class(html, "p", "acts");
    form_button(html, NULL, words.bytes, NULL);
    text_free(&words);
    chart_address(&words, chart, exchange, "", NULL);
    html_open(html, "a");
    html_address(html, "href", words.bytes);
    html_attribute(html, "data-leave", "");
    html_text(html, "give it up");
    text_free(&words);
    html_close_all(html, 3);
}

/* The way out and in. */
static void write_file_links(struct html *html, const struct chart *chart,
                             const struct exchange *exchange)
{
    struct text address;
    html_open_class(html, "p", "small gap");
    if (chart->own.count > 0) {
        address_begin(&address, "/charts/lines.csv");
        address_add(&address, "instrument", chart->name);
        address_keep_as_of(&address, exchange);
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_attribute(html, "download", "own-lines.csv");
        html_text(html, "these lines as a file");
        html_close(html);
        text_free(&address);
        html_text(html, " \xC2\xB7 ");
    }
    address_begin(&address, "/data");
    address_keep_as_of(&address, exchange);
    text_append(&address, "#lines-file");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "bring lines in from a file");
    html_close_all(html, 2);
    text_free(&address);
}

/* --- the section ------------------------------------------------------------------------------- */

static void write_words(struct html *html, const struct page *page, const struct chart *chart,
                        const struct exchange *exchange)
{
    struct text words;
    text_init(&words);
    if (exchange_filled(exchange, "as-of") != NULL)
        text_append(&words, "A past date is shown: the lines that stood then are here, and nothing "
                            "can be drawn. ");
    else if (page->options.read_only)
        text_append(&words, "The book is open for reading only: nothing can be drawn. ");
    if (chart->own.held_back > 0)
        text_append_format(&words, "%zu %s later than the bars shown %s held back. ",
                           chart->own.held_back, count_word(chart->own.held_back, "line", "lines"),
                           chart->own.held_back == 1 ? "is" : "are");
    if (chart->own.count > 0)
        text_append(&words, "Here is the price on the last bar shown; touches are counted up to "
                            "it, within a tenth of an ATR. A line counts from the first bar after "
                            "it was drawn, and a setup that asks for own levels takes those that "
                            "stood at its candle. ");
    if (chart->opened.series.bars.scale_count > 0 && chart->own.count > 0)
        text_append(&words, "Prices are those of this chart, adjusted as its bars are. ");
    if (words.length > 0)
        html_element_class(html, "p", "small soft gap measure", words.bytes);
    text_free(&words);
}

int own_lines_write(struct html *html, const struct page *page, const struct chart *chart,
                    const struct exchange *exchange, struct error *error)
{
    const char *draw = exchange_filled(exchange, "draw");
    bool may_change = page_may_change(page, exchange);
    enum line_kind kind = draw != NULL ? line_kind_of(draw) : LINE_KINDS;
    if (draw != NULL && kind == LINE_KINDS)
        return error_set(error, ERROR_USAGE,
                         "draw: found '%.40s'; level, trend, retracement, channel, note or ruler "
                         "is allowed",
                         draw);
    html_open_class(html, "section", "own-lines ruled");
    html_attribute(html, "id", "own-lines");
    html_attribute_number(html, "data-tick", chart_tick(chart));
    html_attribute_integer(html, "data-decimals", decimals_of(chart_tick(chart)));
    html_element(html, "h2", "Own lines");
    if (may_change) {
        html_open_class(html, "div", "small kinds");
        write_kinds(html, chart, exchange);
        write_undo(html, chart, exchange);
        html_close(html);
        if (kind != LINE_KINDS)
            write_drawing(html, chart, exchange, kind);
    }
    if (chart->own.count > 0)
        own_lines_write_list(html, chart, exchange, may_change);
    write_words(html, page, chart, exchange);
    write_file_links(html, chart, exchange);
    html_close(html);
    return ERROR_NONE;
}

int part_lines(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart chart;
    struct html html;
    html_init(&html, &exchange->body);
    int code = chart_open(&chart, page, exchange, error);
    if (code == ERROR_NONE)
        code = own_lines_write(&html, page, &chart, exchange, error);
    return chart_close(&chart, code, error);
}

/* --- for the module ------------------------------------------------------------------------------ */

void own_lines_append_json(struct text *json, const struct chart *chart)
{
    bool first = true;
    text_append_char(json, '[');
    for (size_t i = 0; i < chart->own.count; i++) {
        const struct line_seen *seen = &chart->own.list[i];
        const double numbers[] = {seen->laid.bar, seen->laid.price, seen->laid.other_bar,
                                  seen->laid.other_price};
        if (seen->line.hidden)
            continue;
        text_append_format(json, "%s{\"line\":%lld,\"kind\":\"%s\",\"points\":%d,\"at\":[",
                           first ? "" : ",", (long long)seen->line.id,
                           line_kind_name(seen->line.kind), line_kind_points(seen->line.kind));
        for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
            text_append(json, k > 0 ? "," : "");
            text_append_number(json, numbers[k]);
        }
        text_append(json, "]}");
        first = false;
    }
    text_append_char(json, ']');
}
