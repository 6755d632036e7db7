#include "web/page_parts.h"

#include "document/cautions.h"

#include <string.h>

static const struct sheet_link {
    const char *path;
    const char *word;
} links[SHEET_COUNT] = {
    [SHEET_TODAY] = {"/today", "Today"},    [SHEET_CHARTS] = {"/charts", "Charts"},
    [SHEET_SETUPS] = {"/setups", "Setups"}, [SHEET_EVIDENCE] = {"/evidence", "Evidence"},
    [SHEET_DATA] = {"/data", "Data"},
};

static void put_own(struct html *html, const struct page *page, const char *attribute,
                    const char *name)
{
    struct text address;
    page_own_address(page, name, &address);
    html_attribute(html, attribute, address.bytes);
    text_free(&address);
}

static void write_module(struct html *html, const struct page *page, const char *name)
{
    html_open(html, "script");
    html_attribute(html, "type", "module");
    put_own(html, page, "src", name);
    html_close(html);
}

static void write_head(struct html *html, const struct page *page, const struct exchange *exchange,
                       const struct sheet_head *head)
{
    html_markup(html, "<!doctype html>\n");
    html_open(html, "html");
    html_attribute(html, "lang", "en");
    html_open(html, "head");
    html_open(html, "meta");
    html_attribute(html, "charset", "utf-8");
    html_open(html, "meta");
    html_attribute(html, "name", "viewport");
    html_attribute(html, "content", "width=device-width, initial-scale=1");
    html_open(html, "meta");
    html_attribute(html, "name", "color-scheme");
    html_attribute(html, "content", "light dark");
    /* For the modules: what a change has to bear. */
    html_open(html, "meta");
    html_attribute(html, "name", "token");
    html_attribute(html, "content", exchange->token);
    html_element(html, "title", head->title);
    html_open(html, "link");
    html_attribute(html, "rel", "stylesheet");
    put_own(html, page, "href", "inks.css");
    html_open(html, "link");
    html_attribute(html, "rel", "stylesheet");
    put_own(html, page, "href", "sheet.css");
    html_open(html, "link");
    html_attribute(html, "rel", "icon");
    put_own(html, page, "href", "candle.svg");
    write_module(html, page, "sheet.js");
    if (head->module != NULL)
        write_module(html, page, head->module);
    html_close(html);
    html_line(html);
}

/* The file's name without its folders and ending. */
static void write_book_name(struct html *html, const struct page *page)
{
    const char *path = page->options.book;
    const char *slash = strrchr(path, '/');
    const char *name = slash != NULL ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    struct text text;
    text_init(&text);
    text_append_bytes(&text, name, dot != NULL && dot > name ? (size_t)(dot - name) : strlen(name));
    html_open_class(html, "span", "book");
    html_text(html, text.bytes);
    if (page->options.read_only)
        html_element_class(html, "span", "soft", ", for reading only");
    html_close(html);
    text_free(&text);
}

static void write_links(struct html *html, const struct exchange *exchange, enum sheet_kind here)
{
    html_open(html, "nav");
    html_attribute(html, "aria-label", "Sheets");
    for (int kind = 0; kind < SHEET_COUNT; kind++) {
        struct text address;
        address_begin(&address, links[kind].path);
        address_keep_as_of(&address, exchange);
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        if (kind == (int)here)
            html_attribute(html, "aria-current", "page");
        html_text(html, links[kind].word);
        html_close(html);
        text_free(&address);
    }
    html_close(html);
}

