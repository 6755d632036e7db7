/* The margin beside a chart: the bar asked about, as `explain` answers it. */
#include "web/bar_margin.h"

#include "answer/explain.h"
#include "draw/ticks.h"

#include <math.h>
#include <string.h>

static void price_text(const struct chart *chart, double price, char text[TICK_TEXT_SIZE])
{
    const struct instrument *instrument = &chart->opened.series.instrument;
    number_text(price, instrument->tick_known ? decimals_of(instrument->tick.value) : 4, text);
}

/* --- the bar itself ------------------------------------------------------------------------ */

enum { SKETCH_WIDTH = 72, SKETCH_HEIGHT = 132, SKETCH_EDGE = 6, SKETCH_BODY = 26 };

static double sketch_y(const struct bar *bar, double price)
{
    double range = bar->high > bar->low ? bar->high - bar->low : 1;
    return SKETCH_EDGE + (bar->high - price) / range * (SKETCH_HEIGHT - 2 * SKETCH_EDGE);
}

/* The candle alone, its parts to scale: what the table beside it says in numbers. */
static void write_sketch(struct html *html, const struct bar *bar)
{
    double top = sketch_y(bar, fmax(bar->open, bar->close));
    double bottom = sketch_y(bar, fmin(bar->open, bar->close));
    struct text svg;
    text_init(&svg);
    text_append_format(
        &svg,
        "<svg class=\"sketch\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\" "
        "aria-hidden=\"true\"><path class=\"aw\" d=\"M%d.5 %.1fV%.1fM%d.5 %.1fV%.1f\"/>"
        "<rect class=\"%s\" x=\"%d.5\" y=\"%.1f\" width=\"%d\" height=\"%.1f\"/></svg>",
        SKETCH_WIDTH, SKETCH_HEIGHT, SKETCH_WIDTH, SKETCH_HEIGHT, SKETCH_WIDTH / 2,
        sketch_y(bar, bar->high), top, SKETCH_WIDTH / 2, bottom, sketch_y(bar, bar->low),
        bar->close > bar->open ? "ah" : "af ah", (SKETCH_WIDTH - SKETCH_BODY) / 2, top, SKETCH_BODY,
        fmax(bottom - top, 1));
    html_markup(html, svg.bytes);
    text_free(&svg);
}

static void write_row(struct html *html, const char *name, const char *value, double share)
{
    char percent[TICK_TEXT_SIZE] = "";
    html_open(html, "tr");
    html_open(html, "th");
    html_attribute(html, "scope", "row");
    html_text(html, name);
    html_close(html);
    html_element_class(html, "td", "n", value);
    if (!isnan(share))
        number_text(share, 2, percent);
    html_element_class(html, "td", "n soft", percent);
    html_close(html);
}

static void write_prices(struct html *html, const struct chart *chart,
                         const struct explanation *found)
{
    const struct anatomy *parts = &found->parts;
    const struct {
        const char *name;
        double value;
        double share;
    } rows[] = {{"open", parts->open, NAN},
                {"high", parts->high, NAN},
                {"low", parts->low, NAN},
                {"close", parts->close, NAN},
                {"range", parts->range, NAN},
                {"upper shadow", parts->upper, parts->upper / parts->range},
                {"body", parts->body, parts->body / parts->range},
                {"lower shadow", parts->lower, parts->lower / parts->range},
                {"ATR", found->atr, NAN}};
    html_open_class(html, "div", "bar");
    html_open_class(html, "table", "ohlc");
    html_markup(html,
                "<thead><tr><th scope=\"col\">part</th><th scope=\"col\" class=\"n\">price</th>"
                "<th scope=\"col\" class=\"n\">of range</th></tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[TICK_TEXT_SIZE] = "";
        if (!isnan(rows[i].value))
            price_text(chart, rows[i].value, text);
        write_row(html, rows[i].name, text, rows[i].share);
    }
    html_close_all(html, 2);
    write_sketch(html, &found->prices);
    html_close(html);
}

/* --- words, explained where they stand -------------------------------------------------------- */

static void write_taken(struct html *html, struct text *text)
{
    html_text(html, text->bytes);
    text_clear(text);
}

/* A word that opens its meaning on the line below. */
static void write_word(struct html *html, const char *word, const char *meaning, const char *more,
                       const char *source)
{
    if (meaning == NULL) {
        html_text(html, word);
        return;
    }
    html_open_class(html, "details", "meaning");
    html_element(html, "summary", word);
    html_open(html, "p");
    html_text(html, meaning);
    if (more != NULL) {
        html_text(html, "; the limit: ");
        html_text(html, more);
    }
    html_text(html, ". ");
    html_element_class(html, "span", "soft", source);
    html_close_all(html, 2);
}

