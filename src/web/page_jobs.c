/* The queues of long work, and what does it. */
#include "web/evidence_parts.h"
#include "web/market_job.h"

#include <stdlib.h>

static const struct {
    int (*run)(void *page, struct job_run *run, struct error *error);
    void (*let_go)(void *wish);
} queues[QUEUE_COUNT] = {
    [QUEUE_STUDIES] = {evidence_run, evidence_wish_free},
    [QUEUE_CHECKS] = {evidence_check, free},
    [QUEUE_MARKET] = {market_run, free},
};

int page_jobs(struct page *page, enum page_queue queue, struct jobs **jobs, struct error *error)
{
    int code = ERROR_NONE;
    pthread_mutex_lock(&page->jobs_lock);
    if (page->queues[queue] == NULL)
        code = jobs_new(&page->queues[queue],
                        &(struct jobs_does){queues[queue].run, queues[queue].let_go, page}, error);
    *jobs = page->queues[queue];
    pthread_mutex_unlock(&page->jobs_lock);
    return code;
}
