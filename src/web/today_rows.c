/* The tables of Today. */
#include "answer/check_words.h"
#include "answer/plan_words.h"
#include "answer/scan.h"
#include "base/words.h"
#include "draw/ticks.h"
#include "market/wall_clock.h"
#include "web/today_parts.h"

#include <math.h>
#include <string.h>

const char *today_setup_name(const struct today *today, const struct evening_row *row)
{
    return today->names[row->setup - today->setups];
}

void today_row_address(struct text *address, const char *path, const struct exchange *exchange,
                       const char *setup, const struct evening_row *row)
{
    char moment[CALENDAR_TEXT_SIZE];
    bool part = strcmp(path, "/charts") != 0;
    time_format(moment, row->candle_time, row->dated);
    address_begin(address, path);
    address_add(address, "instrument", row->instrument);
    address_add(address, "setup", setup);
    address_add(address, part || row->kind == EVENING_NEARLY ? "bar" : "case", moment);
    address_add(address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(address, exchange);
}

/* --- cells -------------------------------------------------------------------------------------- */

static void write_cell(struct html *html, const char *class, const char *head, const char *words)
{
    html_open_class(html, "td", class);
    html_attribute(html, "data-l", head);
    html_text(html, words);
    html_close(html);
}

static void write_price(struct html *html, const struct evening_row *row, const char *head,
                        double price)
{
    char text[TICK_TEXT_SIZE] = "";
    if (!isnan(price))
        number_text(price, decimals_of(row->tick.value), text);
    write_cell(html, "n", head, text);
}

void today_write_name(struct html *html, const struct exchange *exchange, const struct today *today,
                      const struct evening_row *row)
{
    struct text address;
    today_row_address(&address, "/charts", exchange, today_setup_name(today, row), row);
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, row->instrument);
    html_close(html);
    text_free(&address);
}

/* What the newest study of a row's setup came to. */
static void write_study(struct html *html, const struct today *today, const struct evening_row *row)
{
    struct text says;
    text_init(&says);
    plan_study_short_words(&says, &today->studies[row->setup - today->setups]);
    html_element(html, "small", says.bytes);
    text_free(&says);
}

/* The instrument, which leads to its chart, its setup and what is known of that. */
static void write_first(struct html *html, const struct exchange *exchange,
                        const struct today *today, const struct evening_row *row)
{
    enum bar_state state = evening_state(&today->evening, row);
    html_open_class(html, "td", "one");
    today_write_name(html, exchange, today, row);
    html_element(html, "small", today_setup_name(today, row));
    if (row->kind != EVENING_NEARLY)
        write_study(html, today, row);
    if (state != BAR_WHOLE)
        html_element(html, "small",
                     state == BAR_OLD ? "newer bars are due" : "its bar may still change");
    html_close(html);
}

/* Opens the case below its row, by a module; without it, on its chart. */
static void write_opener(struct html *html, const struct exchange *exchange, const char *setup,
                         const struct evening_row *row)
{
    struct text address;
    struct text part;
    struct text words;
    text_init(&words);
    text_append_format(&words, "The case of %s, %s", row->instrument, setup);
    today_row_address(&address, "/charts", exchange, setup, row);
    today_row_address(&part, "/today/case", exchange, setup, row);
    html_open_class(html, "td", "opener");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_attribute(html, "data-part", part.bytes);
    html_attribute(html, "aria-label", words.bytes);
    html_text(html, "case");
    html_close_all(html, 2);
    text_free(&address);
    text_free(&part);
    text_free(&words);
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
        html_attribute(html, "data-l", "candle");
        html_text(html, date);
        if (!row->dated)
            html_element(html, "small", row->zone);
        html_close(html);
    }
    wall_clock_close(&clock);
    return code;
}

static void write_awaited(struct html *html, const struct evening_row *row)
{
    struct text text;
    text_init(&text);
    scan_awaited_words(&text, row);
    write_cell(html, "awaited", NULL,
               text.length > 0 ? text.bytes
                               : "nothing: the close is already beyond the entry, or no entry can "
                                 "be placed");
    text_free(&text);
}

/* How far the price still is from what it waits for. */
static void write_away(struct html *html, const struct evening_row *row)
{
    struct text text;
    text_init(&text);
    if (!isnan(row->away_atr))
        text_append_format(&text, "%.2f", row->away_atr);
    write_cell(html, "n", "away, ATR", text.bytes);
    text_free(&text);
}

/* The criterion that fails, beside its limit. */
static void write_failed(struct html *html, const struct evening_row *row)
{
    int decimals = decimals_of(row->tick.value);
    struct text text;
    text_init(&text);
    check_name_words(&text, &row->failed);
    write_cell(html, "awaited", NULL, text.bytes);
    text_clear(&text);
    check_measured_words(&text, decimals, &row->failed);
    write_cell(html, "n", "measured", text.bytes);
    text_clear(&text);
    check_limit_words(&text, decimals, &row->failed);
    write_cell(html, NULL, "limit", text.bytes);
    text_clear(&text);
    check_missed_words(&text, &row->failed, row->missed_by);
    write_cell(html, "n", "missed by", text.bytes);
    text_free(&text);
}

