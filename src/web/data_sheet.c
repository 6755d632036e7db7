/* Data: what the book holds, and the way in for files of prices. */
#include "web/data_parts.h"
#include "web/sheets.h"

#include "base/words.h"
#include "book/import.h"
#include "book/place_store.h"
#include "web/chart.h"
#include "web/market_job.h"
#include "work/as_of.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* --- the way in ---------------------------------------------------------------------------- */

static void write_field(struct html *html, const char *label, const char *name, const char *size,
                        const char *hint)
{
    html_open_class(html, "label", "field");
    html_text(html, label);
    html_text(html, " ");
    html_open_class(html, "input", "blank");
    html_attribute(html, "name", name);
    html_attribute(html, "size", size);
    html_attribute(html, "placeholder", hint);
    html_attribute(html, "autocomplete", "off");
    html_close(html);
}

void data_import_form(struct html *html, const struct page *page, const struct exchange *exchange,
                      bool alone)
{
    if (!page_may_change(page, exchange))
        return;
    html_open_class(html, "form", "import");
    html_attribute(html, "id", "import");
    html_attribute(html, "method", "post");
    html_attribute(html, "enctype", "multipart/form-data");
    html_attribute(html, "action", "/data/import");
    form_hidden(html, "token", exchange->token);
    html_open(html, "p");
    form_file(html, "File of prices");
    html_close(html);
    html_open_class(html, "p", "line");
    write_field(html, "instrument", "instrument", "14", "the file's name");
    write_field(html, "zone", "zone", "12", "UTC");
    write_field(html, "bars of", "interval", "6", "as seen");
    write_field(html, "tick", "tick", "6", "as seen");
    html_close(html);
    html_open_class(html, "div", "acts");
    form_button(html, alone ? "next" : NULL, "Import the file", NULL);
    html_close_all(html, 2);
}

/* --- the sheet ------------------------------------------------------------------------------ */

static void write_lists(struct html *html, const struct exchange *exchange,
                        const struct list_row *lists, size_t count)
{
    html_open_class(html, "section", "block ruled");
    html_element(html, "h2", "Lists");
    html_open_class(html, "p", "measure gap");
    if (count == 0)
        html_text(
            html,
            "No watchlist yet; rushlight watchlists make NAME INSTRUMENT\xE2\x80\xA6 makes one.");
    for (size_t i = 0; i < count; i++) {
        struct text address;
        address_begin(&address, "/charts");
        address_add(&address, "list", lists[i].name);
        address_keep_as_of(&address, exchange);
        html_text(html, i > 0 ? ", " : "");
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_text(html, lists[i].name);
        html_close(html);
        html_text(html, " (");
        page_count(html, lists[i].members);
        html_text(html, ")");
        text_free(&address);
    }
    html_close_all(html, 2);
}

static void write_search(struct html *html, const struct page *page,
                         const struct exchange *exchange)
{
    html_open_class(html, "form", "line");
    html_attribute(html, "method", "get");
    html_attribute(html, "role", "search");
    html_open_class(html, "label", "field");
    html_text(html, "names with ");
    html_open_class(html, "input", "blank");
    html_attribute(html, "name", "name");
    html_attribute(html, "size", "18");
    html_attribute(html, "value", exchange_field(exchange, "name"));
    html_close(html);
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    form_button(html, "slight", "show", NULL);
    if (page_may_change(page, exchange)) {
        html_open_class(html, "a", "end");
        html_attribute(html, "href", "#import");
        html_text(html, "Bring a file in");
        html_close(html);
    }
    html_close(html);
}

static int write_book(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct book *book, struct error *error)
{
    struct list_row *lists = NULL;
    size_t list_count = 0;
    struct wishes wishes;
    int code = page_wishes(page, exchange, &wishes, error);
    if (code == ERROR_NONE)
        code = as_of_lists(&wishes, book, &lists, &list_count, error);
    if (code == ERROR_NONE) {
        write_search(html, page, exchange);
        code = data_table_write(html, exchange, &wishes, book, error);
    }
    if (code == ERROR_NONE) {
        write_lists(html, exchange, lists, list_count);
    }
    if (code == ERROR_NONE && page_may_change(page, exchange)) {
        html_open_class(html, "section", "block ruled");
        html_element(html, "h2", "Bring files in");
        data_import_form(html, page, exchange, false);
        html_close(html);
    }
    if (code == ERROR_NONE)
        lines_file_write(html, page, exchange);
    free(lists);
    return code;
}

