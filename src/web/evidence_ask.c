/* Asking for a study: the form, what it may say, and the job that it becomes. */
#define _POSIX_C_SOURCE 200809L /* strdup */
#include "web/evidence_parts.h"

#include "base/number.h"
#include "book/instrument_store.h"
#include "evidence/sensitivity.h"
#include "web/chart.h"
#include "web/sheets.h"
#include "work/as_of.h"

#include <stdlib.h>
#include <string.h>

/* --- reading it ----------------------------------------------------------------------------- */

/* A whole number of the form; an empty field says `missing`. */
static int read_whole(const struct exchange *exchange, const char *name, int64_t least,
                      int64_t most, int64_t missing, size_t *value, struct error *error)
{
    const char *text = exchange_filled(exchange, name);
    int64_t number = missing;
    if (text != NULL &&
        (!number_parse_integer(text, strlen(text), &number) || number < least || number > most))
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.40s'; a whole number from %lld to %lld is allowed here",
                         name, text, (long long)least, (long long)most);
    *value = (size_t)number;
    return ERROR_NONE;
}

static int read_amounts(const struct exchange *exchange, struct evidence_wish *wish,
                        struct error *error)
{
    bool moved = wish->kind == ANSWER_SENSITIVITY;
    int code = read_whole(exchange, "resamples", 200, EVIDENCE_RESAMPLES,
                          moved ? EVIDENCE_RESAMPLES_MOVED : RESAMPLES, &wish->resamples, error);
    if (code == ERROR_NONE)
        code = read_whole(exchange, "markets", 0, EVIDENCE_MARKETS, 0, &wish->markets, error);
    if (code == ERROR_NONE)
        code = read_whole(exchange, "next", 0, EVIDENCE_NEXT, 100, &wish->next, error);
    return code;
}

static int copy_text(char **copy, const char *text, struct error *error)
{
    *copy = strdup(text);
    return *copy != NULL ? ERROR_NONE : error_memory(error);
}

static int read_setup(const struct page *page, const char *name, struct evidence_wish *wish,
                      struct error *error)
{
    int code = page_setup(page, name, &wish->setups[wish->setup_count], error);
    wish->setup_count += code == ERROR_NONE;
    return code;
}

static int check_number(const struct named_number *numbers, size_t count, const char *name,
                        size_t length, struct error *error)
{
    for (size_t i = 0; i < count; i++)
        if (strlen(numbers[i].name) == length && strncmp(numbers[i].name, name, length) == 0)
            return ERROR_NONE;
    return error_set(error, ERROR_INPUT,
                     "numbers: found '%.80s'; all, or one or two numbers of the setup with a comma "
                     "between them, such as %s, are allowed",
                     name, count > 0 ? numbers[0].name : "none: it has no number to move");
}

static int read_numbers(const char *words, struct evidence_wish *wish, struct error *error)
{
    struct named_number *numbers = calloc(NUMBER_LIMIT, sizeof *numbers);
    const char *comma = strchr(words, ',');
    int code = numbers == NULL ? error_memory(error) : copy_text(&wish->numbers, words, error);
    if (code == ERROR_NONE && strcmp(words, "all") != 0) {
        size_t count = setup_numbers(&wish->setups[0], numbers);
        size_t length = comma != NULL ? (size_t)(comma - words) : strlen(words);
        code = check_number(numbers, count, words, length, error);
        if (code == ERROR_NONE && comma != NULL)
            code = check_number(numbers, count, comma + 1, strlen(comma + 1), error);
    }
    free(numbers);
    return code;
}

/* What is asked of the setup: only a study, it against another, its numbers, or
 * a frozen one on the bars since. */
