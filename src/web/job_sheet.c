/* One job while it is under way, and all of a queue for the module that asks. */
#include "base/json.h"
#include "base/words.h"
#include "web/page_parts.h"

#include <stdio.h>

const struct job_place study_place = {
    .queue = QUEUE_STUDIES,
    .sheet = SHEET_EVIDENCE,
    .path = "/evidence",
    .part = "/evidence/jobs",
    .stop = "/evidence/stop",
    .left = " until the bars are gone through.",
    .ending = "The bars are gone through; the intervals are being worked out.",
    .leave = "You may leave this sheet: it goes on, and its answer is kept in the book.",
    .back = "All answers, and what else is under way",
    .gone = "There is no such study under way; what is finished is among the answers.",
};

const struct job_place market_place = {
    .queue = QUEUE_MARKET,
    .sheet = SHEET_DATA,
    .path = "/data",
    .part = "/data/making",
    .stop = "/data/stop",
    .left = " left.",
    .ending = "It is nearly done.",
    .leave = "You may leave this sheet: it goes on. What is stopped stays half made, and is "
             "completed when it is asked for again.",
    .back = "The sheet Data",
    .gone = "Nothing of that number is being made; what the book holds is on the sheet Data.",
};

/* --- in words ------------------------------------------------------------------------------- */

static void say_left(struct text *text, const struct job_place *place, const struct job_seen *seen)
{
    double left = seen->done > 0 ? seen->seconds * (1 - seen->done) / seen->done : 0;
    if (seen->done >= 1)
        text_append(text, place->ending);
    else if (seen->done <= 0 || seen->seconds < 1)
        text_append(text, "It has just begun.");
    else if (left < 90)
        text_append_format(text, "About %.0f s%s", left, place->left);
    else /* 2 at least */
        text_append_format(text, "About %.0f minutes%s", left / 60, place->left);
}

void job_say(struct text *text, const struct job_place *place, const struct job_seen *seen)
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
            say_left(text, place, seen);
        break;
    case JOB_DONE: text_append(text, "It is done."); break;
    case JOB_STOPPED: text_append(text, "It was stopped before it was done."); break;
    case JOB_FAILED: text_append_format(text, "It did not work: %s.", seen->error.text); break;
    }
}

/* --- the sheet ------------------------------------------------------------------------------ */

static void job_address(struct text *address, const struct exchange *exchange,
                        const struct job_place *place, int64_t id)
{
    address_begin(address, place->path);
    address_add_integer(address, "job", id);
    address_keep_as_of(address, exchange);
}

static void write_stop(struct html *html, const struct exchange *exchange,
                       const struct job_place *place, int64_t id)
{
    form_begin(html, exchange, place->stop);
    html_open(html, "input");
    html_attribute(html, "type", "hidden");
    html_attribute(html, "name", "job");
    html_attribute_integer(html, "value", id);
    if (exchange_filled(exchange, "as-of") != NULL)
        form_hidden(html, "as-of", exchange_filled(exchange, "as-of"));
    form_button(html, NULL, "Stop it", NULL);
    html_close(html);
}

static void write_progress(struct html *html, const struct exchange *exchange,
                           const struct job_place *place, const struct job_seen *seen)
{
    struct text address;
    html_open(html, "progress");
    html_attribute(html, "max", "1");
    html_attribute(html, "aria-label", "share done");
    html_attribute_number(html, "value", seen->done);
    html_close(html);
    html_open_class(html, "div", "acts");
    if (!seen->ending)
        write_stop(html, exchange, place, seen->id);
    job_address(&address, exchange, place, seen->id);
    html_open_class(html, "a", "again");
    html_address(html, "href", address.bytes);
    html_text(html, "Look again");
    html_close_all(html, 2);
    text_free(&address);
    html_element_class(html, "p", "small soft gap", place->leave);
}

