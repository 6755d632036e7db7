/* Two studies at once wait for nothing of one another: while one is held in the
 * midst of its work, under its own lock, the other is run from end to end. */
#define _POSIX_C_SOURCE 200809L /* sem_timedwait */
#include "evidence/study_run.h"

#include <pthread.h>
#include <semaphore.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "demo_sample.h"

enum { INSTRUMENTS = 3, WAIT_SECONDS = 20 };

static struct setup setup;

struct holding {
    sem_t held; /* the first study is held */
    sem_t done; /* the second has been run */
    bool once;
    bool waited; /* until the second was done */
    struct study study;
    int code;
};

static struct timespec in_a_while(void)
{
    struct timespec time;
    clock_gettime(CLOCK_REALTIME, &time);
    time.tv_sec += WAIT_SECONDS;
    return time;
}

static int run(struct study *study, void (*progress)(void *context, double done), void *context)
{
    const struct study_options options = {.resamples = 50,
                                          .seed = 1,
                                          .threads = 2,
                                          .progress = progress,
                                          .context = context};
    static const struct surroundings around = {0};
    struct study_series series[INSTRUMENTS];
    struct error error = {0};
    for (size_t i = 0; i < INSTRUMENTS; i++)
        series[i] = (struct study_series){.instrument = &all[i].instrument,
                                          .bars = &all[i].daily,
                                          .around = &around,
                                          .terms = {.tick = all[i].instrument.tick,
                                                    .point_value = all[i].instrument.point_value}};
    return study_run(study, &setup, series, INSTRUMENTS, &options, &error);
}

static void hold(void *context, double done)
{
    struct holding *holding = context;
    const struct timespec until = in_a_while();
    (void)done;
    if (holding->once)
        return;
    holding->once = true;
    sem_post(&holding->held);
    holding->waited = sem_timedwait(&holding->done, &until) == 0;
}

static void *run_held(void *context)
{
    struct holding *holding = context;
    holding->code = run(&holding->study, hold, holding);
    return NULL;
}

static void test_one_does_not_wait_for_the_other(void **state)
{
    struct holding holding = {.code = -1};
    struct study other;
    pthread_t thread;
    struct error error = {0};
    (void)state;
    if (setup_read_file(&setup, SHIPPED_SETUPS "/hammer-at-support.yaml", &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    sem_init(&holding.held, 0, 0);
    sem_init(&holding.done, 0, 0);
    assert_int_equal(pthread_create(&thread, NULL, run_held, &holding), 0);
    sem_wait(&holding.held);
    int code = run(&other, NULL, NULL);
    sem_post(&holding.done);
    pthread_join(thread, NULL);
    assert_int_equal(code, ERROR_NONE);
    assert_int_equal(holding.code, ERROR_NONE);
    assert_true(holding.waited);
    assert_int_equal(other.filled, holding.study.filled);
    study_free(&other);
    study_free(&holding.study);
    setup_free(&setup);
    sem_destroy(&holding.held);
    sem_destroy(&holding.done);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_one_does_not_wait_for_the_other)};
    return cmocka_run_group_tests(tests, make_all, free_all);
}
