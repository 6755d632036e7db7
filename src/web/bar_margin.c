/* The margin beside a chart: the bar asked about, what it is, and what the setup
 * says of it. */
#include "web/bar_margin.h"

#include "candles/anatomy.h"
#include "candles/shapes.h"
#include "draw/ticks.h"
#include "setup/checklist.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void price_text(const struct chart *chart, double price, char text[TICK_TEXT_SIZE])
{
    const struct instrument *instrument = &chart->opened.series.instrument;
    number_text(price, instrument->tick_known ? decimals_of(instrument->tick.value) : 4, text);
}

static void write_value(struct html *html, const char *name, const char *value)
{
    html_open(html, "tr");
    html_open(html, "th");
    html_attribute(html, "scope", "row");
    html_text(html, name);
    html_close(html);
    html_element_class(html, "td", "n", value);
    html_close(html);
}

static void write_prices(struct html *html, const struct chart *chart)
{
    const struct bars *bars = &chart->opened.series.bars;
    const struct bar bar = bars_at(bars, chart->bar);
    const struct anatomy parts = anatomy_of(bars, chart->bar);
    const double *atr = sheet_column(chart->opened.sheet, MEASURE_ATR, 14, 0, 0);
    const struct {
        const char *name;
        double value;
    } rows[] = {{"open", bar.open},
                {"high", bar.high},
                {"low", bar.low},
                {"close", bar.close},
                {"upper shadow", parts.upper},
                {"body", parts.body},
                {"lower shadow", parts.lower},
                {"range", parts.range},
                {"ATR", atr != NULL ? atr[chart->bar] : NAN}};
    html_open_class(html, "table", "ohlc");
    html_open(html, "tbody");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[TICK_TEXT_SIZE] = "";
        if (!isnan(rows[i].value))
            price_text(chart, rows[i].value, text);
        write_value(html, rows[i].name, text);
    }
    html_close_all(html, 2);
}

/* Every shape of the catalogue that ends at this bar. */
static void write_shapes(struct html *html, const struct chart *chart)
{
    size_t found = 0;
    html_open_class(html, "p", "small shapes");
    html_element(html, "b", "It is");
    for (const struct shape *shape = shapes; shape->name != NULL; shape++) {
        for (int mirrored = 0; mirrored <= (shape->mirror_name != NULL ? 1 : 0); mirrored++) {
            struct shape_choice choice;
            const char *name = mirrored ? shape->mirror_name : shape->name;
            if (strcmp(name, "any") == 0 || !shape_find(name, &choice) ||
                !shape_fits(&choice, chart->opened.sheet, chart->bar, NULL))
                continue;
            html_text(html, found++ > 0 ? ", " : " ");
            html_text(html, name);
        }
    }
    html_text(html, found > 0 ? "." : " no shape of the catalogue.");
    html_close(html);
}

/* --- the criteria of the setup ---------------------------------------------------------------- */

static void reading_text(const struct chart *chart, const struct reading *reading, double value,
                         char text[TICK_TEXT_SIZE])
{
    if (isnan(value))
        text[0] = '\0';
    else if (reading->kind == READING_PRICE)
        price_text(chart, value, text);
    else
        snprintf(text, TICK_TEXT_SIZE, "%s%.4g", value < 0 ? "\xE2\x88\x92" : "", fabs(value));
}

static void write_check(struct html *html, const struct chart *chart, const struct check *check)
{
    static const char *const words[] = {"not met", "met", "cannot be told"};
    char name[READING_NAME_SIZE];
    char value[TICK_TEXT_SIZE];
    char limit[TICK_TEXT_SIZE];
    const struct reading *reading = &check->reading;
    reading_text(chart, reading, reading->value, value);
    reading_text(chart, reading, reading->limit, limit);
    html_open(html, "tr");
    html_open(html, "td");
    html_text(html, check->negated ? "not: " : "");
    html_text(html, reading->name != NULL ? reading_name(reading, name) : check->rule);
    if (limit[0] != '\0') {
        html_open(html, "small");
        html_text(html, comparison_words(reading->comparison));
        html_text(html, " ");
        html_text(html, limit);
        html_text(html, reading->unit[0] != '\0' ? " " : "");
        html_text(html, reading->unit);
        html_close(html);
    }
    html_close(html);
    html_element_class(html, "td", "n", value);
    html_open_class(html, "td", check->holds == TRUTH_YES ? "n" : "n missed");
    html_text(html, words[check->holds]);
    html_close_all(html, 2);
}

static void write_group(struct html *html, const struct chart *chart, const struct checklist *list,
                        enum check_section section)
{
    static const char *const heads[] = {"The candle", "Its place", "What confirms it"};
    html_open_class(html, "tr", "group");
    html_open(html, "th");
    html_attribute(html, "scope", "rowgroup");
    html_attribute(html, "colspan", "3");
    html_text(html, heads[section]);
    if (section == CHECK_CONFIRM) {
        html_text(html, ": ");
        html_integer(html, (int64_t)list->confirmed);
        html_text(html, " of ");
        html_integer(html, (int64_t)chart->setup.confirm.count);
        html_text(html, " met, ");
        html_integer(html, (int64_t)list->at_least);
        html_text(html, " needed");
    }
    html_close_all(html, 2);
}

static void write_criteria(struct html *html, const struct chart *chart)
{
    struct candle candle;
    struct checklist list;
    if (!candle_at(&chart->opened.view, chart->bar, &candle))
        candle = candle_of_bar(&chart->opened.view, chart->bar);
    checklist_read(&chart->opened.view, &candle, chart->bar, &list);
    html_open(html, "section");
    html_open_class(html, "table", "crits");
    html_open(html, "caption");
    html_element(html, "b", "What ");
    html_element(html, "b", chart->setup.name);
    html_element(html, "b", " asks");
    html_text(html, list.met ? ": this bar meets it." : ": this bar does not meet it.");
    html_close(html);
    html_markup(html, "<thead><tr><th scope=\"col\">criterion</th>"
                      "<th scope=\"col\" class=\"n\">measured</th>"
                      "<th scope=\"col\" class=\"n\">so it is</th></tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; i < list.count; i++) {
        if (i == 0 || list.list[i].section != list.list[i - 1].section)
            write_group(html, chart, &list, list.list[i].section);
        write_check(html, chart, &list.list[i]);
    }
    html_close_all(html, 3);
}

void bar_margin_write(struct html *html, const struct chart *chart)
{
    char date[CALENDAR_TEXT_SIZE];
    char moment[CALENDAR_TEXT_SIZE];
    const struct bars *bars = &chart->opened.series.bars;
    if (chart->bar == SIZE_MAX)
        return;
    time_format(moment, bars->time[chart->bar], interval_is_dated(bars->interval));
    page_date(date, chart->clock[chart->bar], interval_is_dated(bars->interval));
    html_open(html, "section");
    html_open(html, "h2");
    html_text(html, "This bar ");
    html_open(html, "span");
    html_attribute(html, "data-moment", moment);
    html_text(html, date);
    html_close(html);
    html_close(html);
    write_prices(html, chart);
    if (chart->bar < bars_complete(bars))
        write_shapes(html, chart);
    else
        html_element_class(html, "p", "small shapes",
                           "It is not over yet: no signal comes from it.");
    html_close(html);
    if (chart->has_setup && chart->bar < bars_complete(bars))
        write_criteria(html, chart);
}
