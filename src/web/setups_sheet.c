#define _POSIX_C_SOURCE 200809L /* strdup */
/* Setups: the list of them, and one to be looked at and changed. What is changed
 * stands in the address until it is kept, so that back, reload and a bookmark
 * work, and nothing is lost or kept by accident. */
#include "base/words.h"
#include "web/setup_parts.h"
#include "web/sheets.h"

#include "book/instrument_store.h"
#include "setup/difference.h"
#include "work/as_of.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void draft_address(struct text *address, const char *path, const struct draft *draft,
                   const struct exchange *exchange)
{
    address_begin(address, path);
    address_add(address, "setup", draft->name);
    address_add(address, "version", exchange_filled(exchange, "version"));
    if (draft_is_changed(draft))
        address_add(address, "text", draft->text.bytes);
    address_add(address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(address, exchange);
}

/* What both forms carry along. */
static void carry(struct html *html, const struct exchange *exchange)
{
    static const char *const carried[] = {"setup", "version", "list", "as-of"};
    for (size_t i = 0; i < sizeof carried / sizeof carried[0]; i++)
        if (exchange_filled(exchange, carried[i]) != NULL)
            form_hidden(html, carried[i], exchange_filled(exchange, carried[i]));
}

/* --- what it is read on ----------------------------------------------------------------------- */

static int write_lists(struct html *html, const struct page *page, const struct exchange *exchange,
                       const struct draft *draft, struct error *error)
{
    struct book *book = NULL;
    struct list_row *lists = NULL;
    size_t count = 0;
    struct wishes wishes;
    int code = page_wishes(page, exchange, &wishes, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = as_of_lists(&wishes, book, &lists, &count, error);
    html_open_class(html, "form", "gap");
    html_attribute(html, "method", "get");
    html_attribute(html, "action", "/setups");
    static const char *const carried[] = {"setup", "version", "as-of"};
    for (size_t i = 0; i < sizeof carried / sizeof carried[0]; i++)
        if (exchange_filled(exchange, carried[i]) != NULL)
            form_hidden(html, carried[i], exchange_filled(exchange, carried[i]));
    if (draft_is_changed(draft))
        form_hidden(html, "text", draft->text.bytes);
    form_choose_list(html, "read on", lists, count, exchange_filled(exchange, "list"));
    form_button(html, "slight", "show", NULL);
    html_close(html);
    free(lists);
    return book_done(book, code, error);
}

/* --- beside it -------------------------------------------------------------------------------- */

/* Each names its line. */
static void write_faults(struct html *html, const struct draft *draft)
{
    const struct setup_faults *faults = &draft->faults;
    if (faults->count < 2) {
        html_element_class(html, "b", "fault", draft->fault.text);
        return;
    }
    for (size_t i = 0; i < faults->count; i++) {
        html_element_class(html, "b", "fault", faults->list[i].error.text);
        html_markup(html, "<br>");
    }
    page_count(html, (int64_t)(faults->count + faults->beyond));
    html_text(html, faults->beyond > 0 ? " faults, of which these come first" : " faults");
}

static void write_file(struct html *html, const struct exchange *exchange,
                       const struct draft *draft)
{
    size_t lines = 2;
    for (const char *c = draft->text.bytes; *c != '\0'; c++)
        lines += *c == '\n';
    html_open(html, "section");
    html_open_class(html, "h2", "nob");
    html_text(html, "The same as a file");
    html_close(html);
    html_open(html, "form");
    html_attribute(html, "id", "file");
    html_attribute(html, "method", "get");
    html_attribute(html, "action", "/setups");
    carry(html, exchange);
    html_open_class(html, "textarea", draft->fault.code != ERROR_NONE ? "yaml wrong" : "yaml");
    html_attribute(html, "name", "text");
    html_attribute(html, "id", "text");
    html_attribute(html, "aria-label", "The setup as a file");
    html_attribute(html, "spellcheck", "false");
    html_attribute_integer(html, "rows", lines < 60 ? (int64_t)lines : 60);
    /* A first line end would be taken for the parser's own (HTML, 13.1.2.5). */
    html_text(html, "\n");
    html_text(html, draft->text.bytes);
    html_close(html);
    html_open_class(html, "p", "small gap");
    html_attribute(html, "id", "faults");
    html_attribute(html, "role", "status");
    if (draft->fault.code != ERROR_NONE) {
        write_faults(html, draft);
        if (draft->base_reads)
            html_text(html, ". The rows and counts are still those from before.");
    } else {
        html_text(html, "No faults. Edit here or in the rows; either follows the other.");
    }
    html_close(html);
    html_open_class(html, "p", "acts");
    form_button(html, "slight", "Read the file as it is here", NULL);
    html_close_all(html, 3);
}

static int take_difference(void *context, const char *part, const char *first, const char *second,
                           struct error *error)
{
    struct html *html = context;
    (void)error;
    html_open(html, "tr");
    html_element(html, "td", part);
    html_element_class(html, "td", "n", first != NULL ? first : "not said");
    html_open_class(html, "td", "n");
    html_element(html, "b", second != NULL ? second : "not said");
    html_close_all(html, 2);
    return ERROR_NONE;
}

/* Both written out in one form, so that only what they say is compared. */
static int write_since(struct html *html, const struct page *page, const struct draft *draft,
                       struct error *error)
{
    struct setup before;
    struct text first, second;
    text_init(&first);
    text_init(&second);
    html_open(html, "section");
    html_attribute(html, "id", "since");
    int code = ERROR_NONE;
    if (draft->base.length > 0 && draft_is_changed(draft) && draft->fault.code == ERROR_NONE) {
        code = rules_read_text(draft->name, draft->base.bytes, page->options.setups, &before,
                               error);
        if (code == ERROR_NONE) {
            setup_write(&before, &first);
            setup_free(&before);
            setup_write(&draft->setup, &second);
            html_element(html, "h2", "What is changed");
            html_markup(html, "<table><thead><tr><th scope=\"col\">part</th><th scope=\"col\" "
                              "class=\"n\">was</th><th scope=\"col\" class=\"n\">is</th></tr>"
                              "</thead>");
            html_open(html, "tbody");
            code = setup_differences(first.bytes, second.bytes, take_difference, html, error);
            html_close_all(html, 1);
            html_markup(html, "</table>");
        }
    }
    html_close(html);
    text_free(&first);
    text_free(&second);
    return code;
}

static void write_versions(struct html *html, const struct exchange *exchange,
                           const struct draft *draft)
{
    if (draft->versions.count == 0)
        return;
    html_open(html, "section");
    html_element(html, "h2", "Versions");
    html_open(html, "ul");
    for (size_t i = draft->versions.count; i-- > 0;) {
        const struct setup_version *version = &draft->versions.list[i];
        char date[CALENDAR_TEXT_SIZE], words[80];
        struct text address;
        address_begin(&address, "/setups");
        address_add(&address, "setup", version->name);
        address_add_integer(&address, "version", version->number);
        address_add(&address, "list", exchange_filled(exchange, "list"));
        address_keep_as_of(&address, exchange);
        page_date(date, version->made, true);
        snprintf(words, sizeof words, "version %lld", (long long)version->number);
        html_open(html, "li");
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_attribute(html, "aria-current", version->number == draft->version ? "true" : NULL);
        html_text(html, words);
        html_close(html);
        html_text(html, ", ");
        html_text(html, date);
        html_close(html);
        text_free(&address);
    }
    html_close_all(html, 2);
}

/* --- one setup ----------------------------------------------------------------------------------- */

static void write_cases_place(struct html *html, const struct exchange *exchange,
                              const struct draft *draft)
{
    struct text address;
    draft_address(&address, "/setups/cases", draft, exchange);
    html_open_class(html, "section", "block ruled");
    html_attribute(html, "id", "cases");
    html_element(html, "h2", "Every case");
    html_open_class(html, "p", "gap");
    html_open(html, "a");
    html_attribute(html, "id", "cases-address");
    html_address(html, "href", address.bytes);
    html_text(html, "Show the small figures of all cases");
    html_close_all(html, 3);
    text_free(&address);
}

static int write_rule(struct html *html, struct page *page, const struct exchange *exchange,
                      struct draft *draft, struct tally *tally, struct error *error)
{
    struct work *work = NULL;
    struct held *held = NULL;
    int code = page_held(page, exchange, &draft->setup, &work, &held, error);
    if (code == ERROR_NONE)
        code = held_tally(held, work, &draft->setup, tally, error);
    if (code == ERROR_NONE) {
        html_open(html, "form");
        html_attribute(html, "id", "numbers");
        html_attribute(html, "method", "get");
        html_attribute(html, "action", "/setups");
        carry(html, exchange);
        if (exchange_filled(exchange, "text") != NULL)
            form_hidden(html, "text", exchange_filled(exchange, "text"));
        html_open(html, "div");
        html_attribute(html, "id", "rows");
        setup_rows_write(html, draft,
                         &(struct sieve){held, tally, exchange_filled(exchange, "list")});
        html_close(html);
        html_open_class(html, "p", "acts");
        form_button(html, "slight", "Count anew", NULL);
        html_close_all(html, 2);
    }
    return page_held_done(page, work, code, error);
}

static int write_sheet(struct html *html, struct page *page, const struct exchange *exchange,
                       struct draft *draft, const struct text *rule, const struct tally *tally,
                       struct error *error)
{
    const char *title = draft->has_setup ? draft->setup.name : "A new setup";
    frame_begin(html, page, exchange,
                &(struct sheet_head){SHEET_SETUPS, title,
                                     draft->has_setup ? draft->setup.title : NULL, "setups.js"});
    setup_keep_write(html, page, exchange, draft, tally);
    int code = write_lists(html, page, exchange, draft, error);
    if (code != ERROR_NONE)
        return code;
    html_open_class(html, "div", "pair gap2");
    html_open(html, "section");
    html_markup(html, rule->bytes);
    html_close(html);
    html_open_class(html, "aside", "margin");
    html_attribute(html, "aria-label", "The file and its versions");
    write_file(html, exchange, draft);
    setup_said_write(html, draft);
    code = write_since(html, page, draft, error);
    write_versions(html, exchange, draft);
    html_close_all(html, 2);
    if (draft->has_setup)
        write_cases_place(html, exchange, draft);
    frame_end(html, exchange);
    return code;
}

/* Counted before the line above it says what it comes to. */
static int write_editor(struct html *html, struct page *page, const struct exchange *exchange,
                        struct draft *draft, struct error *error)
{
    struct text rule;
    struct html part;
    struct tally tally = {.count = 0};
    text_init(&rule);
    html_init(&part, &rule);
    int code = draft->has_setup ? write_rule(&part, page, exchange, draft, &tally, error)
                                : ERROR_NONE;
    if (code == ERROR_NONE && text_failed(&rule))
        code = error_memory(error);
    if (code == ERROR_NONE)
        code = write_sheet(html, page, exchange, draft, &rule, &tally, error);
    text_free(&rule);
    return code;
}

int sheet_setups(struct page *page, struct exchange *exchange, struct error *error)
{
    struct draft draft;
    struct html html;
    html_init(&html, &exchange->body);
    if (exchange_filled(exchange, "setup") == NULL && exchange_filled(exchange, "text") == NULL)
        return setups_list_write(&html, page, exchange, error);
    int code = draft_read(&draft, page, exchange, error);
    if (code == ERROR_NONE)
        code = write_editor(&html, page, exchange, &draft, error);
    draft_free(&draft);
    return code;
}

/* --- changes ------------------------------------------------------------------------------------------ */

/* A shipped setup that was changed gets a name of its own. */
static int rename_text(const struct page *page, const char *bytes, const char *name,
                       struct text *text, struct error *error)
{
    struct setup setup;
    int code = rules_read_text("setup", bytes, page->options.setups, &setup, error);
    if (code != ERROR_NONE)
        return code;
    char *own = strdup(name);
    if (own != NULL) {
        free(setup.name);
        setup.name = own;
        setup_write(&setup, text);
    }
    setup_free(&setup);
    return own == NULL || text_failed(text) ? error_memory(error) : ERROR_NONE;
}

static bool is_shipped(const struct page *page, const char *name)
{
    struct setup setup;
    struct error ignored;
    if (rules_is_path(name) ||
        rules_read(name, NULL, page->options.setups, &setup, &ignored) != ERROR_NONE)
        return false;
    setup_free(&setup);
    return true;
}

/* A name that no setup has, of the book or shipped; the same text kept again,
 * as a button pressed twice does it, is no other setup. */
static int check_free(struct book *book, const struct page *page, const char *name,
                      const char *bytes, struct error *error)
{
    char *kept = NULL;
    int code = setup_store_text(book, name, 0, &kept, error);
    bool taken = kept != NULL ? strcmp(kept, bytes) != 0 : is_shipped(page, name);
    free(kept);
    if (code != ERROR_NONE || !taken)
        return code;
    return error_set(error, ERROR_INPUT,
                     "nothing was kept: there is a setup %.60s already, and this draft did not "
                     "begin from it; go back and give it a name that is not taken, or change "
                     "%.60s on its own sheet",
                     name, name);
}

/* What is kept becomes the next version of the setup that it began from, or the
 * first one of a new name; never one of a third. */
static int keep_text(struct book *book, const struct page *page, const struct exchange *exchange,
                     const char *bytes, char name[SETUP_NAME_SIZE], struct error *error)
{
    const char *from = exchange_filled(exchange, "from");
    int64_t expected = 0;
    int64_t number = 0;
    struct setup setup;
    int code = rules_read_text("setup", bytes, page->options.setups, &setup, error);
    if (code != ERROR_NONE)
        return code;
    if (from != NULL && strcmp(from, setup.name) == 0)
        expected = exchange_integer(exchange, "expected", 0, INT64_MAX, 0);
    else
        code = check_free(book, page, setup.name, bytes, error);
    setup_free(&setup);
    return code != ERROR_NONE ? code
                              : rules_keep(book, "setup", bytes, page->options.setups, expected,
                                           page->options.clock(), name, &number, error);
}

int change_setup(struct page *page, struct exchange *exchange, struct error *error)
{
    const char *bytes = exchange_filled(exchange, "text");
    const char *as = exchange_filled(exchange, "as");
    char name[SETUP_NAME_SIZE] = "";
    struct book *book = NULL;
    struct text text, address;
    if (bytes == NULL)
        return error_set(error, ERROR_USAGE, "there is no setup in this form");
    text_init(&text);
    int code = ERROR_NONE;
    if (as != NULL)
        code = rename_text(page, bytes, as, &text, error);
    else
        for (; *bytes != '\0'; bytes++)
            if (*bytes != '\r')
                text_append_char(&text, *bytes);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE)
        code = keep_text(book, page, exchange, text.bytes, name, error);
    code = book_done(book, code, error);
    text_free(&text);
    if (code != ERROR_NONE)
        return code;
    address_begin(&address, "/setups");
    address_add(&address, "setup", name);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}
