/* Today: over every setup and the chosen list, what the newest bars have: new
 * signals, older ones that still wait for their entry, and near misses. */
#include "web/chart.h"
#include "web/sheets.h"

#include "answer/scan.h"
#include "base/array.h"
#include "book/instrument_store.h"
#include "draw/ticks.h"
#include "market/wall_clock.h"
#include "work/evening.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct today {
    struct setup *setups; /* those looked at */
    char **names;         /* and what the page calls them */
    size_t count;
    struct evening evening;
    size_t kinds[EVENING_NEARLY + 1];
    struct text left_out; /* setups and instruments not looked at, with the reason */
    struct list_row *lists;
    size_t list_count;
};

/* An instrument is set aside for every setup; it is said once. */
static void leave_out(void *context, const struct error *reason)
{
    struct text *left_out = context;
    if (strstr(left_out->bytes, reason->text) == NULL)
        text_append_format(left_out, "%s. ", reason->text);
}

static int look_at_setup(struct page *page, const struct exchange *exchange, const char *name,
                         struct today *today, struct error *error)
{
    struct wishes wishes;
    struct work *work = NULL;
    struct setup *setup = &today->setups[today->count];
    int code = page_wishes(page, exchange, &wishes, error);
    wishes.list = exchange_filled(exchange, "list");
    wishes.everything = true;
    if (code == ERROR_NONE)
        code = page_setup(page, name, setup, error);
    if (code != ERROR_NONE)
        return code;
    code = work_open(&work, &wishes,
                     &(struct voice){.aside = leave_out, .context = &today->left_out}, error);
    if (code == ERROR_NONE)
        code = evening_find(work, setup, &today->evening, error);
    code = work_close(work, code, error);
    if (code == ERROR_NONE && (today->names[today->count] = string_copy(name)) == NULL)
        code = error_memory(error);
    if (code != ERROR_NONE)
        setup_free(setup);
    today->count += code == ERROR_NONE;
    return code;
}

/* One setup that cannot be applied sets nothing else aside. */
static int look(struct page *page, const struct exchange *exchange, struct today *today,
                struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    const char *only = exchange_filled(exchange, "setup");
    int code = page_setup_names(page, &names, &count, error);
    today->setups = calloc(count + 1, sizeof *today->setups);
    today->names = calloc(count + 1, sizeof *today->names);
    if (code == ERROR_NONE && (today->setups == NULL || today->names == NULL))
        code = error_memory(error);
    for (size_t i = 0; i < count; i++) {
        struct error aside = {0};
        if (code == ERROR_NONE && (only == NULL || strcmp(only, names[i]) == 0) &&
            look_at_setup(page, exchange, names[i], today, &aside) != ERROR_NONE) {
            if (aside.code == ERROR_MACHINE) {
                *error = aside;
                code = aside.code;
            } else {
                text_append_format(&today->left_out, "%s: %s. ", names[i], aside.text);
            }
        }
        free(names[i]);
    }
    free(names);
    evening_sort(&today->evening);
    for (size_t i = 0; i < today->evening.count; i++)
        today->kinds[today->evening.list[i].kind]++;
    return code;
}

static void free_today(struct today *today)
{
    evening_free(&today->evening);
    for (size_t i = 0; i < today->count; i++) {
        setup_free(&today->setups[i]);
        free(today->names[i]);
    }
    free(today->setups);
    free(today->names);
    free(today->lists);
    text_free(&today->left_out);
}

/* --- rows ------------------------------------------------------------------------------------- */

static void write_price(struct html *html, const struct evening_row *row, const char *head,
                        double price)
{
    char text[TICK_TEXT_SIZE] = "";
    if (!isnan(price))
        number_text(price, decimals_of(row->tick.value), text);
    html_open_class(html, "td", "n");
    html_attribute(html, "data-l", head);
    html_text(html, text);
    html_close(html);
}

