/* The table of Data: what the book has of each instrument. */
#include "web/data_parts.h"

#include "answer/book_rows.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "book/place_store.h"
#include "web/chart_names.h"
#include "work/as_of.h"

#include <stdlib.h>
#include <string.h>

/* Rows of one page of the table; the days that make no holiday. */
enum { ROWS = 100, MONTH = 31 };

struct listed {
    struct html *html;
    const struct exchange *exchange;
    const struct wishes *wishes;
    struct book *book;
    int64_t newest;                     /* time of the newest bar of the book; INT64_MIN: none */
    char unknown[INSTRUMENT_NAME_SIZE]; /* the first whose kind is not known; empty: none */
    char late[INSTRUMENT_NAME_SIZE];    /* and the first without a bar for long */
};

/* --- cells ------------------------------------------------------------------------------------ */

static void write_link(const struct listed *listed, const char *name)
{
    struct text address;
    address_begin(&address, "/charts");
    address_add(&address, "instrument", name);
    address_keep_as_of(&address, listed->exchange);
    html_open(listed->html, "a");
    html_address(listed->html, "href", address.bytes);
    html_text(listed->html, name);
    html_close(listed->html);
    text_free(&address);
}

/* A further length of bars has its name for those who listen alone. */
static void write_name(const struct listed *listed, const struct instrument *instrument, bool first)
{
    html_open_class(listed->html, "td", "name");
    if (first)
        write_link(listed, instrument->name);
    else
        html_element_class(listed->html, "span", "unseen", instrument->name);
    html_close(listed->html);
    html_element_class(listed->html, "td", "kind", first ? market_kind_name(instrument->kind) : "");
}

/* Why there may be no more of them. */
static void write_state(struct listed *listed, const struct instrument *instrument,
                        const struct stored_series *series)
{
    bool ended = instrument->last_known && series->last >= instrument->last_date;
    if (ended) {
        html_open(listed->html, "small");
        html_text(listed->html, "ended");
        html_text(listed->html, instrument->ended_why[0] != '\0' ? ": " : "");
        html_text(listed->html, instrument->ended_why);
        html_close(listed->html);
    } else if (listed->newest - series->last > MONTH * (int64_t)SECONDS_PER_DAY) {
        html_element(listed->html, "small", "none for over a month");
        if (listed->late[0] == '\0')
            memcpy(listed->late, instrument->name, sizeof listed->late);
    }
}

static void write_date(const struct listed *listed, const char *head, int64_t time, bool there)
{
    char text[CALENDAR_TEXT_SIZE] = "";
    if (there)
        page_date(text, time, true);
    html_open(listed->html, "td");
    html_attribute(listed->html, "data-l", head);
    html_text(listed->html, text);
}

/* --- rows --------------------------------------------------------------------------------------- */

/* `series` is NULL where there are no bars. */
static int write_series(struct listed *listed, const struct instrument *instrument,
                        const struct stored_series *series, bool first, struct error *error)
{
    struct html *html = listed->html;
    struct stored_days days = {false, 0, 0};
    char interval[INTERVAL_TEXT_SIZE] = "";
    int code = ERROR_NONE;
    if (series != NULL) {
        interval_format(interval, series->interval);
        code = stored_days_of(&days, instrument, series, error);
    }
    html_open_class(html, "tr", first ? NULL : "more");
    write_name(listed, instrument, first);
    html_element(html, "td", interval);
    html_open_class(html, "td", "n");
    html_attribute(html, "data-l", "bars");
    page_count(html, series != NULL ? series->count : 0);
    html_close(html);
    write_date(listed, "first", days.first, days.there);
    html_close(html);
    write_date(listed, "last", days.last, days.there);
    if (days.there)
        write_state(listed, instrument, series);
    html_close(html);
    html_element_class(html, "td", strcmp(instrument->zone, "UTC") == 0 ? "zone usual" : "zone",
                       first ? instrument->zone : "");
    html_close(html);
    return code;
}

