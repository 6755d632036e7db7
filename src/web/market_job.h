/* The invented market, made in an empty book. Private to the layer. */
#ifndef RUSHLIGHT_WEB_MARKET_JOB_H
#define RUSHLIGHT_WEB_MARKET_JOB_H

#include "web/page_parts.h"

/* For jobs_does: makes it in the page's book; the wish says nothing. */
int market_run(void *page, struct job_run *run, struct error *error);
/* The sheet of the job, and on to what there is to see once it is done. */
int market_sheet(struct page *page, struct exchange *exchange, int64_t id, struct error *error);

/* On a book that holds part of it and nothing else: a form that completes it. */
int market_offer_rest(struct html *html, const struct page *page, const struct exchange *exchange,
                      struct book *book, struct error *error);
/* The two things that an empty book offers: files, and the invented market. */
void market_offer(struct html *html, const struct page *page, const struct exchange *exchange);

#endif
