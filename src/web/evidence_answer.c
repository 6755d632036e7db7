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
    case ANSWER_SENSITIVITY: text_append_format(text, "The numbers of %s", answer->setup); break;
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
    if (answer->kind == ANSWER_SENSITIVITY)
        form_hidden(html, "numbers", "all");
    form_hidden(html, "list", answer->list);
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    form_button(html, kind, words, NULL);
    html_close(html);
}

static void write_link(struct html *html, const struct exchange *exchange, const char *path,
                       const char *setup, const char *list, const char *words)
{
    struct text address;
    address_begin(&address, path);
    address_add(&address, "setup", setup);
    if (list[0] != '\0')
        address_add(&address, "list", list);
    address_keep_as_of(&address, exchange);
    html_open(html, "p");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, words);
    html_close_all(html, 2);
    text_free(&address);
}

static void write_next(struct html *html, const struct page *page, const struct exchange *exchange,
                       const struct kept_answer *answer, const struct text *stale)
{
    html_open_class(html, "section", "ruled");
    html_open_class(html, "h2", "plain");
    html_text(html, stale->length > 0 ? "No longer of what the book holds" : "Next");
    html_close(html);
    if (stale->length > 0)
        html_element(html, "p", stale->bytes);
    if (!page->options.read_only) {
        html_open_class(html, "div", "acts");
        if (stale->length > 0)
            ask_again(html, exchange, answer, "next", "Ask it again of what is there now");
        else if (answer->kind == ANSWER_STUDY)
            ask_again(html, exchange,
                      &(struct kept_answer){.kind = ANSWER_SENSITIVITY,
                                            .setup = answer->setup,
                                            .list = answer->list},
                      NULL, "Move its numbers, one at a time");
        html_close(html);
    }
    if (answer->kind != ANSWER_FORWARD)
        write_link(html, exchange, "/setups", answer->setup, answer->list, "The setup, every case");
    write_link(html, exchange, "/evidence", answer->setup, answer->list,
               "All answers; freeze it for the bars to come");
    html_close(html);
}

static void write_making(struct html *html, const struct kept_answer *answer)
{
    struct text text;
    text_init(&text);
    text_append_format(&text, "Seed %lld; %lld resamples of dates. Setup %s",
                       (long long)answer->seed, (long long)answer->resamples, answer->setup_hash);
    if (answer->against_hash[0] != '\0')
        text_append_format(&text, " and %s", answer->against_hash);
    text_append_format(&text, ", data %s.", answer->data_hash);
    html_open_class(html, "section", "ruled");
    html_open_class(html, "h2", "plain");
    html_text(html, "How it was made");
    html_close(html);
    html_element_class(html, "p", "small made", text.bytes);
    html_close(html);
    text_free(&text);
}

static void write_opening(struct html *html, const struct kept_answer *answer)
{
    const char *line = answer->opening;
    html_open_class(html, "div", "answer");
    while (*line != '\0') {
        size_t length = strcspn(line, "\n");
        struct text paragraph;
        text_init(&paragraph);
        text_append_bytes(&paragraph, line, length);
        if (length > 0)
            html_element(html, "p", paragraph.bytes);
        text_free(&paragraph);
        line += length + (line[length] == '\n');
    }
    html_close(html);
}