static void write_shapes(struct html *html, const struct chart *chart,
                         const struct explanation *found)
{
    struct text words;
    text_init(&words);
    explain_shapes_words(&words, &chart->opened, found);
    html_open_class(html, "p", "small shapes");
    write_taken(html, &words);
    html_close(html);
    html_open_class(html, "div", "meanings");
    for (size_t i = 0; i < found->shape_count; i++) {
        const struct shape_choice *choice = &found->shapes[i];
        const char *mirrored = choice->mirrored ? choice->shape->mirror_help : NULL;
        write_word(html, shape_name(choice), mirrored != NULL ? mirrored : choice->shape->help,
                   NULL, choice->shape->source);
    }
    html_close(html);
    text_free(&words);
}

/* --- the criteria of the setup ----------------------------------------------------------------- */

static void write_criterion(struct html *html, const struct chart *chart,
                            const struct explanation *found, const struct explained *explained)
{
    bool met = explained->check.holds == TRUTH_YES;
    struct text words;
    text_init(&words);
    html_open(html, "tr");
    html_open(html, "td");
    page_write_truth(html, explained->check.holds);
    explain_name_words(&words, explained);
    write_word(html, words.bytes, explained->words, explained->limit_words, explained->source);
    text_clear(&words);
    html_open(html, "small");
    explain_limit_words(&words, &chart->opened, explained);
    html_text(html, words.bytes);
    html_text(html, words.length > 0 ? "; " : "");
    html_element_class(html, "span", met ? NULL : "missed", explain_answer_words(explained));
    text_clear(&words);
    html_close_all(html, 2);
    html_open_class(html, "td", "n");
    explain_measured_words(&words, &chart->opened, explained);
    write_taken(html, &words);
    html_close(html);
    html_open_class(html, "td", explained->turn_count > 0 ? "n turns" : "n turns soft");
    explain_turn_words(&words, &chart->opened, found, explained, 1);
    write_taken(html, &words);
    html_close_all(html, 2);
    text_free(&words);
}

static void write_group(struct html *html, const struct chart *chart,
                        const struct explanation *found, enum check_section section)
{
    struct text words;
    text_init(&words);
    explain_section_words(&words, &chart->setup, found, section);
    html_open_class(html, "tr", "group");
    html_open(html, "th");
    html_attribute(html, "scope", "rowgroup");
    html_attribute(html, "colspan", "3");
    write_taken(html, &words);
    html_close_all(html, 2);
    text_free(&words);
}

static void write_criteria(struct html *html, const struct chart *chart,
                           const struct explanation *found)
{
    char candle[CALENDAR_TEXT_SIZE] = "";
    struct text words;
    text_init(&words);
    if (found->candle_of != SIZE_MAX)
        page_date(candle, chart->clock[found->candle_of],
                  interval_is_dated(chart->opened.series.bars.interval));
    explain_verdict_words(&words, &chart->setup, found, candle);
    html_open(html, "section");
    html_open_class(html, "table", "crits");
    html_open(html, "caption");
    html_element(html, "b", words.bytes);
    html_text(html,
              " Turns at: the price from which on the answer would be the other one, all else "
              "of this bar as it is.");
    html_close(html);
    html_markup(html, "<thead><tr><th scope=\"col\">criterion</th>"
                      "<th scope=\"col\" class=\"n\">measured</th>"
                      "<th scope=\"col\" class=\"n\">turns at</th></tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; i < found->count; i++) {
        enum check_section section = found->criteria[i].check.section;
        if (i == 0 || section != found->criteria[i - 1].check.section)
            write_group(html, chart, found, section);
        write_criterion(html, chart, found, &found->criteria[i]);
    }
    html_close_all(html, 3);
    text_free(&words);
}

int bar_margin_write(struct html *html, const struct chart *chart, struct error *error)
{
    char date[CALENDAR_TEXT_SIZE];
    char moment[CALENDAR_TEXT_SIZE];
    struct explanation found;
    const struct bars *bars = &chart->opened.series.bars;
    if (chart->bar == SIZE_MAX)
        return ERROR_NONE;
    int code = explain_bar(&chart->opened, chart->has_setup, chart->bar, &found, error);
    if (code != ERROR_NONE)
        return code;
    time_format(moment, bars->time[chart->bar], interval_is_dated(bars->interval));
    page_date(date, chart->clock[chart->bar], interval_is_dated(bars->interval));
    html_open(html, "section");
    html_open(html, "h2");
    html_text(html, "This bar ");
    html_open(html, "span");
    html_attribute(html, "data-moment", moment);
    html_text(html, date);
    html_close_all(html, 2);
    write_prices(html, chart, &found);
    if (found.over)
        write_shapes(html, chart, &found);
    else
        html_element_class(html, "p", "small shapes",
                           "It is not over yet: no signal comes from it.");
    html_close(html);
    if (chart->has_setup && found.over)
        write_criteria(html, chart, &found);
    return ERROR_NONE;
}