/* The date that everything is read as of; what else the address says stays. */
static void write_as_of(struct html *html, const struct exchange *exchange)
{
    html_open_class(html, "form", "asof");
    html_attribute(html, "method", "get");
    html_open(html, "label");
    html_attribute(html, "for", "asof");
    html_text(html, "as of");
    html_close(html);
    html_text(html, " ");
    html_open_class(html, "input", "blank");
    html_attribute(html, "id", "asof");
    html_attribute(html, "name", "as-of");
    html_attribute(html, "type", "text");
    html_attribute(html, "size", "11");
    html_attribute(html, "placeholder", "now");
    html_attribute(html, "autocomplete", "off");
    html_attribute(html, "value", exchange_field(exchange, "as-of"));
    for (size_t i = 0; i < exchange->field_count; i++)
        if (strcmp(exchange->fields[i].name, "as-of") != 0 && !exchange->is_change)
            form_hidden(html, exchange->fields[i].name, exchange->fields[i].value);
    html_close(html);
}

/* What a past date means on a sheet: setups and lists have no past, and some of
 * what is asked for is entered now, whatever is read. */
static const char *past_of(enum sheet_kind kind)
{
    switch (kind) {
    case SHEET_EVIDENCE:
        return ". A study asked for here reads nothing later. The ledger, the seal and what is "
               "frozen, setups and lists are as they are now; a study, a seal and a freezing are "
               "entered now. ";
    case SHEET_SETUPS:
        return ". No bar of later is read, and nothing can be kept here; a look at what followed "
               "is entered in the ledger now. Setups and lists are as they are now. ";
    default:
        return ". Nothing later is shown, and nothing can be changed here; but setups and lists "
               "are as they are now. ";
    }
}

/* That a past date is shown, and the way back: the same address without it. */
static void write_past(struct html *html, const struct exchange *exchange, enum sheet_kind kind)
{
    const char *as_of = exchange_filled(exchange, "as-of");
    struct text address;
    char day[CALENDAR_TEXT_SIZE];
    int64_t date = INT64_MAX;
    struct error ignored;
    if (as_of == NULL || page_as_of(exchange, &date, &ignored) != ERROR_NONE)
        return;
    page_day(day, date);
    address_begin(&address, exchange->is_change ? "/today" : exchange->path);
    for (size_t i = 0; i < exchange->field_count && !exchange->is_change; i++)
        if (strcmp(exchange->fields[i].name, "as-of") != 0)
            address_add(&address, exchange->fields[i].name, exchange->fields[i].value);
    html_open_class(html, "p", "past");
    html_text(html, "As it was known at the end of ");
    html_element(html, "b", day);
    html_text(html, past_of(kind));
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "Back to now");
    html_close_all(html, 2);
    html_line(html);
    text_free(&address);
}

void frame_begin(struct html *html, const struct page *page, const struct exchange *exchange,
                 const struct sheet_head *head)
{
    write_head(html, page, exchange, head);
    html_open(html, "body");
    html_open_class(html, "a", "skip");
    html_attribute(html, "href", "#sheet");
    html_text(html, "To the sheet");
    html_close(html);
    html_open_class(html, "header", "top");
    write_book_name(html, page);
    write_links(html, exchange, head->kind);
    write_as_of(html, exchange);
    html_close(html);
    html_line(html);
    html_open_class(html, "main", "sheet");
    html_attribute(html, "id", "sheet");
    html_attribute(html, "tabindex", "-1");
    write_past(html, exchange, head->kind);
    html_element(html, "h1", head->title);
    if (head->says != NULL)
        html_element_class(html, "p", "says", head->says);
    html_line(html);
}

/* The words that a sheet is made of, for who meets them for the first time. */
static const char *const *words_of(const char *path)
{
    static const struct {
        const char *path;
        const char *words[16];
    } sheets[] = {
        {"/today", {"signal", "near miss", "entry", "stop", "R", "watchlist", "as of", NULL}},
        {"/charts",
         {"bar", "case", "turn", "R", "entry", "stop", "target", "tick", "watchlist", NULL}},
        {"/setups",
         {"setup", "place", "candidate", "signal", "case", "look", "average path", NULL}},
        {"/evidence",
         {"study", "trial", "ledger", "seal", "frozen", "control", "mean R", "interval", "p",
          "resample", "resampled market", "next trades", "reach", "drawdown", NULL}},
        {"/data", {"book", "watchlist", "tick", NULL}},
    };
    for (size_t i = 0; path != NULL && i < sizeof sheets / sizeof sheets[0]; i++)
        if (strncmp(path, sheets[i].path, strlen(sheets[i].path)) == 0)
            return sheets[i].words;
    return NULL;
}