static int write_answer(struct page *page, struct exchange *exchange,
                        const struct kept_answer *answer, struct error *error)
{
    struct html html;
    struct text title, says, stale;
    text_init(&title);
    text_init(&says);
    text_init(&stale);
    html_init(&html, &exchange->body);
    int code = evidence_stale(page, answer, &stale, error);
    evidence_title(&title, answer);
    say_made(&says, answer);
    if (code == ERROR_NONE) {
        frame_begin(&html, page, exchange,
                    &(struct sheet_head){SHEET_EVIDENCE, title.bytes, says.bytes, NULL});
        html_open_class(&html, "div", "pair");
        write_opening(&html, answer);
        html_open_class(&html, "aside", "margin note");
        write_next(&html, page, exchange, answer, &stale);
        write_making(&html, answer);
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
    bool found = false;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = answer_store_find(book, id, &answer, &found, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE && !found) {
        exchange->status = STATUS_NOT_FOUND;
        code = error_set(error, ERROR_INPUT, "The book has no answer of the number %lld.",
                         (long long)id);
    }
    if (code == ERROR_NONE)
        code = write_answer(page, exchange, &answer, error);
    kept_answer_clear(&answer);
    return code;
}

/* --- a job -------------------------------------------------------------------------------------- */

static void say_left(struct text *text, const struct job_seen *seen)
{
    double left = seen->done > 0 ? seen->seconds * (1 - seen->done) / seen->done : 0;
    if (seen->done >= 1)
        text_append(text, "The bars are gone through; the intervals are being worked out.");
    else if (seen->done <= 0 || seen->seconds < 1)
        text_append(text, "It has just begun.");
    else if (left < 90)
        text_append_format(text, "About %.0f s until the bars are gone through.", left);
    else /* 2 at least */
        text_append_format(text, "About %.0f minutes until the bars are gone through.", left / 60);
}

void evidence_say_job(struct text *text, const struct job_seen *seen)
{
    switch (seen->state) {
    case JOB_WAITING:
        if (seen->before == 0)
            text_append(text, "It waits for its turn, and is the next.");
        else
            text_append_format(text, "It waits for its turn; %zu %s first.", seen->before,
                               count_word(seen->before, "comes", "come"));
        break;
    case JOB_RUNNING:
        if (seen->ending)
            text_append(text, "It is being stopped.");
        else
            say_left(text, seen);
        break;
    case JOB_DONE: text_append(text, "It is done."); break;
    case JOB_STOPPED:
        text_append(text, "It was stopped before it was done, and has no answer.");
        break;
    case JOB_FAILED: text_append_format(text, "It did not work: %s.", seen->error.text); break;
    }
}

static void write_progress(struct html *html, const struct exchange *exchange,
                           const struct job_seen *seen)
{
    html_open(html, "progress");
    html_attribute(html, "max", "1");
    html_attribute(html, "aria-label", "share done");
    html_attribute_number(html, "value", seen->done);
    html_close(html);
    html_open_class(html, "div", "acts");
    if (!seen->ending) {
        form_begin(html, exchange, "/evidence/stop");
        html_open(html, "input");
        html_attribute(html, "type", "hidden");
        html_attribute(html, "name", "job");
        html_attribute_integer(html, "value", seen->id);
        if (exchange_filled(exchange, "as-of") != NULL)
            form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
        form_button(html, NULL, "Stop it", NULL);
        html_close(html);
    }
    struct text address;
    address_begin(&address, "/evidence");
    address_add_integer(&address, "job", seen->id);
    address_keep_as_of(&address, exchange);
    html_open_class(html, "a", "again");
    html_address(html, "href", address.bytes);
    html_text(html, "Look again");
    html_close_all(html, 2);
    text_free(&address);
    html_element_class(html, "p", "small soft gap",
                       "You may leave this sheet: it goes on, and its answer is kept in the book.");
}

static void write_job(struct page *page, struct exchange *exchange, const struct job_seen *seen)
{
    struct html html;
    struct text says, back;
    text_init(&says);
    html_init(&html, &exchange->body);
    evidence_say_job(&says, seen);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_EVIDENCE, seen->words, NULL, "evidence.js"});
    html_open_class(&html, "p", "says");
    html_attribute(&html, "id", "job");
    html_attribute(&html, "role", "status");
    html_text(&html, says.bytes);
    html_close(&html);
    if (seen->state == JOB_WAITING || seen->state == JOB_RUNNING)
        write_progress(&html, exchange, seen);
    address_begin(&back, "/evidence");
    address_keep_as_of(&back, exchange);
    html_open_class(&html, "p", "block");
    html_open(&html, "a");
    html_address(&html, "href", back.bytes);
    html_text(&html, "All answers, and what else is under way");
    html_close_all(&html, 2);
    frame_end(&html, exchange);
    text_free(&back);
    text_free(&says);
}

int evidence_job_sheet(struct page *page, struct exchange *exchange, int64_t id,
                       struct error *error)
{
    struct job_seen seen;
    struct text address;
    struct jobs *jobs = NULL;
    if (evidence_jobs(page, &jobs, error) != ERROR_NONE)
        return error->code;
    if (!jobs_look(jobs, id, true, &seen)) {
        exchange->status = STATUS_NOT_FOUND;
        return error_set(
            error, ERROR_INPUT,
            "There is no such study under way; what is finished is among the answers.");
    }
    if (seen.state != JOB_DONE) {
        write_job(page, exchange, &seen);
        return ERROR_NONE;
    }
    address_begin(&address, "/evidence");
    address_add_integer(&address, "answer", seen.answer);
    address_keep_as_of(&address, exchange);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}
