/* Evidence: what is under way, what can be asked, and the answers that are kept. */
#include "web/evidence_parts.h"

#include "base/words.h"
#include "web/chart.h"
#include "web/sheets.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- under way ------------------------------------------------------------------------------- */

static void write_job_line(struct html *html, const struct exchange *exchange,
                           const struct job_seen *seen)
{
    struct text address, says;
    char id[32];
    text_init(&says);
    job_say(&says, &study_place, seen);
    address_begin(&address, "/evidence");
    address_add_integer(&address, "job", seen->id);
    address_keep_as_of(&address, exchange);
    snprintf(id, sizeof id, "job-%lld", (long long)seen->id);
    html_open(html, "tr");
    html_open(html, "td");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, seen->words);
    html_close_all(html, 2);
    html_open(html, "td");
    html_attribute(html, "id", id);
    html_text(html, says.bytes);
    html_close_all(html, 2);
    text_free(&address);
    text_free(&says);
}

static void write_jobs(struct html *html, const struct exchange *exchange,
                       const struct job_seen *jobs, size_t count)
{
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        if (jobs[i].state == JOB_DONE)
            continue;
        if (!any) {
            html_open_class(html, "section", "block ruled");
            html_element(html, "h2", "Under way, or ended without an answer");
            html_open_class(html, "table", "under-way");
            html_open(html, "tbody");
        }
        any = true;
        write_job_line(html, exchange, &jobs[i]);
    }
    if (any)
        html_close_all(html, 3);
}

int part_jobs(struct page *page, struct exchange *exchange, struct error *error)
{
    return jobs_part(page, exchange, &study_place, error);
}

/* --- kept answers ------------------------------------------------------------------------------ */

static const char no_figure[] = "\xE2\x80\x93"; /* a dash */

static void write_figure(struct html *html, const char *head, double value)
{
    char text[48];
    snprintf(text, sizeof text, "%s", no_figure);
    if (!isnan(value))
        snprintf(text, sizeof text, "%s%.2f", value < 0 ? "\xE2\x88\x92" : "+", fabs(value));
    html_open_class(html, "td", "n");
    html_attribute(html, "data-l", head);
    html_text(html, text);
    html_close(html);
}

static int write_line(struct html *html, struct page *page, const struct exchange *exchange,
                      const struct kept_answer *answer, struct error *error)
{
    char date[CALENDAR_TEXT_SIZE];
    char number[64];
    struct text title, address, stale, headline;
    text_init(&title);
    text_init(&headline);
    text_append_bytes(&headline, answer->opening, evidence_headline(answer));
    text_init(&stale);
    evidence_title(&title, answer);
    int code = evidence_stale_setups(page, answer, &stale, error);
    address_begin(&address, "/evidence");
    address_add_integer(&address, "answer", answer->id);
    address_keep_as_of(&address, exchange);
    page_date(date, answer->made, false);
    snprintf(number, sizeof number, "%lld, %s", (long long)answer->id, date);
    html_open(html, "tr");
    html_open(html, "td");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_text(html, title.bytes);
    html_close(html);
    if (headline.length > 0)
        html_element_class(html, "small", "comes", headline.bytes);
    if (stale.length > 0)
        html_element(html, "small", stale.bytes);
    html_close(html);
    html_element(html, "td", number);
    html_element(html, "td", answer->list[0] != '\0' ? answer->list : "the whole book");
    /* One of two setups, or of many numbers, has not one mean. */
    bool one = answer->kind == ANSWER_STUDY || answer->kind == ANSWER_FORWARD;
    html_open_class(html, "td", "n");
    html_attribute(html, "data-l", "trades");
    if (one)
        page_count(html, answer->trades);
    else
        html_text(html, no_figure);
    html_close(html);
    write_figure(html, "mean R", one ? answer->mean_r : NAN);
    write_figure(html, "from", one ? answer->low : NAN);
    write_figure(html, "to", one ? answer->high : NAN);
    html_close(html);
    text_free(&title);
    text_free(&headline);
    text_free(&stale);
    text_free(&address);
    return code;
}

/* One of a past date is not there yet; one asked as of a past date is. */
static bool was_known(const struct kept_answer *answer, int64_t as_of)
{
    return answer->made <= as_of || answer->until <= as_of;
}