static void write_words(struct html *html, const struct exchange *exchange)
{
    const char *const *words = words_of(exchange->path);
    if (words == NULL)
        return;
    html_open_class(html, "p", "small block words-here");
    html_text(html, "Words of this sheet: ");
    for (size_t i = 0; words[i] != NULL; i++) {
        html_text(html, i > 0 ? ", " : "");
        word_write(html, exchange, words[i], words[i]);
    }
    html_text(html, ".");
    html_close(html);
}

static void write_foot_link(struct html *html, const struct exchange *exchange, const char *path,
                            const char *words)
{
    struct text address;
    address_begin(&address, path);
    address_keep_as_of(&address, exchange);
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, words);
    html_close(html);
    text_free(&address);
}

void frame_end(struct html *html, const struct exchange *exchange)
{
    write_words(html, exchange);
    html_close(html);
    html_line(html);
    html_open_class(html, "footer", "foot");
    html_open(html, "p");
    html_text(html, caution_results);
    html_text(html, " ");
    write_foot_link(html, exchange, "/keys", "All keys");
    html_text(html, " ");
    write_foot_link(html, exchange, "/words", "All words");
    html_close_all(html, html->depth);
    html_line(html);
}

void form_begin(struct html *html, const struct exchange *exchange, const char *action)
{
    html_open(html, "form");
    html_attribute(html, "method", "post");
    html_address(html, "action", action);
    form_hidden(html, "token", exchange->token);
}

void form_hidden(struct html *html, const char *name, const char *value)
{
    html_open(html, "input");
    html_attribute(html, "type", "hidden");
    html_attribute(html, "name", name);
    html_attribute(html, "value", value);
}

void form_choice_begin(struct html *html, const char *words, const char *name)
{
    html_open_class(html, "label", "field");
    html_text(html, words);
    html_text(html, " ");
    html_open_class(html, "select", "blank");
    html_attribute(html, "name", name);
}

void form_choice_needed(struct html *html, const char *words, const char *name, const char *missing)
{
    form_choice_begin(html, words, name);
    html_flag(html, "required", true);
    form_option(html, "", missing, NULL);
}

void form_option(struct html *html, const char *value, const char *words, const char *chosen)
{
    html_open(html, "option");
    html_attribute(html, "value", value);
    html_flag(html, "selected", chosen != NULL && strcmp(chosen, value) == 0);
    html_text(html, words);
    html_close(html);
}

void form_choice_end(struct html *html)
{
    html_close_all(html, 2);
    html_text(html, " ");
}

void form_choose_list(struct html *html, const char *words, const struct list_row *lists,
                      size_t count, const char *chosen)
{
    form_choice_begin(html, words, "list");
    form_option(html, "", "the whole book", NULL);
    for (size_t i = 0; i < count; i++)
        form_option(html, lists[i].name, lists[i].name, chosen);
    form_choice_end(html);
}

void form_file(struct html *html, const char *words)
{
    html_open_class(html, "label", "field");
    html_text(html, words);
    html_text(html, " ");
    html_open(html, "input");
    html_attribute(html, "type", "file");
    html_attribute(html, "name", "file");
    html_attribute(html, "accept", ".csv,.txt,text/csv,text/plain");
    html_flag(html, "required", true);
    html_close(html);
}

void form_button(struct html *html, const char *kind, const char *words, const char *key)
{
    html_open_class(html, "button", kind);
    html_text(html, words);
    if (key != NULL)
        html_element(html, "kbd", key);
    html_close(html);
}