static void write_sheet(struct page *page, struct exchange *exchange, const struct job_place *place,
                        const struct job_seen *seen)
{
    struct html html;
    struct text says, back;
    text_init(&says);
    html_init(&html, &exchange->body);
    job_say(&says, place, seen);
    frame_begin(&html, page, exchange,
                &(struct sheet_head){place->sheet, seen->words, NULL, "evidence.js"});
    html_open_class(&html, "p", "says");
    html_attribute(&html, "id", "job");
    html_attribute(&html, "role", "status");
    html_attribute(&html, "data-part", place->part);
    html_text(&html, says.bytes);
    html_close(&html);
    if (seen->state == JOB_WAITING || seen->state == JOB_RUNNING)
        write_progress(&html, exchange, place, seen);
    address_begin(&back, place->path);
    address_keep_as_of(&back, exchange);
    html_open_class(&html, "p", "block");
    html_open(&html, "a");
    html_address(&html, "href", back.bytes);
    html_text(&html, place->back);
    html_close_all(&html, 2);
    frame_end(&html, exchange);
    text_free(&back);
    text_free(&says);
}

int job_sheet(struct page *page, struct exchange *exchange, const struct job_place *place,
              int64_t id, struct job_seen *seen, struct error *error)
{
    struct jobs *jobs = NULL;
    if (page_jobs(page, place->queue, &jobs, error) != ERROR_NONE)
        return error->code;
    if (!jobs_look(jobs, id, true, seen)) {
        exchange->status = STATUS_NOT_FOUND;
        return error_set(error, ERROR_INPUT, "%s", place->gone);
    }
    if (seen->state != JOB_DONE)
        write_sheet(page, exchange, place, seen);
    return ERROR_NONE;
}

int job_go(struct exchange *exchange, const struct job_place *place, int64_t id,
           struct error *error)
{
    struct text address;
    job_address(&address, exchange, place, id);
    int code = exchange_go(exchange, address.bytes, error);
    text_free(&address);
    return code;
}

int job_stop(struct page *page, struct exchange *exchange, const struct job_place *place,
             struct error *error)
{
    int64_t id = exchange_integer(exchange, "job", 1, INT64_MAX, 0);
    struct job_seen seen;
    struct jobs *jobs = NULL;
    if (page_jobs(page, place->queue, &jobs, error) != ERROR_NONE)
        return error->code;
    if (!jobs_look(jobs, id, false, &seen))
        return error_set(error, ERROR_INPUT, "%s", place->gone);
    jobs_stop(jobs, id);
    return job_go(exchange, place, id, error);
}

/* --- for the module ------------------------------------------------------------------------- */

/* What the tabs ask for meanwhile: all of them the same, each for the one that
 * it looks at. */
int jobs_part(struct page *page, struct exchange *exchange, const struct job_place *place,
              struct error *error)
{
    struct job_seen jobs[JOBS_WAITING + JOBS_KEPT];
    struct job_seen looked;
    struct json json;
    struct jobs *queue = NULL;
    if (page_jobs(page, place->queue, &queue, error) != ERROR_NONE)
        return error->code;
    jobs_look(queue, exchange_integer(exchange, "job", 1, INT64_MAX, 0), true, &looked);
    size_t count = jobs_all(queue, jobs, sizeof jobs / sizeof jobs[0]);
    exchange->type = "application/json";
    json_init(&json, &exchange->body, JSON_TIGHT);
    json_begin_object(&json);
    json_member_array(&json, "jobs");
    for (size_t i = 0; i < count; i++) {
        struct text says;
        text_init(&says);
        job_say(&says, place, &jobs[i]);
        json_begin_object(&json);
        json_member_integer(&json, "job", jobs[i].id);
        json_member_string(&json, "state", job_state_name(jobs[i].state));
        json_member_number(&json, "done", jobs[i].done);
        json_member_string(&json, "says", says.bytes);
        json_end_object(&json);
        text_free(&says);
    }
    json_end_array(&json);
    json_end_object(&json);
    return ERROR_NONE;
}