static void write_head(struct html *html, const struct exchange *exchange, const char *term,
                       const char *shown)
{
    html_open_class(html, "th", "n");
    html_attribute(html, "scope", "col");
    word_write(html, exchange, term, shown);
    html_close(html);
}

static int write_answers(struct html *html, struct page *page, const struct exchange *exchange,
                         const struct kept_answer *list, size_t count, int64_t as_of,
                         struct error *error)
{
    int code = ERROR_NONE;
    html_open_class(html, "section", "block ruled");
    html_attribute(html, "id", "answers");
    html_element(html, "h2", "Answers that are kept");
    if (count == 0)
        html_element_class(html, "p", "gap soft", "None yet.");
    if (count > 0) {
        html_open_class(html, "div", "wide");
        html_open_class(html, "table", "stack answers");
        html_markup(
            html,
            "<thead><tr><th scope=\"col\">question</th><th scope=\"col\">number, date (UTC)</th>"
            "<th scope=\"col\">on</th><th scope=\"col\" class=\"n\">trades</th>");
        write_head(html, exchange, "mean R", "mean R");
        write_head(html, exchange, "interval", "95 % from");
        html_markup(html, "<th scope=\"col\" class=\"n\">to</th></tr></thead>");
        html_open(html, "tbody");
        for (size_t i = 0; i < count && code == ERROR_NONE; i++)
            if (was_known(&list[i], as_of))
                code = write_line(html, page, exchange, &list[i], error);
        html_close_all(html, 3);
    }
    html_close(html);
    return code;
}

static void say_counts(struct text *says, size_t known, size_t under_way)
{
    if (known == 0)
        text_append(says, "No answer is kept yet; ");
    else
        text_append_format(says, "%zu %s kept; ", known,
                           count_word(known, "answer is", "answers are"));
    if (under_way == 0)
        text_append(says, "nothing is under way.");
    else
        text_append_format(says, "%zu %s under way.", under_way,
                           count_word(under_way, "is", "are"));
}

static int write_all(struct page *page, struct exchange *exchange, const struct kept_answer *list,
                     size_t count, struct error *error)
{
    struct job_seen jobs[JOBS_WAITING + JOBS_KEPT];
    size_t under_way = 0;
    size_t known = 0;
    struct wishes wishes;
    struct html html;
    struct text says;
    struct jobs *queue = NULL;
    int code = page_wishes(page, exchange, &wishes, error);
    if (code == ERROR_NONE)
        code = page_jobs(page, QUEUE_STUDIES, &queue, error);
    if (code != ERROR_NONE)
        return code;
    size_t job_count = jobs_all(queue, jobs, sizeof jobs / sizeof jobs[0]);
    for (size_t i = 0; i < job_count; i++)
        under_way += jobs[i].state == JOB_RUNNING || jobs[i].state == JOB_WAITING;
    for (size_t i = 0; i < count; i++)
        known += was_known(&list[i], page_as_of_end(wishes.as_of));
    text_init(&says);
    say_counts(&says, known, under_way);
    html_init(&html, &exchange->body);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){SHEET_EVIDENCE, "Evidence", says.bytes, "evidence.js"});
    text_free(&says);
    write_jobs(&html, exchange, jobs, job_count);
    code = evidence_form(&html, page, exchange, error);
    if (code == ERROR_NONE)
        code = write_answers(&html, page, exchange, list, known > 0 ? count : 0,
                             page_as_of_end(wishes.as_of), error);
    if (code == ERROR_NONE)
        code = evidence_kept_back(&html, page, exchange, error);
    frame_end(&html, exchange);
    return code;
}

int sheet_evidence(struct page *page, struct exchange *exchange, struct error *error)
{
    struct book *book = NULL;
    struct kept_answer *list = NULL;
    size_t count = 0;
    int64_t answer = exchange_integer(exchange, "answer", 1, INT64_MAX, 0);
    int64_t job = exchange_integer(exchange, "job", 1, INT64_MAX, 0);
    if (answer > 0)
        return evidence_answer_sheet(page, exchange, answer, error);
    if (job > 0)
        return evidence_job_sheet(page, exchange, job, error);
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = answer_store_all(book, &list, &count, error);
    code = book_done(book, code, error);
    if (code == ERROR_NONE)
        code = write_all(page, exchange, list, count, error);
    kept_answers_free(list, count);
    return code;
}
