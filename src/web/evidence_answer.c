/* One answer as it was kept, and one job while there is none yet. */
#include "web/evidence_parts.h"

#include "base/words.h"
#include "document/markup.h"
#include "web/chart.h"
#include "web/sheets.h"

#include <stdio.h>
#include <string.h>

void evidence_title(struct text *text, const struct kept_answer *answer)
{
    switch (answer->kind) {
    case ANSWER_STUDY: text_append_format(text, "Does %s pay?", answer->setup); break;
    case ANSWER_COMPARISON:
        text_append_format(text, "%s against %s", answer->setup, answer->against);
        break;
    case ANSWER_SENSITIVITY:
        text_append_format(text, "The numbers of %s", answer->setup);
        if (answer->numbers[0] != '\0' && strcmp(answer->numbers, "all") != 0)
            text_append_format(text, ": %s", answer->numbers);
        break;
    case ANSWER_FORWARD:
        text_append_format(text, "%s, as it was frozen, on the bars since", answer->setup);
        break;
    }
}

static void say_made(struct text *text, const struct kept_answer *answer)
{
    char date[CALENDAR_TEXT_SIZE];
    page_date(date, answer->made, true);
    text_append_format(text, "Answered on %s, on %s", date,
                       answer->list[0] != '\0' ? answer->list : "all instruments of the book");
    if (answer->until != INT64_MAX) {
        page_date(date, answer->until, true);
        text_append_format(text, ", as known on %s", date);
    }
    text_append(text, ".");
}

/* --- an answer -------------------------------------------------------------------------------- */

static void hidden_integer(struct html *html, const char *name, int64_t value)
{
    struct text text;
    text_init(&text);
    text_append_integer(&text, value);
    form_hidden(html, name, text.bytes);
    text_free(&text);
}

/* How much was drawn; a wish of another kind than the answer has its own usual. */
static void hidden_amounts(struct html *html, const struct kept_answer *answer)
{
    if (answer->resamples == 0)
        return;
    hidden_integer(html, "resamples", answer->resamples);
    hidden_integer(html, "markets", answer->markets);
    hidden_integer(html, "next", answer->next);
}

/* The date that it was asked as of, else that of the sheet. */
static void hidden_as_of(struct html *html, const struct exchange *exchange,
                         const struct kept_answer *answer)
{
    char date[CALENDAR_TEXT_SIZE];
    if (answer->until != INT64_MAX) {
        time_format(date, answer->until, true);
        form_hidden(html, "as-of", date);
    } else if (exchange_filled(exchange, "as-of") != NULL) {
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    }
}

/* The same wish again, as fields of a form. */
static void ask_again(struct html *html, const struct exchange *exchange,
                      const struct kept_answer *answer, const char *kind, const char *words)
{
    form_begin(html, exchange, "/evidence/run");
    if (answer->kind == ANSWER_FORWARD)
        form_hidden(html, "frozen", answer->setup);
    else
        form_hidden(html, "setup", answer->setup);
    if (answer->kind == ANSWER_COMPARISON)
        form_hidden(html, "against", answer->against);
    if (answer->kind == ANSWER_SENSITIVITY) /* before they were kept, all were meant */
        form_hidden(html, "numbers", answer->numbers[0] != '\0' ? answer->numbers : "all");
    form_hidden(html, "list", answer->list);
    hidden_amounts(html, answer);
    hidden_as_of(html, exchange, answer);
    form_button(html, kind, words, NULL);
    html_close(html);
}

/* `fragment` is the place of that sheet, "" for its head. */
static void write_link(struct html *html, const struct exchange *exchange, const char *path,
                       const struct kept_answer *answer, const char *fragment, const char *words)
{
    struct text address;
    address_begin(&address, path);
    address_add(&address, "setup", answer->setup);
    if (answer->list[0] != '\0')
        address_add(&address, "list", answer->list);
    address_keep_as_of(&address, exchange);
    text_append(&address, fragment);
    html_open(html, "p");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, words);
    html_close_all(html, 2);
    text_free(&address);
}

static void write_next(struct html *html, const struct page *page, const struct exchange *exchange,
                       const struct kept_answer *answer, const struct text *stale, bool known)
{
    static char all[] = "all";
    html_open_class(html, "section", "ruled");
    html_attribute(html, "id", known ? "next" : "checking");
    html_open_class(html, "h2", "plain");
    html_text(html, stale->length > 0 ? "No longer of what the book holds" : "Next");
    html_close(html);
    if (stale->length > 0)
        html_element(html, "p", stale->bytes);
    if (!known)
        html_element_class(html, "p", "small soft",
                           "Whether the bars are still the same is being looked up; this sheet "
                           "says it when it is opened again.");
    if (!page->options.read_only) {
        html_open_class(html, "div", "acts");
        if (stale->length > 0)
            ask_again(html, exchange, answer, "next", "Ask it again of what is there now");
        else if (answer->kind == ANSWER_STUDY)
            ask_again(html, exchange,
                      &(struct kept_answer){.kind = ANSWER_SENSITIVITY,
                                            .setup = answer->setup,
                                            .list = answer->list,
                                            .until = answer->until,
                                            .numbers = all},
                      NULL, "Move its numbers, one at a time");
        html_close(html);
        if (stale->length == 0 && answer->kind == ANSWER_STUDY)
            html_element_class(html, "p", "small soft",
                               "Each value that a number is moved to is one more trial in the "
                               "ledger.");
    }
    if (answer->kind != ANSWER_FORWARD) {
        write_link(html, exchange, "/setups", answer, "", "The setup, every case");
        if (!page->options.read_only)
            write_link(html, exchange, "/evidence", answer, "#kept-back",
                       "Freeze it for the bars to come");
    }
    write_link(html, exchange, "/evidence", answer, "#answers", "All answers");
    html_close(html);
}

