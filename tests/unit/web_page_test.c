/* A look that takes long keeps the setups' instruments to itself, and nothing else:
 * the studies under way are asked for beside it. */
#include "web/evidence_parts.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <unistd.h>

#include <cmocka.h>

static int64_t now(void)
{
    return 0;
}

static void studies_beside_a_long_look(void **state)
{
    struct page_options options = {.book = "no-such-folder/book.sqlite",
                                   .threads = 1,
                                   .clock = now};
    struct page *page = NULL;
    struct jobs *jobs = NULL;
    struct jobs *again = NULL;
    struct error error = {0};
    (void)state;
    assert_int_equal(page_new(&page, &options, &error), ERROR_NONE);
    assert_int_equal(pthread_mutex_lock(&page->held_lock), 0);
    alarm(20); /* ends the test where they wait for the look */
    assert_int_equal(page_jobs(page, QUEUE_STUDIES, &jobs, &error), ERROR_NONE);
    assert_int_equal(page_jobs(page, QUEUE_STUDIES, &again, &error), ERROR_NONE);
    alarm(0);
    assert_non_null(jobs);
    assert_ptr_equal(jobs, again);
    assert_false(jobs_stop(jobs, 1));
    assert_int_equal(pthread_mutex_unlock(&page->held_lock), 0);
    page_free(page);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(studies_beside_a_long_look)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
