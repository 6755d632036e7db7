#include "web/market_job.h"

#include "web/sheets.h"
#include "work/demo_market.h"

#include <stdlib.h>

/* --- the job ---------------------------------------------------------------------------------- */

int market_run(void *context, struct job_run *run, struct error *error)
{
    struct page *page = context;
    struct demo_made made;
    bool there = false;
    if (page_same_book(page, &there, error) != ERROR_NONE)
        return error->code;
    int code = demo_market_make(&(struct demo_wish){.folder = page->options.folder,
                                                    .book = page->options.book,
                                                    .now = page->options.clock(),
                                                    .stop = run->stop,
                                                    .progress = run->progress,
                                                    .context = run->context},
                                &made, error);
    run->answer = (int64_t)made.bars;
    return code;
}

/* What the person has made is not mixed with what is invented; but what was stopped
 * half made is completed. */
static int check_empty(const struct page *page, struct error *error)
{
    struct book *book = NULL;
    enum demo_part part = DEMO_NOTHING;
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE)
        code = demo_market_look(book, &part, error);
    if (code == ERROR_NONE && part == DEMO_MIXED)
        code = error_set(error, ERROR_INPUT,
                         "nothing was made: this book holds prices already, and the invented "
                         "market is not mixed with them; start the page on a book of its own");
    return book_done(book, code, error);
}

int change_market(struct page *page, struct exchange *exchange, struct error *error)
{
    struct jobs *jobs = NULL;
    char *wish = NULL;
    int64_t id = 0;
    int code = check_empty(page, error);
    if (code == ERROR_NONE)
        code = page_jobs(page, QUEUE_MARKET, &jobs, error);
    if (code == ERROR_NONE && (wish = calloc(1, 1)) == NULL)
        code = error_memory(error);
    if (code == ERROR_NONE)
        code = jobs_add(jobs, wish, "The invented market is being made", &id, error);
    return code == ERROR_NONE ? job_go(exchange, &market_place, id, error) : code;
}

int change_market_stop(struct page *page, struct exchange *exchange, struct error *error)
{
    return job_stop(page, exchange, &market_place, error);
}

int part_making(struct page *page, struct exchange *exchange, struct error *error)
{
    return jobs_part(page, exchange, &market_place, error);
}

int market_sheet(struct page *page, struct exchange *exchange, int64_t id, struct error *error)
{
    struct job_seen seen;
    int code = job_sheet(page, exchange, &market_place, id, &seen, error);
    return code == ERROR_NONE && seen.state == JOB_DONE ? exchange_go(exchange, "/today", error)
                                                        : code;
}

/* --- what is offered -------------------------------------------------------------------------- */

static void write_form(struct html *html, const struct exchange *exchange, const char *verb)
{
    form_begin(html, exchange, "/data/market");
    html_open_class(html, "div", "acts");
    form_button(html, NULL, verb, NULL);
    html_close_all(html, 2);
}

int market_offer_rest(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct book *book, struct error *error)
{
    enum demo_part part = DEMO_NOTHING;
    if (!page_may_change(page, exchange))
        return ERROR_NONE;
    int code = demo_market_look(book, &part, error);
    if (code != ERROR_NONE || part != DEMO_PART)
        return code;
    html_open_class(html, "section", "block ruled");
    html_element(html, "h2", "The invented market is half made");
    write_form(html, exchange, "Complete the invented market");
    html_close(html);
    return ERROR_NONE;
}

void market_offer(struct html *html, const struct page *page, const struct exchange *exchange)
{
    if (!page_may_change(page, exchange)) {
        html_element_class(html, "p", "gap soft",
                           "The book is open for reading only, or a past date is shown: nothing "
                           "can be brought in here.");
        return;
    }
    html_open_class(html, "div", "two-ways");
    html_open_class(html, "section", "block ruled");
    html_element(html, "h2", "Your own prices");
    html_element_class(html, "p", "measure gap",
                       "A CSV file with a header line: time, open, high, low, close and perhaps "
                       "volume. Drop it here, or choose it.");
    data_import_form(html, page, exchange, true);
    html_close(html);
    html_open_class(html, "section", "block ruled");
    html_element(html, "h2", "The invented market");
    html_element_class(html, "p", "measure gap",
                       "40 instruments of an invented place, 15 years of daily bars, hourly ones "
                       "of six. One effect is planted in them, and much that is chance. It fills "
                       "this very book: for your own prices start the page on another.");
    write_form(html, exchange, "Make the invented market");
    html_close_all(html, 2);
}
