/* The line under a setup's title: whose it is, what it comes to, and keeping it. */
#include "base/words.h"
#include "web/setup_parts.h"

static void say_state(struct html *html, const struct draft *draft, bool may_change)
{
    char date[CALENDAR_TEXT_SIZE];
    html_open(html, "span");
    if (draft->version == 0) {
        html_text(html, draft->base.length > 0 ? "a setup of the program's"
                                               : "a new setup, not kept yet");
        if (draft->base.length > 0 && may_change)
            html_text(html, ", which stays as it is; what you change becomes one of your own");
        html_close(html);
        return;
    }
    html_text(html, "version ");
    html_integer(html, draft->version);
    for (size_t i = 0; i < draft->versions.count; i++) {
        if (draft->versions.list[i].number != draft->version)
            continue;
        page_date(date, draft->versions.list[i].made, true);
        html_text(html, " of ");
        html_text(html, date);
    }
    if (draft_is_changed(draft)) {
        html_text(html, ", changed and ");
        html_element(html, "b", "not kept yet");
    }
    html_close(html);
}

static void write_form(struct html *html, const struct exchange *exchange,
                       const struct draft *draft)
{
    bool own = draft->version > 0 || draft->base.length == 0;
    int64_t newest = draft->versions.count > 0
                         ? draft->versions.list[draft->versions.count - 1].number
                         : 0;
    struct text words;
    text_init(&words);
    form_begin(html, exchange, "/setups/keep");
    form_hidden(html, "text", draft->text.bytes);
    html_open(html, "input");
    html_attribute(html, "type", "hidden");
    html_attribute(html, "name", "expected");
    html_attribute_integer(html, "value", newest);
    if (draft->base.length > 0)
        form_hidden(html, "from", draft->name);
    if (exchange_filled(exchange, "list") != NULL)
        form_hidden(html, "list", exchange_filled(exchange, "list"));
    if (!own) {
        text_append_format(&words, "my-%.50s", draft->setup.name);
        html_open_class(html, "label", "field");
        html_text(html, "as ");
        html_open_class(html, "input", "blank");
        html_attribute(html, "name", "as");
        html_attribute(html, "size", "24");
        html_attribute(html, "value", words.bytes);
        html_close(html);
        html_text(html, " ");
        text_clear(&words);
        text_append(&words, "Keep as your own");
    } else {
        text_append_format(&words, "Keep version %lld", (long long)newest + 1);
    }
    form_button(html, "next", words.bytes, NULL);
    html_close(html);
    text_free(&words);
    if (!own)
        html_element_class(html, "p", "small soft",
                           "Under the shipped name it stands before the shipped setup from "
                           "then on, wherever that name is said: here, in scans and in "
                           "studies.");
}

/* A study is of what is kept. */
static void write_study_link(struct html *html, const struct exchange *exchange,
                             const struct draft *draft)
{
    struct text address;
    if (draft_is_changed(draft) || draft->base.length == 0)
        return;
    address_begin(&address, "/evidence");
    address_add(&address, "setup", draft->name);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(&address, exchange);
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "study");
    html_close(html);
    text_free(&address);
}

/* What the sieve leaves, and the ways on from there. */
static void write_left(struct html *html, const struct exchange *exchange,
                       const struct draft *draft, const struct tally *tally)
{
    html_open_class(html, "span", "end");
    html_open(html, "b");
    page_count(html, (int64_t)tally->candidates);
    html_text(html, count_word(tally->candidates, " candidate, ", " candidates, "));
    page_count(html, (int64_t)tally->signals);
    html_text(html, count_word(tally->signals, " signal", " signals"));
    html_close(html);
    html_open(html, "a");
    html_attribute(html, "href", "#cases");
    html_text(html, "every case");
    html_close(html);
    write_study_link(html, exchange, draft);
    html_close(html);
}

void setup_keep_write(struct html *html, const struct page *page, const struct exchange *exchange,
                      const struct draft *draft, const struct tally *tally)
{
    bool may_change = page_may_change(page, exchange);
    html_open_class(html, "div", "line");
    html_attribute(html, "id", "keep");
    say_state(html, draft, may_change);
    if (draft_is_changed(draft) && draft->fault.code == ERROR_NONE && may_change)
        write_form(html, exchange, draft);
    if (draft->has_setup)
        write_left(html, exchange, draft, tally);
    html_close(html);
}