static int read_kind(const struct page *page, const struct exchange *exchange,
                     struct evidence_wish *wish, struct error *error)
{
    const char *setup = exchange_filled(exchange, "setup");
    const char *frozen = exchange_filled(exchange, "frozen");
    const char *against = exchange_filled(exchange, "against");
    const char *numbers = exchange_filled(exchange, "numbers");
    if ((setup != NULL) + (frozen != NULL) != 1)
        return error_set(error, ERROR_INPUT, "one setup is to be chosen, or one that is frozen");
    if ((frozen != NULL) + (against != NULL) + (numbers != NULL) > 1)
        return error_set(error, ERROR_INPUT,
                         "another setup to compare with, or numbers to move: one of them at a "
                         "time, and neither for a frozen setup");
    wish->kind = frozen != NULL    ? ANSWER_FORWARD
                 : against != NULL ? ANSWER_COMPARISON
                 : numbers != NULL ? ANSWER_SENSITIVITY
                                   : ANSWER_STUDY;
    int code = copy_text(&wish->name, setup != NULL ? setup : frozen, error);
    if (code == ERROR_NONE && setup != NULL)
        code = read_setup(page, setup, wish, error);
    if (code == ERROR_NONE && against != NULL)
        code = read_setup(page, against, wish, error);
    if (code == ERROR_NONE && numbers != NULL)
        code = read_numbers(numbers, wish, error);
    return code;
}

/* The list, the frozen setup and the number of instruments are the book's to know. */
static int check_in_book(const struct page *page, const struct evidence_wish *wish,
                         struct error *error)
{
    struct book *book = NULL;
    char **members = NULL;
    size_t count = 0;
    bool found = true;
    struct wishes wishes;
    wishes_init(&wishes);
    if (wish->until < INT64_MAX)
        wishes.as_of = day_of_time(wish->until) * SECONDS_PER_DAY;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book == NULL)
        code = error_set(error, ERROR_INPUT, "the book holds no bars yet; bring some in first");
    if (code == ERROR_NONE && wish->list != NULL)
        code = as_of_members(&wishes, book, wish->list, &members, &count, &found, error);
    if (code == ERROR_NONE && !found)
        code = error_set(error, ERROR_INPUT, "there is no list '%.60s' in the book", wish->list);
    if (code == ERROR_NONE && count > EVIDENCE_INSTRUMENTS)
        code = error_set(error, ERROR_INPUT, "the list has %zu instruments; %d are allowed here",
                         count, EVIDENCE_INSTRUMENTS);
    if (code == ERROR_NONE && wish->kind == ANSWER_FORWARD) {
        struct setup setup;
        int64_t since = 0;
        code = frozen_read(book, wish->name, &setup, &since, error);
        if (code == ERROR_NONE)
            setup_free(&setup);
    }
    for (size_t i = 0; i < count; i++)
        free(members[i]);
    free(members);
    return book_done(book, code, error);
}

static int read_wish(const struct page *page, const struct exchange *exchange,
                     struct evidence_wish *wish, struct error *error)
{
    struct wishes wishes;
    int code = page_wishes(page, exchange, &wishes, error);
    wish->until = page_as_of_end(wishes.as_of);
    if (code == ERROR_NONE)
        code = read_kind(page, exchange, wish, error);
    if (code == ERROR_NONE && exchange_filled(exchange, "list") != NULL)
        code = copy_text(&wish->list, exchange_filled(exchange, "list"), error);
    if (code == ERROR_NONE)
        code = read_amounts(exchange, wish, error);
    return code == ERROR_NONE ? check_in_book(page, wish, error) : code;
}

static void say_wish(struct text *words, const struct evidence_wish *wish)
{
    switch (wish->kind) {
    case ANSWER_STUDY: text_append_format(words, "A study of %.60s", wish->name); break;
    case ANSWER_COMPARISON:
        text_append_format(words, "%.60s against %.60s", wish->name, wish->setups[1].name);
        break;
    case ANSWER_SENSITIVITY:
        text_append_format(words, "The numbers of %.60s moved", wish->name);
        break;
    case ANSWER_FORWARD:
        text_append_format(words, "%.60s as it was frozen, on the bars since", wish->name);
        break;
    }
    text_append_format(words, ", on %.60s", wish->list != NULL ? wish->list : "the whole book");
}

int change_run(struct page *page, struct exchange *exchange, struct error *error)
{
    struct evidence_wish *wish = calloc(1, sizeof *wish);
    struct text words;
    struct jobs *jobs = NULL;
    int64_t id = 0;
    if (wish == NULL)
        return error_memory(error);
    text_init(&words);
    int code = page_jobs(page, QUEUE_STUDIES, &jobs, error);
    if (code == ERROR_NONE)
        code = read_wish(page, exchange, wish, error);
    if (code == ERROR_NONE) {
        say_wish(&words, wish);
        code = jobs_add(jobs, wish, words.bytes, &id, error);
    } else {
        evidence_wish_free(wish);
    }
    text_free(&words);
    return code == ERROR_NONE ? job_go(exchange, &study_place, id, error) : code;
}