static void write_name(struct html *html, const struct exchange *exchange, const char *setup,
                       const struct evening_row *row, enum bar_state state)
{
    char moment[CALENDAR_TEXT_SIZE];
    struct text address;
    time_format(moment, row->candle_time, row->dated);
    address_begin(&address, "/charts");
    address_add(&address, "instrument", row->instrument);
    address_add(&address, "setup", setup);
    address_add(&address, row->kind == EVENING_NEARLY ? "bar" : "case", moment);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(&address, exchange);
    html_open_class(html, "td", "one");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, row->instrument);
    html_close(html);
    html_open(html, "small");
    html_text(html, setup);
    if (state != BAR_WHOLE)
        html_text(html, state == BAR_OLD ? "; newer bars are due" : "; its bar may still change");
    html_close_all(html, 2);
    text_free(&address);
}

static void write_awaited(struct html *html, const struct evening_row *row)
{
    struct text text;
    text_init(&text);
    scan_awaited_words(&text, row);
    html_open_class(html, "td", "awaited");
    html_text(html, text.length > 0 ? text.bytes
                                    : "nothing: the close is already beyond the entry, or no entry "
                                      "can be placed");
    html_close(html);
    text_free(&text);
}

static void write_failed(struct html *html, const struct evening_row *row)
{
    char name[READING_NAME_SIZE];
    char line[256];
    const struct reading *reading = &row->failed.reading;
    snprintf(line, sizeof line, "%s%s %.4g, %s %.4g %s", row->failed.negated ? "not: " : "",
             reading_name(reading, name), reading->value, comparison_words(reading->comparison),
             reading->limit, reading->unit);
    html_open_class(html, "td", "awaited");
    html_text(html, line);
    html_close(html);
}

/* By the instrument's own clock, which is named where it is not a date alone. */
static int write_candle(struct html *html, const struct evening_row *row, struct error *error)
{
    char date[CALENDAR_TEXT_SIZE];
    struct wall_clock clock;
    int code = wall_clock_open(&clock, row->zone, error);
    if (code == ERROR_NONE) {
        int offset = row->dated ? 0 : wall_clock_offset(&clock, row->candle_time);
        page_date(date, row->candle_time + offset, row->dated);
        html_open_class(html, "td", "one");
        html_text(html, date);
        if (!row->dated)
            html_element(html, "small", row->zone);
        html_close(html);
    }
    wall_clock_close(&clock);
    return code;
}

static int write_row(struct html *html, const struct exchange *exchange, const char *setup,
                     const struct evening_row *row, enum bar_state state, struct error *error)
{
    html_open(html, "tr");
    write_name(html, exchange, setup, row, state);
    html_element(html, "td", row->is_short ? "short" : "long");
    int code = write_candle(html, row, error);
    if (row->kind == EVENING_NEARLY) {
        write_failed(html, row);
        write_price(html, row, "close", row->close);
    } else {
        write_awaited(html, row);
        write_price(html, row, "close", row->close);
        write_price(html, row, "stop", row->stop);
    }
    html_close(html);
    return code;
}

