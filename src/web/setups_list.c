/* All setups: each with its sentence, what its newest study found, and whose it is; those
 * that were studied first. */
#include "answer/plan_words.h"
#include "answer/setup_words.h"
#include "base/words.h"
#include "web/evidence_parts.h"
#include "web/setup_parts.h"
#include "web/sheets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What the book knows of them. */
struct known {
    struct setup_versions kept;
    struct ledger ledger;
    struct kept_answer *answers; /* the newest first */
    size_t answer_count;
};

struct line {
    char *name;
    struct setup setup;
    bool readable;
    struct error fault;
    const struct setup_version *version; /* NULL: it came with the program */
    struct plan_study study;
    const struct kept_answer *answer; /* that the study is of; NULL: not kept, or not known */
    const struct line *alike;         /* of the same title, and before it; NULL: none */
};

static int read_known(struct known *known, struct book *book, struct error *error)
{
    int code = setup_store_newest(book, &known->kept, error);
    if (code == ERROR_NONE)
        code = ledger_read(&known->ledger, book, NULL, error);
    if (code == ERROR_NONE)
        code = answer_store_all(book, &known->answers, &known->answer_count, error);
    return code;
}

static void forget(struct known *known)
{
    setup_versions_free(&known->kept);
    ledger_free(&known->ledger);
    kept_answers_free(known->answers, known->answer_count);
}

/* The answer that says what the newest study came to: the newest of just this rule, where
 * it is of the same figures. */
static const struct kept_answer *answer_of(const struct known *known, const struct line *line)
{
    char hash[HASH_TEXT_SIZE];
    evidence_hash_setup(hash, &line->setup);
    for (size_t i = 0; i < known->answer_count; i++) {
        const struct kept_answer *answer = &known->answers[i];
        if (answer->kind != ANSWER_STUDY || strcmp(answer->setup, line->name) != 0 ||
            strcmp(answer->setup_hash, hash) != 0)
            continue;
        bool same = answer->trades == line->study.closed && answer->mean_r == line->study.mean_r &&
                    answer->low == line->study.low && answer->high == line->study.high;
        return same ? answer : NULL;
    }
    return NULL;
}

/* The name is borrowed. One that cannot be read is a line with its fault. */
static int read_line(struct line *line, const struct page *page, struct book *book, char *name,
                     const struct known *known, struct error *error)
{
    line->name = name;
    int code = page_setup_in(page, book, name, &line->setup, &line->fault);
    line->readable = code == ERROR_NONE;
    if (code == ERROR_MACHINE) {
        *error = line->fault;
        return code;
    }
    for (size_t i = 0; i < known->kept.count; i++)
        if (strcmp(known->kept.list[i].name, name) == 0)
            line->version = &known->kept.list[i];
    code = line->readable ? plan_study_in(&known->ledger, &line->setup, &line->study, error)
                          : ERROR_NONE;
    if (code == ERROR_NONE && line->study.found)
        line->answer = answer_of(known, line);
    return code;
}

/* Of those of one title the first that came with the program is what the others are
 * likened to, else the first. */
static void find_alike(struct line *lines, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct line *first = NULL;
        for (size_t k = 0; k < count && lines[i].readable; k++)
            if (lines[k].readable && lines[k].setup.title != NULL && lines[i].setup.title != NULL &&
                strcmp(lines[k].setup.title, lines[i].setup.title) == 0 &&
                (first == NULL || (first->version != NULL && lines[k].version == NULL)))
                first = &lines[k];
        lines[i].alike = first != &lines[i] ? first : NULL;
    }
}

/* --- writing it ----------------------------------------------------------------------------- */

static void write_study(struct html *html, const struct exchange *exchange, const struct line *line)
{
    struct text says, address, comes;
    text_init(&says);
    text_init(&comes);
    size_t length = line->answer != NULL ? evidence_headline(line->answer) : 0;
    if (length > 0)
        plan_study_figure_words(&says, &line->study);
    else
        plan_study_short_words(&says, &line->study);
    html_open(html, "td");
    html_attribute(html, "data-l", "newest study");
    html_element_class(html, "span", line->study.found ? NULL : "soft", says.bytes);
    if (length > 0) {
        text_append_bytes(&comes, line->answer->opening, length);
        address_begin(&address, "/evidence");
        address_add_integer(&address, "answer", line->answer->id);
        address_keep_as_of(&address, exchange);
        html_open(html, "small");
        html_open(html, "a");
        html_address(html, "href", address.bytes);
        html_text(html, comes.bytes);
        html_close_all(html, 2);
        text_free(&address);
    }
    html_close(html);
    text_free(&says);
    text_free(&comes);
}

