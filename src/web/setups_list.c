/* All setups: each with its sentence, what its newest study found, and whose it is. */
#include "answer/plan_words.h"
#include "base/words.h"
#include "evidence/evidence_store.h"
#include "web/setup_parts.h"
#include "web/sheets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What the book knows of them. */
struct known {
    struct setup_versions kept;
    struct ledger ledger;
};

/* Of just this rule: one number moved makes another. Without memory for it nothing
 * is said. */
static void write_evidence(struct html *html, const struct known *known, const struct setup *setup)
{
    struct plan_study study = {.found = false};
    struct error ignored;
    struct text says;
    text_init(&says);
    html_open(html, "td");
    html_attribute(html, "data-l", "newest study");
    if (setup != NULL && plan_study_in(&known->ledger, setup, &study, &ignored) == ERROR_NONE) {
        plan_study_short_words(&says, &study);
        html_element_class(html, "span", study.found ? NULL : "soft", says.bytes);
    }
    html_close(html);
    text_free(&says);
}

static int write_line(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct book *book, const char *name, const struct known *known,
                      struct error *error)
{
    struct setup setup;
    struct error fault = {0};
    struct text address;
    const struct setup_version *version = NULL;
    int code = page_setup_in(page, book, name, &setup, &fault);
    if (code == ERROR_MACHINE) {
        *error = fault;
        return code;
    }
    for (size_t i = 0; i < known->kept.count; i++)
        if (strcmp(known->kept.list[i].name, name) == 0)
            version = &known->kept.list[i];
    address_begin(&address, "/setups");
    address_add(&address, "setup", name);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(&address, exchange);
    html_open(html, "tr");
    html_open(html, "td");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, name);
    html_close_all(html, 2);
    html_element(html, "td", code == ERROR_NONE ? setup.title : fault.text);
    html_element(html, "td", code == ERROR_NONE ? side_name(setup.side) : "");
    write_evidence(html, known, code == ERROR_NONE ? &setup : NULL);
    html_open(html, "td");
    if (version != NULL) {
        char date[CALENDAR_TEXT_SIZE];
        page_date(date, version->made, true);
        html_text(html, "yours, version ");
        html_integer(html, version->number);
        html_text(html, " of ");
        html_text(html, date);
    } else {
        html_text(html, "shipped");
    }
    html_close_all(html, 2);
    text_free(&address);
    if (code == ERROR_NONE)
        setup_free(&setup);
    return ERROR_NONE;
}

int setups_list_write(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    struct book *book = NULL;
    struct known known = {0};
    struct text says;
    char yours[48];
    int code = page_setup_names(page, &names, &count, error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = setup_store_newest(book, &known.kept, error);
    if (code == ERROR_NONE && book != NULL)
        code = ledger_read(&known.ledger, book, NULL, error);
    snprintf(yours, sizeof yours,
             known.kept.count == 0 ? "none of them yours" : "%zu of them yours", known.kept.count);
    text_init(&says);
    text_append_format(&says,
                       "%zu %s, %s. Each is a rule on paper: a candle, its "
                       "place, what confirms it, and the orders.",
                       count, count_word(count, "setup", "setups"), yours);
    frame_begin(html, page, exchange,
                &(struct sheet_head){SHEET_SETUPS, "Setups", says.bytes, NULL});
    text_free(&says);
    html_open_class(html, "div", "wide gap2");
    html_open_class(html, "table", "stack list");
    html_markup(html, "<thead><tr><th scope=\"col\">setup</th><th scope=\"col\">in words</th>"
                      "<th scope=\"col\">side</th><th scope=\"col\">newest study</th>"
                      "<th scope=\"col\">whose, and last change</th></tr></thead>");
    html_open(html, "tbody");
    for (size_t i = 0; i < count; i++) {
        if (code == ERROR_NONE)
            code = write_line(html, page, exchange, book, names[i], &known, error);
        free(names[i]);
    }
    free(names);
    setup_versions_free(&known.kept);
    ledger_free(&known.ledger);
    html_close_all(html, 3);
    setup_begin_form(html, exchange);
    frame_end(html, exchange);
    return book_done(book, code, error);
}