int sheet_data(struct page *page, struct exchange *exchange, struct error *error)
{
    struct book *book = NULL;
    struct place all = {0};
    struct html html;
    struct text says;
    int64_t job = exchange_integer(exchange, "job", 1, INT64_MAX, 0);
    if (job > 0)
        return market_sheet(page, exchange, job, error);
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = place_store_read(book, NULL, "", &all, error);
    if (code != ERROR_NONE)
        return book_done(book, code, error);
    text_init(&says);
    html_init(&html, &exchange->body);
    const char *notice = exchange_filled(exchange, "done");
    if (all.count == 0)
        text_append(&says, "This book is empty. Bring in a file of prices, or look around the "
                           "invented market first.");
    else
        text_append_format(&says, "%lld %s.", (long long)all.count,
                           count_word((uint64_t)all.count, "instrument", "instruments"));
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_DATA, "Data", says.bytes, "data.js"});
    if (notice != NULL)
        html_element_class(&html, "p", "measure gap", notice);
    if (all.count > 0)
        code = write_book(&html, page, exchange, book, error);
    if (code == ERROR_NONE && all.count > 0)
        code = market_offer_rest(&html, page, exchange, book, error);
    else if (all.count == 0)
        market_offer(&html, page, exchange);
    frame_end(&html, exchange);
    text_free(&says);
    return book_done(book, code, error);
}

/* --- a file handed over ----------------------------------------------------------------------- */

/* The name without folders and ending, for an instrument. */
static void stem_of(const char *file, struct text *stem)
{
    const char *slash = strrchr(file, '/');
    const char *back = strrchr(file, '\\');
    const char *name = slash > back ? slash + 1 : back != NULL ? back + 1 : file;
    const char *dot = strrchr(name, '.');
    text_append_bytes(stem, name, dot != NULL && dot > name ? (size_t)(dot - name) : strlen(name));
}

static int read_import(const struct exchange *exchange, struct import_options *options,
                       struct error *error)
{
    const char *interval = exchange_filled(exchange, "interval");
    const char *tick = exchange_filled(exchange, "tick");
    options->zone = exchange_filled(exchange, "zone");
    if (interval != NULL && !interval_parse(interval, &options->interval))
        return error_set(
            error, ERROR_USAGE,
            "bars of: found '%s'; a length such as 1d, 1w, 1month, 4h or 30m is allowed", interval);
    if (tick != NULL && (!number_parse(tick, strlen(tick), &options->tick) ||
                         !(options->tick > 0 && options->tick < 1e15)))
        return error_set(error, ERROR_USAGE, "tick: found '%s'; a price step above 0 is allowed",
                         tick);
    return ERROR_NONE;
}

static void say_import(const struct import_result *result, struct text *done)
{
    text_append_format(done, "%s: %llu %s added", result->instrument.name,
                       (unsigned long long)result->added, count_word(result->added, "bar", "bars"));
    if (result->already)
        text_append(done, "; this very file was imported before");
    if (result->known > 0)
        text_append_format(done, ", %llu known already", (unsigned long long)result->known);
    if (result->set_aside > 0)
        text_append_format(done, ", %llu %s set aside", (unsigned long long)result->set_aside,
                           count_word(result->set_aside, "line", "lines"));
    if (result->kept_out > 0)
        text_append_format(done, ", %llu %s kept out, since the book has others",
                           (unsigned long long)result->kept_out,
                           count_word(result->kept_out, "bar", "bars"));
    text_append(done, ".");
}

int change_import(struct page *page, struct exchange *exchange, struct error *error)
{
    struct import_options options = {.now = page->options.clock()};
    const struct import_watch nobody = {0};
    struct import_result result;
    struct book *book = NULL;
    struct text stem;
    if (exchange->upload == NULL)
        return error_set(error, ERROR_USAGE, "no file was handed over; choose one first");
    text_init(&stem);
    stem_of(exchange->upload_name, &stem);
    options.instrument = exchange_filled(exchange, "instrument");
    if (options.instrument == NULL)
        options.instrument = stem.bytes;
    int code = read_import(exchange, &options, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE) {
        code = import_file(book, exchange->upload, &options, &nobody, &result, error);
        page_clean_error(error, exchange->upload, exchange->upload_name);
    }
    code = book_done(book, code, error);
    if (code == ERROR_NONE) {
        struct text done, address;
        text_init(&done);
        say_import(&result, &done);
        address_begin(&address, "/data");
        address_add(&address, "done", done.bytes);
        code = exchange_go(exchange, address.bytes, error);
        text_free(&done);
        text_free(&address);
    }
    text_free(&stem);
    return code;
}