static void write_name(struct html *html, const struct exchange *exchange, const char *name)
{
    struct text address;
    address_begin(&address, "/setups");
    address_add(&address, "setup", name);
    address_add(&address, "list", exchange_filled(exchange, "list"));
    address_keep_as_of(&address, exchange);
    html_open(html, "td");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, name);
    html_close_all(html, 2);
    text_free(&address);
}

static void write_whose(struct html *html, const struct setup_version *version)
{
    char date[CALENDAR_TEXT_SIZE];
    html_open(html, "td");
    if (version == NULL) {
        html_text(html, "the program's");
    } else {
        page_date(date, version->made, true);
        html_text(html, "yours, version ");
        html_integer(html, version->number);
        html_text(html, " of ");
        html_text(html, date);
    }
    html_close(html);
}

static int write_line(struct html *html, const struct exchange *exchange, const struct line *line,
                      struct error *error)
{
    struct text unlike;
    text_init(&unlike);
    int code = line->alike == NULL
                   ? ERROR_NONE
                   : setup_say_unlike(&unlike, &line->setup, &line->alike->setup, error);
    html_open(html, "tr");
    write_name(html, exchange, line->name);
    html_open(html, "td");
    html_text(html, line->readable ? line->setup.title : line->fault.text);
    if (unlike.length > 0)
        html_element(html, "small", unlike.bytes);
    html_close(html);
    html_element(html, "td", line->readable ? side_name(line->setup.side) : "");
    write_study(html, exchange, line);
    write_whose(html, line->version);
    html_close(html);
    text_free(&unlike);
    return code;
}

static void say_all(struct text *says, const struct line *lines, size_t count, size_t yours)
{
    size_t studied = 0;
    for (size_t i = 0; i < count; i++)
        studied += lines[i].study.found ? 1 : 0;
    text_append_format(says, "%zu %s, ", count, count_word(count, "setup", "setups"));
    if (yours == 0)
        text_append(says, "none of them yours");
    else
        text_append_format(says, "%zu of them yours", yours);
    text_append(says, studied > 0 && studied < count
                          ? "; those that were studied come first, then by name."
                          : ", by name.");
    text_append(says, " Each is a rule on paper: a candle, its place, what confirms it, and the "
                      "orders.");
}

static int write_all(struct html *html, const struct page *page, const struct exchange *exchange,
                     const struct line *lines, size_t count, size_t yours, struct error *error)
{
    int code = ERROR_NONE;
    struct text says;
    text_init(&says);
    say_all(&says, lines, count, yours);
    frame_begin(html, page, exchange,
                &(struct sheet_head){SHEET_SETUPS, "Setups", says.bytes, NULL});
    text_free(&says);
    html_markup(html, "<p class=\"gap\"><a href=\"#begin\">Begin a setup of your own</a></p>");
    html_open_class(html, "div", "wide gap2");
    html_open_class(html, "table", "stack list");
    html_markup(html, "<thead><tr><th scope=\"col\">setup</th><th scope=\"col\">in words</th>"
                      "<th scope=\"col\">side</th><th scope=\"col\">newest study</th>"
                      "<th scope=\"col\">whose, and last change</th></tr></thead>");
    html_open(html, "tbody");
    for (int studied = 1; studied >= 0; studied--)
        for (size_t i = 0; i < count && code == ERROR_NONE; i++)
            if (lines[i].study.found == (studied == 1))
                code = write_line(html, exchange, &lines[i], error);
    html_close_all(html, 3);
    setup_begin_form(html, exchange);
    frame_end(html, exchange);
    return code;
}

int setups_list_write(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    size_t read = 0;
    struct book *book = NULL;
    struct known known = {0};
    int code = page_setup_names(page, &names, &count, error);
    struct line *lines = calloc(count + 1, sizeof *lines);
    if (code == ERROR_NONE && lines == NULL)
        code = error_memory(error);
    if (code == ERROR_NONE)
        code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = read_known(&known, book, error);
    for (; read < count && code == ERROR_NONE; read++)
        code = read_line(&lines[read], page, book, names[read], &known, error);
    if (code == ERROR_NONE) {
        find_alike(lines, count);
        code = write_all(html, page, exchange, lines, count, known.kept.count, error);
    }
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    for (size_t i = 0; i < read; i++)
        if (lines[i].readable)
            setup_free(&lines[i].setup);
    free(lines);
    free(names);
    forget(&known);
    return book_done(book, code, error);
}