static int write_row(struct listed *listed, const char *name, struct error *error)
{
    struct instrument instrument;
    struct stored_series *series = NULL;
    size_t count = 0;
    int code = instrument_store_need(listed->book, name, &instrument, error);
    if (code == ERROR_NONE) {
        as_of_instrument(listed->wishes, &instrument);
        code = bars_store_list(listed->book, instrument.id, &series, &count, error);
    }
    if (code == ERROR_NONE)
        code = as_of_stored(listed->wishes, listed->book, &instrument, series, &count, error);
    if (code == ERROR_NONE && count == 0)
        code = write_series(listed, &instrument, NULL, true, error);
    for (size_t i = 0; code == ERROR_NONE && i < count; i++)
        code = write_series(listed, &instrument, &series[i], i == 0, error);
    if (code == ERROR_NONE && instrument.kind == MARKET_UNKNOWN && listed->unknown[0] == '\0')
        memcpy(listed->unknown, instrument.name, sizeof listed->unknown);
    free(series);
    return code;
}

static void write_heads(struct html *html, const struct listing *listing)
{
    html_open(html, "thead");
    html_open(html, "tr");
    for (size_t i = 0; i < listing->column_count; i++) {
        const struct column *column = &listing->columns[i];
        html_open_class(html, "th", column->kind == COLUMN_TEXT ? NULL : "n");
        html_attribute(html, "scope", "col");
        html_text(html, column->title);
        html_close(html);
    }
    html_close_all(html, 2);
}

/* --- below it ------------------------------------------------------------------------------------- */

static void write_advice(struct html *html, const char *says, const char *name, const char *option)
{
    struct text command;
    if (name[0] == '\0')
        return;
    text_init(&command);
    text_append_format(&command, "rushlight instrument %s %s", name, option);
    html_open_class(html, "p", "small gap measure");
    html_text(html, says);
    html_element(html, "code", command.bytes);
    html_text(html, ".");
    html_close(html);
    text_free(&command);
}

static void write_next(const struct listed *listed, const char *wanted, int64_t from,
                       int64_t matching)
{
    struct html *html = listed->html;
    struct text address;
    if (matching <= from + ROWS)
        return;
    address_begin(&address, "/data");
    address_add(&address, "name", wanted);
    address_add_integer(&address, "row", from + ROWS);
    address_keep_as_of(&address, listed->exchange);
    html_open_class(html, "p", "small gap");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "The next of ");
    page_count(html, matching);
    html_close_all(html, 2);
    text_free(&address);
}

int data_table_write(struct html *html, const struct exchange *exchange,
                     const struct wishes *wishes, struct book *book, struct error *error)
{
    const char *wanted = exchange_filled(exchange, "name");
    int64_t from = exchange_integer(exchange, "row", 0, INT64_MAX / 2, 0);
    int64_t as_of = INT64_MAX;
    int64_t matching = 0;
    char **names = NULL;
    size_t count = 0;
    struct listed listed = {.html = html,
                            .exchange = exchange,
                            .wishes = wishes,
                            .book = book,
                            .newest = INT64_MIN};
    int code = page_as_of(exchange, &as_of, error);
    if (code == ERROR_NONE)
        code = bars_store_newest(book, page_as_of_end(as_of), &listed.newest, error);
    if (code == ERROR_NONE)
        code = place_store_names(book, wanted, from, ROWS, &names, &count, &matching, error);
    html_open_class(html, "div", "wide");
    html_open_class(html, "table", "stack held");
    write_heads(html, &stored_listing);
    html_open(html, "tbody");
    for (size_t i = 0; i < count && code == ERROR_NONE; i++)
        code = write_row(&listed, names[i], error);
    names_free(names, count);
    html_close_all(html, 3);
    if (matching == 0)
        html_element_class(html, "p", "gap soft", "No instrument has that in its name.");
    write_advice(html, "A kind that is not known is said by ", listed.unknown, "--kind share");
    write_advice(html, "Without a bar for long: bring newer ones in, or say that it has ended by ",
                 listed.late, "--last-date DATE");
    write_next(&listed, wanted, from, matching);
    return code;
}
