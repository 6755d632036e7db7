/* The list of own lines: each with its points as fields, what it says, and what can be
 * done with it. */
#include "base/words.h"
#include "web/own_lines.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- fields -------------------------------------------------------------------------------- */

void own_line_price_text(const struct chart *chart, double price, char text[TICK_TEXT_SIZE])
{
    int length = snprintf(text, TICK_TEXT_SIZE, "%.*f", decimals_of(chart_tick(chart)), price);
    if (length >= TICK_TEXT_SIZE)
        snprintf(text, TICK_TEXT_SIZE, "%.17g", price);
}

/* A field of the form of that id (NULL: the one it stands in). */
static void write_field(struct html *html, const char *form, const char *name, const char *label,
                        const char *value, const char *size)
{
    bool is_price = strstr(name, "price") != NULL || strcmp(name, "width") == 0;
    html_open_class(html, "input", is_price ? "blank no" : "blank");
    html_attribute(html, "form", form);
    html_attribute(html, "name", name);
    html_attribute(html, "size", size);
    html_attribute(html, "inputmode", is_price ? "decimal" : NULL);
    html_attribute(html, "autocomplete", "off");
    html_attribute(html, "aria-label", label);
    html_attribute(html, "value", value);
}

/* --- a row --------------------------------------------------------------------------------- */

/* What a row is written with. */
struct row_of {
    const struct chart *chart;
    const struct exchange *exchange;
    const struct line_seen *seen;
    bool may_change;
    char form[32];
};

static void label_of(const struct row_of *row, const char *what, struct text *label)
{
    text_append_format(label, "%s of %s %lld", what, line_kind_name(row->seen->line.kind),
                       (long long)row->seen->line.id);
}

static void write_one(struct html *html, const struct row_of *row, const char *name,
                      const char *what, const char *value, const char *size)
{
    struct text label;
    if (!row->may_change) {
        html_text(html, value);
        return;
    }
    text_init(&label);
    label_of(row, what, &label);
    write_field(html, row->form, name, label.bytes, value, size);
    text_free(&label);
}

static void write_point(struct html *html, const struct row_of *row, int point)
{
    static const char *const dates[] = {"date", "other-date"};
    static const char *const prices[] = {"price", "other-price"};
    static const char *const date_words[] = {"first date", "second date"};
    static const char *const price_words[] = {"first price", "second price"};
    const struct laid_line *laid = &row->seen->laid;
    int64_t time = row->seen->line.points[point].time;
    char date[CALENDAR_TEXT_SIZE], price[TICK_TEXT_SIZE];
    time_format(date, time, time % SECONDS_PER_DAY == 0);
    own_line_price_text(row->chart, point == 0 ? laid->price : laid->other_price, price);
    html_open_class(html, "span", "point");
    write_one(html, row, prices[point], price_words[point], price, "7");
    html_text(html, " on ");
    write_one(html, row, dates[point], date_words[point], date,
              time % SECONDS_PER_DAY == 0 ? "10" : "20");
    html_close(html);
    html_text(html, " ");
}

/* What it says of the last bar shown, when it was drawn, and what that means for the
 * case that is looked at. */
static void write_facts(struct html *html, const struct row_of *row)
{
    const struct line_seen *seen = row->seen;
    const struct chart *chart = row->chart;
    bool counts = isfinite(seen->here);
    char text[CALENDAR_TEXT_SIZE + TICK_TEXT_SIZE];
    struct text words;
    text_init(&words);
    own_line_price_text(chart, seen->here, text);
    if (counts && (seen->laid.slope != 0 || seen->line.kind == LINE_RETRACEMENT))
        text_append_format(&words, "%s here; ", text);
    if (counts)
        text_append_format(&words, "%zu %s; ", seen->touches,
                           count_word(seen->touches, "touch", "touches"));
    page_date(text, seen->line.made, true);
    text_append_format(&words, "drawn %s", text);
    page_date(text, seen->line.since, true);
    if (seen->line.dated_back)
        text_append_format(&words, ", dated back to %s", text);
    if (counts && chart->at != SIZE_MAX)
        text_append(&words, chart->opened.series.bars.time[chart->at] > seen->counts_after
                                ? ", so it stood at this case"
                                : ", so it was not there yet at this case");
    html_element(html, "small", words.bytes);
    text_free(&words);
}

