/* What keeps a person honest: the ledger of all that was tried, the seal, and
 * setups frozen for the bars to come. */
#include "web/evidence_parts.h"

#include "answer/answer.h"
#include "web/chart.h"
#include "web/sheets.h"

#include <stdlib.h>
#include <string.h>

/* --- the ledger ---------------------------------------------------------------------------- */

static int write_ledger(struct html *html, const struct ledger *ledger, struct error *error)
{
    struct document document;
    double *adjusted = malloc((ledger->count + 1) * sizeof *adjusted);
    document_init(&document);
    int code = adjusted == NULL ? error_memory(error) : ledger_adjust(ledger, adjusted, error);
    if (code == ERROR_NONE) {
        answer_ledger(&document, ledger, adjusted);
        html_open_class(html, "div", "kept");
        code = evidence_write_document(html, &document, error);
        html_close(html);
    }
    document_clear(&document);
    free(adjusted);
    return code;
}

int sheet_ledger(struct page *page, struct exchange *exchange, struct error *error)
{
    struct book *book = NULL;
    struct ledger ledger = {0};
    struct html html;
    html_init(&html, &exchange->body);
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = ledger_read(&ledger, book, exchange_filled(exchange, "family"), error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE) {
        frame_begin(&html, page, exchange,
                    &(struct sheet_head){SHEET_EVIDENCE, "The ledger",
                                         "Everything that was tried, whatever came of it.", NULL});
        code = write_ledger(&html, &ledger, error);
        frame_end(&html, exchange);
    }
    ledger_free(&ledger);
    return code;
}

/* --- the seal and the frozen ------------------------------------------------------------------ */

static void begin_change(struct html *html, const struct exchange *exchange, const char *action)
{
    form_begin(html, exchange, action);
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
}

static void write_date_field(struct html *html, const char *words, const char *name)
{
    html_open_class(html, "label", "field");
    html_text(html, words);
    html_open_class(html, "input", "blank");
    html_attribute(html, "name", name);
    html_attribute(html, "size", "11");
    html_attribute(html, "placeholder", "2024-01-01");
    html_attribute(html, "autocomplete", "off");
    html_close(html);
}

static void write_seal(struct html *html, const struct page *page, const struct exchange *exchange,
                       int64_t day)
{
    char date[CALENDAR_TEXT_SIZE];
    html_open_class(html, "h3", "gap2");
    html_text(html, "The seal");
    html_close(html);
    html_open_class(html, "p", "measure");
    if (day == INT64_MAX) {
        html_text(html, "Nothing is sealed: every study sees all bars.");
    } else {
        page_date(date, day * SECONDS_PER_DAY, true);
        html_text(html, "Bars from ");
        html_text(html, date);
        html_text(html, " on are sealed: no study looks at them until the seal is opened, once "
                        "and for good.");
    }
    html_close(html);
    if (page->options.read_only)
        return;
    begin_change(html, exchange, "/evidence/seal");
    if (day == INT64_MAX) {
        html_open_class(html, "p", "acts");
        write_date_field(html, "hide bars from ", "from");
        form_button(html, "slight", "Seal them", NULL);
    } else {
        html_element_class(html, "p", "measure",
                           "Opening it cannot be undone: whatever is seen on these bars is seen, "
                           "and none of them can tell any more whether a rule holds on bars that "
                           "nobody chose it by. To open it, write the date from which they are "
                           "sealed.");
        html_open_class(html, "p", "acts");
        write_date_field(html, "sealed from ", "open");
        form_button(html, "slight", "Open the seal for good", NULL);
    }
    html_close_all(html, 2);
}

static void write_judging(struct html *html, const struct exchange *exchange, const char *name)
{
    begin_change(html, exchange, "/evidence/run");
    form_hidden(html, "frozen", name);
    if (exchange_filled(exchange, "list") != NULL)
        form_hidden(html, "list", exchange_filled(exchange, "list"));
    form_button(html, "slight", "Judge it on the bars since", NULL);
    html_close(html);
}

static void write_frozen(struct html *html, const struct page *page,
                         const struct exchange *exchange, const struct frozen_name *list,
                         size_t count)
{
    html_open_class(html, "h3", "gap2");
    html_text(html, "Frozen for the bars to come");
    html_close(html);
    if (count == 0) {
        html_element_class(html, "p", "measure",
                           "No setup is frozen. A frozen one stays as it is and is judged only on "
                           "bars that had not begun when it was frozen.");
        return;
    }
    html_open_class(html, "div", "wide");
    html_open_class(html, "table", "stack");
    html_open(html, "tbody");
    for (size_t i = 0; i < count; i++) {
        char date[CALENDAR_TEXT_SIZE];
        page_date(date, list[i].since, true);
        html_open(html, "tr");
        html_element(html, "td", list[i].name);
        html_open(html, "td");
        html_text(html, "frozen on ");
        html_text(html, date);
        html_close(html);
        html_open(html, "td");
        if (!page->options.read_only)
            write_judging(html, exchange, list[i].name);
        html_close_all(html, 2);
    }
    html_close_all(html, 3);
}