/* How many trials there are by now: what was counted in the answer stays as it was. */
static void write_counted(struct html *html, const struct exchange *exchange,
                          const struct kept_answer *answer, const struct ledger *ledger)
{
    struct text address;
    size_t since = 0;
    for (size_t i = 0; i < ledger->count; i++)
        since += ledger->lines[i].at > answer->made;
    address_begin(&address, "/evidence/ledger");
    address_keep_as_of(&address, exchange);
    html_open_class(html, "p", "small");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, "The ledger");
    html_close(html);
    html_text(html, " held ");
    page_count(html, (int64_t)(ledger->count - since));
    html_text(html, count_word(ledger->count - since, " entry", " entries"));
    html_text(html, " when this was answered, and holds ");
    page_count(html, (int64_t)ledger->count);
    html_text(html, " now.");
    html_close(html);
    text_free(&address);
}

static void write_making(struct html *html, const struct exchange *exchange,
                         const struct kept_answer *answer, const struct ledger *ledger)
{
    struct text text;
    text_init(&text);
    text_append_format(&text, "Seed %lld; %lld resamples of dates", (long long)answer->seed,
                       (long long)answer->resamples);
    if (answer->markets > 0)
        text_append_format(&text, ", %lld resampled %s", (long long)answer->markets,
                           count_word((uint64_t)answer->markets, "market", "markets"));
    if (answer->numbers[0] != '\0' && strcmp(answer->numbers, "all") != 0)
        text_append_format(&text, "; moved: %s", answer->numbers);
    text_append_format(&text, ". Setup %s", answer->setup_hash);
    if (answer->against_hash[0] != '\0')
        text_append_format(&text, " and %s", answer->against_hash);
    text_append_format(&text, ", data %s.", answer->data_hash);
    html_open_class(html, "section", "ruled");
    html_open_class(html, "h2", "plain");
    html_text(html, "How it was made");
    html_close(html);
    html_element_class(html, "p", "small made", text.bytes);
    write_counted(html, exchange, answer, ledger);
    html_close(html);
    text_free(&text);
}

size_t evidence_headline(const struct kept_answer *answer)
{
    size_t length = strcspn(answer->opening, "\n");
    return strncmp(answer->opening + length, "\n\n", 2) == 0 ? length : 0;
}

static void write_opening(struct html *html, const struct kept_answer *answer)
{
    const char *line = answer->opening;
    size_t headline = evidence_headline(answer);
    html_open_class(html, "div", "answer");
    while (*line != '\0') {
        size_t length = strcspn(line, "\n");
        struct text paragraph;
        text_init(&paragraph);
        text_append_bytes(&paragraph, line, length);
        if (length > 0) {
            html_open_class(html, "p", line == answer->opening && headline > 0 ? "comes" : NULL);
            html_prose(html, paragraph.bytes);
            html_close(html);
        }
        text_free(&paragraph);
        line += length + (line[length] == '\n');
    }
    html_close(html);
}

static int write_answer(struct page *page, struct exchange *exchange,
                        const struct kept_answer *answer, const struct ledger *ledger,
                        struct error *error)
{
    struct html html;
    struct text title, says, stale;
    text_init(&title);
    text_init(&says);
    text_init(&stale);
    html_init(&html, &exchange->body);
    bool known = false;
    int code = evidence_stale_setups(page, answer, &stale, error);
    if (code == ERROR_NONE)
        code = evidence_stale_bars(page, answer, &stale, &known, error);
    evidence_title(&title, answer);
    say_made(&says, answer);
    if (code == ERROR_NONE) {
        frame_begin(&html, page, exchange,
                    &(struct sheet_head){SHEET_EVIDENCE, title.bytes, says.bytes,
                                         known ? NULL : "evidence.js"});
        html_open_class(&html, "div", "pair");
        write_opening(&html, answer);
        html_open_class(&html, "aside", "margin note");
        write_next(&html, page, exchange, answer, &stale, known);
        write_making(&html, exchange, answer, ledger);
        html_close_all(&html, 2);
        html_open_class(&html, "div", "kept");
        if (markup_is_drawn(answer->body))
            html_markup(&html, answer->body);
        else
            html_element(&html, "p",
                         "What stands below this answer in the book was not written by this "
                         "program, and is not shown. Ask it again.");
        html_close(&html);
        frame_end(&html, exchange);
    }
    text_free(&title);
    text_free(&says);
    text_free(&stale);
    return code;
}

int evidence_answer_sheet(struct page *page, struct exchange *exchange, int64_t id,
                          struct error *error)
{
    struct book *book = NULL;
    struct kept_answer answer = {0};
    struct ledger ledger = {0};
    bool found = false;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = answer_store_find(book, id, &answer, &found, error);
    if (code == ERROR_NONE && found)
        code = ledger_read(&ledger, book, NULL, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE && !found) {
        exchange->status = STATUS_NOT_FOUND;
        code = error_set(error, ERROR_INPUT, "The book has no answer of the number %lld.",
                         (long long)id);
    }
    if (code == ERROR_NONE)
        code = write_answer(page, exchange, &answer, &ledger, error);
    ledger_free(&ledger);
    kept_answer_clear(&answer);
    return code;
}

/* --- a job -------------------------------------------------------------------------------------- */

int evidence_job_sheet(struct page *page, struct exchange *exchange, int64_t id,
                       struct error *error)
{
    struct job_seen seen;
    struct text address;
    int code = job_sheet(page, exchange, &study_place, id, &seen, error);
    if (code != ERROR_NONE || seen.state != JOB_DONE)
        return code;
    address_begin(&address, "/evidence");
    address_add_integer(&address, "answer", seen.answer);
    address_keep_as_of(&address, exchange);
    code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}