static void write_points(struct html *html, const struct row_of *row)
{
    const struct own_line *line = &row->seen->line;
    char width[TICK_TEXT_SIZE];
    html_open_class(html, "td", "points");
    for (int i = 0; i < line_kind_points(line->kind); i++)
        write_point(html, row, i);
    if (line->kind == LINE_CHANNEL) {
        own_line_price_text(row->chart, row->seen->laid.width, width);
        html_open_class(html, "span", "point");
        write_one(html, row, "width", "width", width, "7");
        html_text(html, row->may_change ? " wide" : " wide ");
        html_close(html);
    }
    if (line->note[0] != '\0') {
        html_open_class(html, "span", "point words");
        write_one(html, row, "note", "words", line->note, "17");
        html_close(html);
    }
    write_facts(html, row);
    html_close(html);
}

static void write_reach(struct html *html, const struct row_of *row)
{
    static const char *const words[LINE_REACHES] = {"no further", "to the right", "to the left",
                                                    "both ways"};
    const struct own_line *line = &row->seen->line;
    struct text label;
    bool goes_on = line->kind == LINE_LEVEL || line->kind == LINE_TREND ||
                   line->kind == LINE_CHANNEL;
    if (!goes_on || !row->may_change)
        return;
    text_init(&label);
    label_of(row, "how far it goes,", &label);
    html_open_class(html, "select", "blank reach");
    html_attribute(html, "form", row->form);
    html_attribute(html, "name", "reach");
    html_attribute(html, "aria-label", label.bytes);
    for (int reach = 0; reach < LINE_REACHES; reach++)
        form_option(html, line_reach_word((enum line_reach)reach), words[reach],
                    line_reach_word(line->reach));
    html_close(html);
    text_free(&label);
}

static void act_button(struct html *html, const char *act, const char *words)
{
    html_open_class(html, "button", "slight");
    html_attribute(html, "name", "act");
    html_attribute(html, "value", act);
    html_text(html, words);
    html_close(html);
    html_text(html, " ");
}

static void write_acts(struct html *html, const struct row_of *row)
{
    html_open_class(html, "td", "n acts-of");
    if (row->may_change) {
        own_lines_begin_form(html, row->chart, row->exchange, NULL, row->form);
        html_open(html, "input");
        html_attribute(html, "type", "hidden");
        html_attribute(html, "name", "line");
        html_attribute_integer(html, "value", row->seen->line.id);
        act_button(html, "move", "keep");
        act_button(html, row->seen->line.hidden ? "show" : "hide",
                   row->seen->line.hidden ? "show" : "hide");
        act_button(html, "remove", "remove");
        html_close(html);
    }
    html_close(html);
}

static void write_row(struct html *html, const struct chart *chart, const struct exchange *exchange,
                      const struct line_seen *seen, bool may_change)
{
    struct row_of row = {chart, exchange, seen, may_change, ""};
    snprintf(row.form, sizeof row.form, "line-%lld", (long long)seen->line.id);
    html_open_class(html, "tr", seen->line.hidden ? "hidden-line" : NULL);
    html_open(html, "td");
    html_text(html, line_kind_name(seen->line.kind));
    write_reach(html, &row);
    html_close(html);
    write_points(html, &row);
    write_acts(html, &row);
    html_close(html);
}

void own_lines_write_list(struct html *html, const struct chart *chart,
                          const struct exchange *exchange, bool may_change)
{
    html_open_class(html, "table", "own gap");
    html_markup(html, "<thead><tr><th scope=\"col\">line</th><th scope=\"col\">at</th><td></td>"
                      "</tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; i < chart->own.count; i++)
        write_row(html, chart, exchange, &chart->own.list[i], may_change);
    html_close_all(html, 2);
}
