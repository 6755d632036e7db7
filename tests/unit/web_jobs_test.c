/* Long work in order: one job at a time, first what somebody looks at, stopped at
 * any moment, each told of as it is. By a job that waits until it is let go, so
 * that the order is the test's own. */
#define _POSIX_C_SOURCE 200809L /* nanosleep */
#include "web/jobs.h"

#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

enum { MOST = 64 };

static atomic_int held;        /* jobs do not end while it is not 0 */
static atomic_int begun;       /* how many */
static atomic_int order[MOST]; /* their wishes, in order of beginning */
static atomic_int let_go;

static void rest(void)
{
    nanosleep(&(struct timespec){0, 1000000}, NULL);
}

static int run(void *owner, struct job_run *job, struct error *error)
{
    const int *wish = job->wish;
    (void)owner;
    order[atomic_fetch_add(&begun, 1) % MOST] = *wish;
    job->progress(job->context, 0.5);
    while (atomic_load(&held) != 0) {
        if (atomic_load(job->stop))
            return error_set(error, ERROR_STOPPED, "stopped");
        rest();
    }
    job->answer = 100 + *wish;
    return *wish == 13 ? error_set(error, ERROR_INPUT, "thirteen") : ERROR_NONE;
}

static void drop(void *wish)
{
    atomic_fetch_add(&let_go, 1);
    free(wish);
}

static struct jobs *make(void)
{
    struct jobs *jobs;
    struct error error;
    begun = 0;
    let_go = 0;
    assert_int_equal(jobs_new(&jobs, &(struct jobs_does){run, drop, NULL}, &error), ERROR_NONE);
    return jobs;
}

static int64_t add(struct jobs *jobs, int number)
{
    int *wish = malloc(sizeof *wish);
    int64_t id = 0;
    struct error error;
    assert_non_null(wish);
    *wish = number;
    return jobs_add(jobs, wish, "a study", &id, &error) == ERROR_NONE ? id : -1;
}

static struct job_seen wait_for(struct jobs *jobs, int64_t id, enum job_state state)
{
    struct job_seen seen;
    for (int i = 0; i < 20000; i++) {
        assert_true(jobs_look(jobs, id, false, &seen));
        if (seen.state == state)
            return seen;
        rest();
    }
    fail_msg("job %d is %s", (int)id, job_state_name(seen.state));
    return seen;
}

static void one_at_a_time_in_order(void **state)
{
    (void)state;
    struct jobs *jobs = make();
    held = 1;
    int64_t first = add(jobs, 1);
    struct job_seen seen = wait_for(jobs, first, JOB_RUNNING);
    int64_t second = add(jobs, 2);
    int64_t third = add(jobs, 13);
    assert_true(jobs_look(jobs, third, false, &seen));
    assert_int_equal(seen.state, JOB_WAITING);
    assert_int_equal(seen.before, 2);
    assert_int_equal(begun, 1);
    held = 0;
    assert_int_equal(wait_for(jobs, second, JOB_DONE).answer, 102);
    assert_int_equal(wait_for(jobs, first, JOB_DONE).answer, 101);
    assert_string_equal(wait_for(jobs, third, JOB_FAILED).error.text, "thirteen");
    assert_int_equal(order[0], 1);
    assert_int_equal(order[1], 2);
    assert_int_equal(order[2], 13);
    jobs_free(jobs);
    assert_int_equal(let_go, 3);
}

/* Every job counts as looked at when it is asked for; after JOB_LOOKED_SECONDS
 * only those do that somebody asks about. */
static void what_is_looked_at_goes_first(void **state)
{
    (void)state;
    struct jobs *jobs = make();
    struct job_seen seen;
    held = 1;
    wait_for(jobs, add(jobs, 1), JOB_RUNNING);
    add(jobs, 2);
    int64_t last = add(jobs, 3);
    nanosleep(&(struct timespec){JOB_LOOKED_SECONDS, 200000000}, NULL);
    assert_true(jobs_look(jobs, last, true, &seen));
    assert_true(jobs_look(jobs, last, false, &seen));
    assert_int_equal(seen.before, 1);
    held = 0;
    wait_for(jobs, last, JOB_DONE);
    assert_int_equal(order[1], 3);
    jobs_free(jobs);
}

static void stopped_while_it_runs_and_while_it_waits(void **state)
{
    (void)state;
    struct jobs *jobs = make();
    held = 1;
    int64_t first = add(jobs, 1);
    int64_t second = add(jobs, 2);
    wait_for(jobs, first, JOB_RUNNING);
    assert_true(jobs_stop(jobs, second));
    wait_for(jobs, second, JOB_STOPPED);
    assert_true(jobs_stop(jobs, first));
    wait_for(jobs, first, JOB_STOPPED);
    assert_false(jobs_stop(jobs, first));
    assert_false(jobs_stop(jobs, 99));
    assert_int_equal(begun, 1);
    held = 0;
    wait_for(jobs, add(jobs, 3), JOB_DONE);
    jobs_free(jobs);
    assert_int_equal(let_go, 3);
}

static void no_more_than_are_allowed(void **state)
{
    (void)state;
    struct jobs *jobs = make();
    struct job_seen all[JOBS_WAITING + JOBS_KEPT];
    held = 1;
    for (int i = 0; i < JOBS_WAITING; i++)
        assert_true(add(jobs, i) > 0);
    assert_int_equal(add(jobs, 77), -1);
    assert_int_equal(let_go, 1);
    for (int round = 0; round < 5; round++) {
        for (int64_t id = 1; id <= (round + 1) * JOBS_WAITING; id++)
            jobs_stop(jobs, id);
        size_t count = jobs_all(jobs, all, JOBS_WAITING + JOBS_KEPT);
        for (size_t i = 0; i < count; i++)
            wait_for(jobs, all[i].id, JOB_STOPPED);
        for (int i = 0; i < JOBS_WAITING; i++)
            assert_true(add(jobs, i) > 0);
    }
    assert_int_equal(jobs_all(jobs, all, JOBS_WAITING + JOBS_KEPT), JOBS_WAITING + JOBS_KEPT);
    assert_true(all[0].state == JOB_RUNNING || all[0].state == JOB_WAITING);
    assert_int_equal(all[JOBS_WAITING].state, JOB_STOPPED);
    /* What is left is stopped and dropped with the queue. */
    jobs_free(jobs);
    assert_int_equal(let_go, 6 * JOBS_WAITING + 1);
    held = 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_at_a_time_in_order),
        cmocka_unit_test(what_is_looked_at_goes_first),
        cmocka_unit_test(stopped_while_it_runs_and_while_it_waits),
        cmocka_unit_test(no_more_than_are_allowed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