int change_stop(struct page *page, struct exchange *exchange, struct error *error)
{
    return job_stop(page, exchange, &study_place, error);
}

/* --- the form ----------------------------------------------------------------------------------- */

static int choose_setup(struct html *html, const struct page *page, const struct exchange *exchange,
                        struct error *error)
{
    char **names = NULL;
    size_t count = 0;
    int code = page_setup_names(page, &names, &count, error);
    form_choice_needed(html, "Study", "setup", "which setup?");
    for (size_t i = 0; i < count; i++)
        form_option(html, names[i], names[i], exchange_filled(exchange, "setup"));
    form_choice_end(html);
    if (code == ERROR_NONE) {
        form_choice_begin(html, "by itself, or against", "against");
        form_option(html, "", "none", NULL);
        for (size_t i = 0; i < count; i++)
            form_option(html, names[i], names[i], exchange_filled(exchange, "against"));
        form_choice_end(html);
    }
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    free(names);
    return code;
}

static int choose_list(struct html *html, const struct page *page, const struct exchange *exchange,
                       struct error *error)
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
    form_choose_list(html, "on", lists, count, exchange_filled(exchange, "list"));
    free(lists);
    return book_done(book, code, error);
}

static void write_field(struct html *html, const char *before, const char *name, const char *size,
                        const char *instead, const char *value, const char *after)
{
    html_open_class(html, "label", "field");
    html_text(html, before);
    html_open_class(html, "input", instead[0] >= '0' && instead[0] <= '9' ? "blank no" : "blank");
    html_attribute(html, "name", name);
    html_attribute(html, "size", size);
    html_attribute(html, "placeholder", instead);
    html_attribute(html, "value", value);
    html_attribute(html, "autocomplete", "off");
    html_text(html, after);
    html_close(html);
    html_text(html, " ");
}

static void write_counting(struct html *html, const struct exchange *exchange)
{
    struct text address;
    address_begin(&address, "/evidence/ledger");
    address_keep_as_of(&address, exchange);
    html_open_class(html, "span", "small soft");
    html_text(html, "Each study shows outcomes, so ");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "the ledger");
    html_close(html);
    html_text(html, " counts it, also if it is stopped.");
    html_close(html);
    text_free(&address);
}

int evidence_form(struct html *html, const struct page *page, const struct exchange *exchange,
                  struct error *error)
{
    html_open_class(html, "section", "block ruled");
    html_attribute(html, "id", "ask");
    html_element(html, "h2", "Ask for a study");
    if (page->options.read_only) {
        html_element_class(html, "p", "gap soft",
                           "The book is open for reading only; a study writes to its ledger.");
        html_close(html);
        return ERROR_NONE;
    }
    form_begin(html, exchange, "/evidence/run");
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    html_open_class(html, "p", "sentence");
    int code = choose_setup(html, page, exchange, error);
    if (code == ERROR_NONE)
        code = choose_list(html, page, exchange, error);
    html_text(html, ".");
    html_close(html);
    html_open(html, "details");
    html_element(html, "summary", "Move its numbers; how often chance is tried");
    html_open_class(html, "p", "sentence");
    write_field(html, "Move ", "numbers", "26", "none", exchange_filled(exchange, "numbers"),
                " (all, or one or two of its numbers with a comma between) ");
    write_field(html, "with ", "resamples", "6", "10000", exchange_filled(exchange, "resamples"),
                " resamples of dates, ");
    write_field(html, "", "markets", "5", "0", exchange_filled(exchange, "markets"),
                " resampled markets, ");
    write_field(html, "and the next ", "next", "5", "100", exchange_filled(exchange, "next"),
                " trades.");
    html_close_all(html, 2);
    html_open_class(html, "div", "acts");
    form_button(html, "next", "Run it", NULL);
    write_counting(html, exchange);
    html_close_all(html, 3);
    return code;
}