static int write_row(struct html *html, const struct exchange *exchange, const struct today *today,
                     const struct evening_row *row, struct error *error)
{
    html_open(html, "tr");
    write_first(html, exchange, today, row);
    write_cell(html, NULL, "side", row->is_short ? "short" : "long");
    int code = write_candle(html, row, error);
    if (row->kind == EVENING_NEARLY) {
        write_failed(html, row);
    } else {
        write_awaited(html, row);
        if (row->kind == EVENING_WAITING)
            write_away(html, row);
        write_price(html, row, "close", row->close);
        write_price(html, row, "stop", row->stop);
    }
    write_opener(html, exchange, today_setup_name(today, row), row);
    html_close(html);
    return code;
}

/* --- a table --------------------------------------------------------------------------------------- */

static const struct kind_words {
    const char *title;
    const char *note;
    const char *none;
    const char *class;
} kind_words[] = {
    [EVENING_SIGNAL] = {"New signals",
                        "On the newest bar, the nearest to its entry first. A signal says "
                        "that the rule is met, not that a trade will pay.",
                        "No setup has a signal on its newest bar.", "stack"},
    [EVENING_WAITING] = {"Signals that wait for their entry",
                         "Nearest first. What they wait for may never come.",
                         "No entry is still open.", "stack"},
    [EVENING_NEARLY] = {"Near misses of the newest bar",
                        "One criterion failed, all others were met; nearest first.",
                        "No newest bar fails one criterion only.", "stack near"},
};

static void write_heads(struct html *html, enum evening_kind kind)
{
    static const char prices[] = "<th scope=\"col\" class=\"n\">close</th>"
                                 "<th scope=\"col\" class=\"n\">stop</th>";
    html_markup(html, "<thead><tr><th scope=\"col\">instrument</th><th scope=\"col\">side</th>"
                      "<th scope=\"col\">candle</th>");
    if (kind == EVENING_NEARLY)
        html_markup(html, "<th scope=\"col\">the one that fails</th>"
                          "<th scope=\"col\" class=\"n\">measured</th><th scope=\"col\">limit</th>"
                          "<th scope=\"col\" class=\"n\">missed by</th>");
    else
        html_markup(html, "<th scope=\"col\">what must happen next</th>");
    if (kind == EVENING_WAITING)
        html_markup(html, "<th scope=\"col\" class=\"n\">away, ATR</th>");
    if (kind != EVENING_NEARLY)
        html_markup(html, prices);
    html_markup(html, "<th scope=\"col\"><span class=\"unseen\">opened</span></th></tr></thead>");
}

static bool is_shown(const struct today *today, size_t index, enum evening_kind kind, size_t from)
{
    size_t before = 0;
    for (int k = 0; k < (int)kind; k++)
        before += today->kinds[k];
    return today->evening.list[index].kind == kind && index >= before + from;
}

static int write_table(struct html *html, const struct exchange *exchange,
                       const struct today *today, enum evening_kind kind, size_t first, size_t most,
                       struct error *error)
{
    int code = ERROR_NONE;
    size_t shown = 0;
    html_open_class(html, "div", "wide");
    html_open_class(html, "table", kind_words[kind].class);
    write_heads(html, kind);
    html_open(html, "tbody");
    for (size_t i = 0; code == ERROR_NONE && i < today->evening.count && shown < most; i++) {
        const struct evening_row *row = &today->evening.list[i];
        if (!is_shown(today, i, kind, first))
            continue;
        shown++;
        code = write_row(html, exchange, today, row, error);
    }
    html_close_all(html, 3);
    return code;
}

void today_write_heading(struct html *html, const struct today *today, enum evening_kind kind)
{
    const struct kind_words *words = &kind_words[kind];
    html_open(html, "h2");
    html_text(html, words->title);
    html_text(html, ": ");
    page_count(html, (int64_t)today->kinds[kind]);
    html_close(html);
    html_element_class(html, "p", "small soft", today->kinds[kind] > 0 ? words->note : words->none);
}

/* Thousands of rows are read by nobody, and keep the sheet waiting. */
static void write_more(struct html *html, size_t count)
{
    if (count == 0)
        return;
    html_open_class(html, "p", "small gap");
    page_count(html, (int64_t)count);
    html_text(html, count == 1 ? " more is" : " more are");
    html_text(html, " not shown: choose a list, or fewer setups.");
    html_close(html);
}

int today_write_rows(struct html *html, const struct exchange *exchange, const struct today *today,
                     enum evening_kind kind, struct error *error)
{
    enum { NEAREST = 12, MOST = 200 };
    struct text says;
    size_t shown = today->kinds[kind] < MOST ? today->kinds[kind] : MOST;
    size_t first = kind == EVENING_NEARLY && shown > NEAREST ? NEAREST : shown;
    if (shown == 0)
        return ERROR_NONE;
    int code = write_table(html, exchange, today, kind, 0, first, error);
    if (code == ERROR_NONE && first < shown) {
        text_init(&says);
        text_append_format(&says, "The %zu that missed by more", shown - first);
        html_open_class(html, "details", "gap");
        html_element(html, "summary", says.bytes);
        code = write_table(html, exchange, today, kind, first, shown - first, error);
        html_close(html);
        text_free(&says);
    }
    write_more(html, today->kinds[kind] - shown);
    return code;
}