/* The one that is asked about is offered. */
static void write_freezing(struct html *html, const struct page *page,
                           const struct exchange *exchange)
{
    const char *setup = exchange_filled(exchange, "setup");
    if (setup == NULL || page->options.read_only)
        return;
    struct text words;
    text_init(&words);
    text_append_format(&words, "Freeze %.60s as it is now", setup);
    begin_change(html, exchange, "/evidence/freeze");
    form_hidden(html, "setup", setup);
    html_open_class(html, "p", "acts");
    form_button(html, "slight", words.bytes, NULL);
    html_close_all(html, 2);
    text_free(&words);
}

static void write_ledger_link(struct html *html, const struct exchange *exchange)
{
    struct text address;
    address_begin(&address, "/evidence/ledger");
    address_keep_as_of(&address, exchange);
    html_open_class(html, "p", "gap2");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "The ledger: everything that was tried");
    html_close_all(html, 2);
    text_free(&address);
}

int evidence_kept_back(struct html *html, const struct page *page, const struct exchange *exchange,
                       struct error *error)
{
    struct book *book = NULL;
    struct frozen_name *list = NULL;
    size_t count = 0;
    int64_t day = INT64_MAX;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = seal_read(book, &day, error);
    if (code == ERROR_NONE && book != NULL)
        code = frozen_all(book, &list, &count, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE) {
        html_open_class(html, "section", "block ruled");
        html_attribute(html, "id", "kept-back");
        html_element(html, "h2", "What keeps one honest");
        write_seal(html, page, exchange, day);
        write_frozen(html, page, exchange, list, count);
        write_freezing(html, page, exchange);
        write_ledger_link(html, exchange);
        html_close(html);
    }
    for (size_t i = 0; i < count; i++)
        free(list[i].name);
    free(list);
    return code;
}

/* --- changes -------------------------------------------------------------------------------------- */

static int go_back(struct exchange *exchange, struct error *error)
{
    struct text address;
    address_begin(&address, "/evidence");
    address_keep_as_of(&address, exchange);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}

static int read_date(const char *name, const char *text, int64_t *day, struct error *error)
{
    int64_t time = 0;
    bool date_only = false;
    if (!time_parse(text, strlen(text), &time, &date_only) || !date_only)
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.40s'; a date such as 2024-01-01 is allowed", name, text);
    *day = day_of_time(time);
    return ERROR_NONE;
}

/* Only with the date of the seal in hand: what is seen cannot be unseen. */
static int open_seal(const struct page *page, struct book *book, int64_t day, struct error *error)
{
    char date[CALENDAR_TEXT_SIZE];
    int64_t sealed = INT64_MAX;
    int code = seal_read(book, &sealed, error);
    if (code != ERROR_NONE || sealed == INT64_MAX || sealed == day)
        return code == ERROR_NONE ? seal_open(book, page->options.clock(), error) : code;
    time_format(date, sealed * SECONDS_PER_DAY, true);
    return error_set(error, ERROR_INPUT,
                     "the seal stays closed: bars are sealed from %s; write that date to open it",
                     date);
}

int change_seal(struct page *page, struct exchange *exchange, struct error *error)
{
    const char *from = exchange_filled(exchange, "from");
    const char *open = exchange_filled(exchange, "open");
    struct book *book = NULL;
    int64_t day = 0;
    if ((from != NULL) == (open != NULL))
        return error_set(error, ERROR_INPUT, "from which date? One such as 2024-01-01 is allowed");
    int code = read_date(from != NULL ? "hide bars from" : "sealed from",
                         from != NULL ? from : open, &day, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = from != NULL ? seal_close(book, day, page->options.clock(), error)
                            : open_seal(page, book, day, error);
    code = book_done(book, code, error);
    return code == ERROR_NONE ? go_back(exchange, error) : code;
}

int change_freeze(struct page *page, struct exchange *exchange, struct error *error)
{
    const char *name = exchange_filled(exchange, "setup");
    struct book *book = NULL;
    struct setup setup;
    if (name == NULL)
        return error_set(error, ERROR_INPUT, "no setup is chosen to be frozen");
    int code = page_setup(page, name, &setup, error);
    if (code != ERROR_NONE)
        return code;
    code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = frozen_add(book, setup.name, &setup, page->options.clock(), error);
    code = book_done(book, code, error);
    setup_free(&setup);
    return code == ERROR_NONE ? go_back(exchange, error) : code;
}
