/* What the figure shows: panes, averages and scale, by the address, or as kept in
 * the book for bars of that length. */
#include "web/chart.h"

#include "book/chart_choice_store.h"
#include "web/chart_address.h"
#include "web/sheets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LEAST_AVERAGE = 2, MOST_AVERAGE = 2000 };

static const struct {
    const char *word; /* in an address, and as window_kind_name has it */
    const char *label;
} panes[] = {{"volume", "volume"},
             {"rsi", "RSI"},
             {"macd", "MACD"},
             {"stochastic", "stochastic"},
             {"adx", "ADX"}};
static const char *const averages[] = {"20", "50", "100", "200", "bands"};
enum {
    PANE_COUNT = sizeof panes / sizeof panes[0],
    AVERAGE_COUNT = sizeof averages / sizeof averages[0]
};

/* --- reading the words ------------------------------------------------------------------------ */

static int read_strips(struct chart_asked *asked, const char *text, struct error *error)
{
    asked->strip_count = 0;
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

static void add_curve(struct chart_asked *asked, enum measure_id measure, double bars,
                      enum dash dash, const char *name)
{
    if (asked->curve_count >= CHART_CURVES)
        return;
    size_t at = asked->curve_count++;
    snprintf(asked->curve_names[at], sizeof asked->curve_names[at], "%s", name);
    asked->curves[at] = (struct window_curve){.measure = measure, .a = bars, .dash = dash};
}

/* "50,200,bands": lengths of averages, and the bands. */
static int read_averages(struct chart_asked *asked, const char *text, struct error *error)
{
    static const enum dash dashes[] = {DASH_NONE, DASH_SHORT, DASH_DOTS};
    size_t count = 0;
    asked->curve_count = 0;
    while (*text != '\0') {
        size_t length = strcspn(text, ",");
        int64_t bars = 0;
        if (length == 5 && strncmp(text, "bands", length) == 0) {
            add_curve(asked, MEASURE_UPPER_BAND, 0, DASH_DOTS, "upper band");
            add_curve(asked, MEASURE_LOWER_BAND, 0, DASH_DOTS, "lower band");
        } else if (number_parse_integer(text, length, &bars) && bars >= LEAST_AVERAGE &&
                   bars <= MOST_AVERAGE) {
            char name[24];
            snprintf(name, sizeof name, "average of %d", (int)bars);
            add_curve(asked, MEASURE_AVERAGE, (double)bars, dashes[count++ % 3], name);
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

int chart_shows_read(struct chart_asked *asked, struct work *work, struct interval interval,
                     struct error *error)
{
    struct chart_choice kept = {.panes = "volume,rsi"};
    struct book *book = NULL;
    bool found = false;
    int code = ERROR_NONE;
    if (asked->panes == NULL || asked->averages == NULL || asked->scale == NULL) {
        code = work_borrow(work, &book, error);
        if (code == ERROR_NONE)
            code = chart_choice_store_find(book, interval, &kept, &found, error);
        work_return(work, book);
    }
    asked->logarithmic = asked->scale != NULL ? strcmp(asked->scale, "log") == 0 : kept.logarithmic;
    if (code == ERROR_NONE)
        code = read_strips(asked, asked->panes != NULL ? asked->panes : kept.panes, error);
    if (code == ERROR_NONE)
        code = read_averages(asked, asked->averages != NULL ? asked->averages : kept.averages,
                             error);
    return code;
}

/* --- the controls --------------------------------------------------------------------------------- */

static void write_box(struct html *html, const char *name, const char *value, const char *label,
                      bool chosen)
{
    html_open_class(html, "label", "field");
    html_open(html, "input");
    html_attribute(html, "type", "checkbox");
    html_attribute(html, "name", name);
    html_attribute(html, "value", value);
    html_flag(html, "checked", chosen);
    html_text(html, " ");
    html_text(html, label);
    html_close(html);
    html_text(html, " ");
}

static bool has_pane(const struct chart_asked *asked, const char *word)
{
    for (size_t i = 0; i < asked->strip_count; i++)
        if (strcmp(window_kind_name(asked->strips[i].kind), word) == 0)
            return true;
    return false;
}

static bool has_average(const struct chart_asked *asked, const char *word)
{
    bool bands = strcmp(word, "bands") == 0;
    for (size_t i = 0; i < asked->curve_count; i++) {
        bool is_band = asked->curves[i].measure != MEASURE_AVERAGE;
        if (is_band ? bands : !bands && asked->curves[i].a == strtod(word, NULL))
            return true;
    }
    return false;
}

/* A length that has no box of its own; 0: none. */
static int other_average(const struct chart_asked *asked)
{
    for (size_t i = 0; i < asked->curve_count; i++) {
        bool boxed = asked->curves[i].measure != MEASURE_AVERAGE;
        for (size_t k = 0; !boxed && k < AVERAGE_COUNT; k++)
            boxed = asked->curves[i].a == strtod(averages[k], NULL);
        if (!boxed)
            return (int)asked->curves[i].a;
    }
    return 0;
}

static void write_other(struct html *html, const struct chart_asked *asked)
{
    char bars[16] = "";
    int other = other_average(asked);
    if (other > 0)
        snprintf(bars, sizeof bars, "%d", other);
    html_open_class(html, "label", "field");
    html_text(html, "or of ");
    html_open_class(html, "input", "blank no");
    html_attribute(html, "name", "average");
    html_attribute(html, "size", "4");
    html_attribute(html, "inputmode", "numeric");
    html_attribute(html, "autocomplete", "off");
    html_attribute(html, "value", bars);
    html_text(html, " bars");
    html_close(html);
}

/* Kept in the book, they need not stand in the address. */
static const char *const shown[] = {"panes", "averages", "scale", NULL};

void chart_shows_write(struct html *html, const struct page *page, const struct chart *chart,
                       const struct exchange *exchange)
{
    char interval[INTERVAL_TEXT_SIZE];
    const struct chart_asked *asked = &chart->asked;
    if (!page_may_change(page, exchange))
        return;
    interval_format(interval, chart->opened.series.bars.interval);
    html_open_class(html, "form", "shows small");
    html_attribute(html, "method", "post");
    html_attribute(html, "action", "/charts/keep");
    form_hidden(html, "token", exchange->token);
    chart_write_fields(html, chart, exchange, shown);
    form_hidden(html, "of", interval);
    html_open(html, "fieldset");
    html_element(html, "legend", "panes");
    for (size_t i = 0; i < PANE_COUNT; i++)
        write_box(html, "pane", panes[i].word, panes[i].label, has_pane(asked, panes[i].word));
    html_close(html);
    html_open(html, "fieldset");
    html_element(html, "legend", "averages of the close");
    for (size_t i = 0; i < AVERAGE_COUNT; i++)
        write_box(html, "average", averages[i], averages[i], has_average(asked, averages[i]));
    write_other(html, asked);
    html_close(html);
    html_open(html, "fieldset");
    html_element(html, "legend", "scale");
    write_box(html, "scale", "log", "logarithmic", asked->logarithmic);
    html_close(html);
    html_text(html, " ");
    html_open_class(html, "button", "slight");
    html_text(html, "keep for ");
    html_text(html, interval);
    html_text(html, " bars");
    html_close_all(html, 2);
}

/* --- keeping it ------------------------------------------------------------------------------------- */

/* All fields of that name, commas between; ERROR_USAGE where they are too many. */
static int join(const struct exchange *exchange, const char *name, char text[CHART_CHOICE_SIZE],
                struct error *error)
{
    size_t length = 0;
    text[0] = '\0';
    for (size_t i = 0; i < exchange->field_count; i++) {
        const struct exchange_field *field = &exchange->fields[i];
        if (strcmp(field->name, name) != 0 || field->value[0] == '\0')
            continue;
        int added = snprintf(text + length, CHART_CHOICE_SIZE - length, "%s%s",
                             length > 0 ? "," : "", field->value);
        length += (size_t)added;
        if (length >= CHART_CHOICE_SIZE)
            return error_set(error, ERROR_USAGE, "%ss: that is more than can be kept", name);
    }
    return ERROR_NONE;
}

static int read_choice(const struct exchange *exchange, struct chart_choice *choice,
                       struct interval *interval, struct error *error)
{
    struct chart_asked asked = {0};
    const char *of = exchange_filled(exchange, "of");
    *choice = (struct chart_choice){.logarithmic = exchange_filled(exchange, "scale") != NULL};
    if (of == NULL || !interval_parse(of, interval))
        return error_set(
            error, ERROR_USAGE,
            "bars of: found '%.40s'; a length such as 1d, 1w, 1month, 4h or 30m is allowed",
            of != NULL ? of : "");
    int code = join(exchange, "pane", choice->panes, error);
    if (code == ERROR_NONE)
        code = join(exchange, "average", choice->averages, error);
    if (code == ERROR_NONE)
        code = read_strips(&asked, choice->panes, error);
    return code == ERROR_NONE ? read_averages(&asked, choice->averages, error) : code;
}

int change_shows(struct page *page, struct exchange *exchange, struct error *error)
{
    struct chart_choice choice;
    struct interval interval;
    struct book *book = NULL;
    int code = read_choice(exchange, &choice, &interval, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = book_begin(book, "what the figure shows", error);
    if (code == ERROR_NONE)
        code = chart_choice_store_keep(book, interval, &choice, error);
    if (code == ERROR_NONE)
        code = book_commit(book, error);
    code = book_done(book, code, error);
    return code == ERROR_NONE ? chart_go_back(exchange, shown, error) : code;
}
