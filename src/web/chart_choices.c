/* The line of choices above a chart. */
#include "web/chart_choices.h"

#include "book/bars_store.h"
#include "market/longer.h"
#include "web/chart_address.h"
#include "web/sheets.h"
#include "work/as_of.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

int chart_choices_write(struct html *html, const struct page *page, struct chart *chart,
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
