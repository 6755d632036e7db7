/* Words: every word that a sheet explains where it stands, and the tables of the
 * engine, which explain themselves from their rows. */
#include "answer/catalogue_rows.h"
#include "answer/glossary.h"
#include "web/sheets.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

static void anchor_of(struct text *anchor, const struct catalogue_entry *entry)
{
    text_init(anchor);
    if (strcmp(entry->table, "words") != 0) {
        text_append(anchor, entry->table);
        text_append_char(anchor, '-');
    }
    glossary_anchor(anchor, entry->name);
}

static void write_part(struct html *html, const char *head, const char *words)
{
    if (words == NULL || words[0] == '\0')
        return;
    html_open_class(html, "span", "soft");
    html_text(html, head);
    html_text(html, words);
    html_text(html, words[strlen(words) - 1] == '.' ? " " : ". ");
    html_close(html);
}

/* What it means; behind it formula and source, smaller. */
static void write_meaning(struct html *html, const struct catalogue_entry *entry)
{
    size_t length = strlen(entry->help);
    html_text(html, entry->help);
    html_text(html, length > 0 && entry->help[length - 1] == '.' ? " " : ". ");
    write_part(html, "Formula: ", entry->formula);
    write_part(html, "Source: ", entry->source);
}

/* --- the sheet ------------------------------------------------------------------------------- */

struct writing {
    struct html *html;
    const char *table; /* under way; NULL: none yet */
    char letter;       /* of the words that were led to last */
};

static void write_jump(struct html *html, const char *anchor, const char *words)
{
    struct text address;
    text_init(&address);
    text_append_format(&address, "#%s", anchor);
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, words);
    html_close(html);
    html_text(html, " ");
    text_free(&address);
}

/* To the first word of each letter. */
static void write_letter(void *context, const struct catalogue_entry *entry)
{
    struct writing *writing = context;
    char letter = (char)toupper((unsigned char)entry->name[0]);
    struct text anchor;
    if (letter == writing->letter)
        return;
    writing->letter = letter;
    anchor_of(&anchor, entry);
    write_jump(writing->html, anchor.bytes, (char[]){letter, '\0'});
    text_free(&anchor);
}

/* The words by their letters, and the tables of the engine behind them. */
static void write_jumps(struct html *html)
{
    struct writing writing = {.html = html};
    html_open_class(html, "nav", "jumps");
    html_attribute(html, "aria-label", "Words by letter");
    catalogue_each("words", write_letter, &writing);
    for (size_t i = CATALOGUE_TABLES; i-- > 0;)
        if (strcmp(catalogue_tables[i], "words") != 0) {
            char anchor[64];
            snprintf(anchor, sizeof anchor, "all-%s", catalogue_tables[i]);
            write_jump(html, anchor, catalogue_tables[i]);
        }
    html_close(html);
}

/* The sheet is one of words: their own heading says which. */
static void begin_table(struct html *html, const char *table)
{
    bool words = strcmp(table, "words") == 0;
    char anchor[64];
    snprintf(anchor, sizeof anchor, "all-%s", table);
    html_open_class(html, "section", "block ruled");
    html_attribute(html, "id", anchor);
    html_element(html, "h2", words ? "of sheets and answers" : table);
    html_open_class(html, "dl", "words");
}

static void write_entry(void *context, const struct catalogue_entry *entry)
{
    struct writing *writing = context;
    struct html *html = writing->html;
    struct text anchor;
    if (writing->table != entry->table) {
        if (writing->table != NULL)
            html_close_all(html, 2);
        begin_table(html, entry->table);
    }
    writing->table = entry->table;
    anchor_of(&anchor, entry);
    html_open(html, "div");
    html_attribute(html, "id", anchor.bytes);
    html_element(html, "dt", entry->name);
    html_open(html, "dd");
    write_meaning(html, entry);
    html_close_all(html, 2);
    text_free(&anchor);
}

int sheet_words(struct page *page, struct exchange *exchange, struct error *error)
{
    struct html html;
    struct writing writing = {.html = &html};
    (void)error;
    html_init(&html, &exchange->body);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_COUNT, "Words",
                                     "What each word means, how its number is made, and where it "
                                     "comes from; method.md is one of the program's documents.",
                                     NULL});
    write_jumps(&html);
    for (size_t i = CATALOGUE_TABLES; i-- > 0;) /* the words of answers first */
        catalogue_each(catalogue_tables[i], write_entry, &writing);
    html_close_all(&html, 2);
    frame_end(&html, exchange);
    return ERROR_NONE;
}

static void write_one(void *context, const struct catalogue_entry *entry)
{
    struct html *html = context;
    html_open(html, "p");
    html_element(html, "b", entry->name);
    html_text(html, ": ");
    write_meaning(html, entry);
    html_close(html);
}

int part_word(struct page *page, struct exchange *exchange, struct error *error)
{
    const char *term = exchange_filled(exchange, "term");
    struct html html;
    (void)page;
    html_init(&html, &exchange->body);
    if (term != NULL && catalogue_one(term, write_one, &html))
        return ERROR_NONE;
    exchange->status = STATUS_NOT_FOUND;
    return error_set(error, ERROR_INPUT, "There is no word '%.60s' among those explained.",
                     term != NULL ? term : "");
}

void word_write(struct html *html, const struct exchange *exchange, const char *term,
                const char *shown)
{
    struct text address;
    address_begin(&address, "/words");
    address_keep_as_of(&address, exchange);
    text_append_char(&address, '#');
    glossary_anchor(&address, term);
    html_open_class(html, "a", "word");
    html_address(html, "href", address.bytes);
    html_attribute(html, "data-word", term);
    html_text(html, shown);
    html_close(html);
    text_free(&address);
}