static int write_kind(struct html *html, const struct exchange *exchange, const struct today *today,
                      enum evening_kind kind, struct error *error)
{
    int code = ERROR_NONE;
    static const struct {
        const char *title;
        const char *none;
    } words[] = {
        {"New signals", "No setup has a signal on its newest bar."},
        {"Signals that wait for their entry", "No entry is still open."},
        {"Near misses of the newest bar", "No newest bar fails one criterion only."},
    };
    html_open_class(html, "section", "block ruled");
    html_open(html, "h2");
    html_text(html, words[kind].title);
    html_text(html, ": ");
    page_count(html, (int64_t)today->kinds[kind]);
    html_close(html);
    if (today->kinds[kind] == 0) {
        html_element_class(html, "p", "gap soft", words[kind].none);
        html_close(html);
        return ERROR_NONE;
    }
    html_open_class(html, "div", "wide");
    html_open_class(html, "table", "stack");
    if (kind == EVENING_NEARLY)
        html_markup(html, "<thead><tr><th scope=\"col\">instrument</th><th scope=\"col\">side</th>"
                          "<th scope=\"col\">candle</th><th scope=\"col\">what it misses</th>"
                          "<th scope=\"col\" class=\"n\">close</th></tr></thead>");
    else
        html_markup(html, "<thead><tr><th scope=\"col\">instrument</th><th scope=\"col\">side</th>"
                          "<th scope=\"col\">candle</th>"
                          "<th scope=\"col\">what must happen next</th>"
                          "<th scope=\"col\" class=\"n\">close</th>"
                          "<th scope=\"col\" class=\"n\">stop</th></tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; code == ERROR_NONE && i < today->evening.count; i++) {
        const struct evening_row *row = &today->evening.list[i];
        if (row->kind == kind)
            code = write_row(html, exchange, today->names[row->setup - today->setups], row,
                             evening_state(&today->evening, row), error);
    }
    html_close_all(html, 4);
    return code;
}

/* --- the sheet ---------------------------------------------------------------------------------- */

static void write_choices(struct html *html, const struct exchange *exchange,
                          const struct today *today)
{
    html_open_class(html, "form", "line");
    html_attribute(html, "method", "get");
    form_choose_list(html, "list", today->lists, today->list_count,
                     exchange_filled(exchange, "list"));
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    form_button(html, "slight", "show", NULL);
    html_close(html);
}

static int read_lists(struct page *page, struct today *today, struct error *error)
{
    struct book *book = NULL;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = list_store_all(book, &today->lists, &today->list_count, error);
    return book_done(book, code, error);
}

/* Newest bars that are older than those of others, or than the clock. */
static void write_age(struct html *html, const struct page *page, const struct exchange *exchange,
                      const struct today *today)
{
    const struct scan_facts facts = {.to_clock = exchange_filled(exchange, "as-of") == NULL,
                                     .now = page->options.clock()};
    struct text age;
    text_init(&age);
    scan_age_words(&age, &today->evening.newest, &facts);
    if (age.length > 0)
        html_element_class(html, "p", "small block", age.bytes);
    text_free(&age);
}

int sheet_today(struct page *page, struct exchange *exchange, struct error *error)
{
    struct today today = {0};
    struct html html;
    struct text says;
    int64_t as_of = 0;
    text_init(&today.left_out);
    text_init(&says);
    int code = page_as_of(exchange, &as_of, error);
    if (code == ERROR_NONE)
        code = read_lists(page, &today, error);
    if (code == ERROR_NONE)
        code = look(page, exchange, &today, error);
    if (code == ERROR_NONE) {
        html_init(&html, &exchange->body);
        text_append_format(&says,
                           "%zu new signal%s; %zu still wait%s for %s entry. %zu setups, %zu "
                           "instruments.",
                           today.kinds[EVENING_SIGNAL], today.kinds[EVENING_SIGNAL] == 1 ? "" : "s",
                           today.kinds[EVENING_WAITING],
                           today.kinds[EVENING_WAITING] == 1 ? "s" : "",
                           today.kinds[EVENING_WAITING] == 1 ? "its" : "their", today.count,
                           today.evening.instruments);
        frame_begin(&html, page, exchange,
                    &(struct sheet_head){SHEET_TODAY, "Today", says.bytes, NULL});
        write_choices(&html, exchange, &today);
        write_age(&html, page, exchange, &today);
        for (int kind = EVENING_SIGNAL; code == ERROR_NONE && kind <= EVENING_NEARLY; kind++)
            code = write_kind(&html, exchange, &today, (enum evening_kind)kind, error);
        if (today.left_out.length > 0) {
            html_open_class(&html, "p", "small block");
            html_element(&html, "b", "Not looked at. ");
            html_text(&html, today.left_out.bytes);
            html_close(&html);
        }
        frame_end(&html, exchange);
    }
    text_free(&says);
    free_today(&today);
    return code;
}
