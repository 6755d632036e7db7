/* A new setup said as a sentence: the candle, one thing about its place, one that
 * confirms it, and the orders. What it makes is a text to look at and change;
 * nothing is kept. */
#include "web/setup_parts.h"
#include "web/sheets.h"

#include <string.h>

/* --- the form ------------------------------------------------------------------------------ */

/* A name of a table in words. */
static void write_row(struct html *html, const char *name)
{
    char words[80];
    size_t length = strlen(name) < sizeof words ? strlen(name) : sizeof words - 1;
    memcpy(words, name, length);
    words[length] = '\0';
    for (char *c = words; *c != '\0'; c++)
        *c = *c == '_' || *c == '-' ? ' ' : *c;
    form_option(html, name, name[0] != '\0' ? words : "nothing more", NULL);
}

static void write_blank(struct html *html, const char *before, const char *name, const char *value,
                        const char *after, const char *size)
{
    html_open(html, "label");
    html_text(html, before);
    html_text(html, " ");
    html_open_class(html, "input", "blank no");
    html_attribute(html, "name", name);
    html_attribute(html, "size", size);
    html_attribute(html, "value", value);
    html_text(html, " ");
    html_text(html, after);
    html_close(html);
    html_text(html, " ");
}

/* Conditions that ask for nothing that has no usual value. */
static bool is_usual(const struct condition *row)
{
    for (const struct parameter *p = row->parameters; p->name != NULL; p++)
        if (p->kind == PARAMETER_WORD || p->kind == PARAMETER_WEEKDAYS ||
            p->kind == PARAMETER_CLOCK)
            return false;
    return !condition_is_compare(row);
}

static void write_conditions(struct html *html)
{
    write_row(html, "");
    for (const struct condition *row = conditions; row->name != NULL; row++) {
        if (!is_usual(row))
            continue;
        write_row(html, row->name);
        if (row->mirror_name != NULL)
            write_row(html, row->mirror_name);
    }
}

void setup_begin_form(struct html *html, const struct exchange *exchange)
{
    html_open_class(html, "section", "block ruled");
    html_attribute(html, "id", "begin");
    html_element(html, "h2", "Begin a setup");
    html_open_class(html, "form", "sentence measure gap");
    html_attribute(html, "method", "get");
    html_attribute(html, "action", "/setups/begin");
    if (exchange_filled(exchange, "list") != NULL)
        form_hidden(html, "list", exchange_filled(exchange, "list"));
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    write_blank(html, "It is called", "name", "my-first", "", "16");
    form_choice_begin(html, "and is for the", "side");
    write_row(html, "long");
    write_row(html, "short");
    form_choice_end(html);
    html_text(html, "side. ");
    form_choice_begin(html, "The candle is a", "shape");
    for (const struct shape *row = shapes; row->name != NULL; row++)
        write_row(html, row->name);
    form_choice_end(html);
    html_text(html, "(on the short side its mirror). ");
    form_choice_begin(html, "Its place:", "place");
    write_conditions(html);
    form_choice_end(html);
    form_choice_begin(html, "and", "place2");
    write_conditions(html);
    form_choice_end(html);
    html_text(html, ". ");
    form_choice_begin(html, "It is confirmed by", "confirm");
    write_conditions(html);
    form_choice_end(html);
    html_text(html, ". ");
    form_choice_begin(html, "Enter at the", "entry");
    for (const struct entry *row = entries; row->name != NULL; row++)
        if (row->kind != ENTRY_RETEST)
            write_row(html, row->name);
    form_choice_end(html);
    form_choice_begin(html, "with the stop at the", "stop");
    for (const struct stop *row = stops; row->name != NULL; row++)
        write_row(html, row->name);
    form_choice_end(html);
    write_blank(html, ". Out at", "r", "2", "R,", "3");
    write_blank(html, "or after", "bars", "40", "bars.", "3");
    html_open_class(html, "p", "acts");
    form_button(html, NULL, "Write it out and count its cases", NULL);
    html_close_all(html, 3);
}

/* --- what it says ----------------------------------------------------------------------------- */

/* The row's name on the side that was chosen. */
static const char *shape_of(const char *name, bool is_short)
{
    struct shape_choice choice;
    if (!shape_find(name, &choice))
        return name;
    return is_short && choice.shape->mirror_name != NULL ? choice.shape->mirror_name
                                                         : choice.shape->name;
}

static const char *entry_of(const char *name, bool is_short)
{
    bool mirrored = false;
    const struct entry *row = entry_find(name, &mirrored);
    if (row == NULL)
        return name;
    return is_short && row->mirror_name != NULL ? row->mirror_name : row->name;
}

static const char *stop_of(const char *name, bool is_short)
{
    bool mirrored = false;
    const struct stop *row = stop_find(name, &mirrored);
    if (row == NULL)
        return name;
    return is_short && row->mirror_name != NULL ? row->mirror_name : row->name;
}

/* A value for a line of the file, whatever it holds: JSON is YAML. */
static void put(struct text *text, const char *before, const char *value, const char *after)
{
    text_append(text, before);
    text_append_json(text, value);
    text_append(text, after);
}

static const char *field(const struct exchange *exchange, const char *name, const char *missing)
{
    const char *value = exchange_filled(exchange, name);
    return value != NULL ? value : missing;
}

static void write_sentence(struct text *text, const struct exchange *exchange)
{
    bool is_short = strcmp(field(exchange, "side", "long"), "short") == 0;
    const char *place[] = {exchange_filled(exchange, "place"), exchange_filled(exchange, "place2")};
    const char *confirm = exchange_filled(exchange, "confirm");
    put(text, "setup: ", field(exchange, "name", "my-first"), "\n");
    text_append_format(text, "side: %s\n", is_short ? "short" : "long");
    put(text, "candle: {shape: ", shape_of(field(exchange, "shape", "hammer"), is_short), "}\n");
    if (place[0] != NULL || place[1] != NULL)
        text_append(text, "place:\n");
    for (size_t i = 0; i < 2; i++)
        if (place[i] != NULL)
            put(text, "  - ", place[i], ": {}\n");
    if (confirm != NULL)
        put(text, "confirm:\n  of:\n    - ", confirm, ": {}\n");
    put(text, "entry: {on: ", entry_of(field(exchange, "entry", "next_open"), is_short), "}\n");
    put(text, "stop: {at: ", stop_of(field(exchange, "stop", "candle_low"), is_short), "}\n");
    text_append_format(text, "exit:\n  targets: [{r: %.20s, share: 1}]\n  time_stop: %.20s\n",
                       field(exchange, "r", "2"), field(exchange, "bars", "40"));
}

int begin_setup(struct page *page, struct exchange *exchange, struct error *error)
{
    struct setup setup;
    struct error fault;
    struct text text, address;
    text_init(&text);
    write_sentence(&text, exchange);
    /* Where it can be read it is shown with every default written out. */
    if (!text_failed(&text) &&
        rules_read_text("setup", text.bytes, page->options.setups, &setup, &fault) == ERROR_NONE) {
        text_clear(&text);
        setup_write(&setup, &text);
        setup_free(&setup);
    }
    address_begin(&address, "/setups");
    address_add(&address, "text", text.bytes);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(&address, exchange);
    int code = text_failed(&address) ? error_memory(error)
                                     : exchange_go(exchange, address.bytes, error);
    text_free(&text);
    text_free(&address);
    return code;
}
