/* Where a study begins changes no trade that it counts: measures, swings and
 * busy setups start at the first bar there is (docs/method.md 6.12). The two
 * studies are held to each other, for all shipped setups; no value is expected
 * from outside. */
#include "evidence/study_run.h"

#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "demo_sample.h"

enum { INSTRUMENTS = 3, BEGINS = 4 };

/* Trades so far. */
static size_t compared;

static struct setup read_shipped(const char *file)
{
    char path[4096];
    struct setup setup;
    struct error error = {0};
    snprintf(path, sizeof path, "%s/%s", SHIPPED_SETUPS, file);
    if (setup_read_file(&setup, path, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return setup;
}

static struct study study_from(const struct setup *setup, size_t begin)
{
    static const struct study_options options = {.resamples = 50, .seed = 1, .threads = 2};
    static const struct own_mark mark = {.price = 50};
    static const struct surroundings around = {.marks = &mark, .mark_count = 1};
    struct study_series series[INSTRUMENTS];
    struct study study;
    struct error error = {0};
    for (size_t i = 0; i < INSTRUMENTS; i++)
        series[i] = (struct study_series){.instrument = &all[i].instrument,
                                          .bars = setup->interval.unit == INTERVAL_HOUR
                                                      ? &all[i].hourly
                                                      : &all[i].daily,
                                          .around = &around,
                                          .first = begin,
                                          .terms = {.tick = all[i].instrument.tick,
                                                    .point_value = all[i].instrument.point_value}};
    if (study_run(&study, setup, series, INSTRUMENTS, &options, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return study;
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_trade(const struct study_trade *a, const struct study_trade *b)
{
    return a->instrument == b->instrument && a->signal == b->signal && a->entry == b->entry &&
           a->exit == b->exit && a->exit_time == b->exit_time && same(a->r, b->r) &&
           same(a->r_before_costs, b->r_before_costs) && same(a->mae_r, b->mae_r) &&
           same(a->mfe_r, b->mfe_r) && same(a->reach_r, b->reach_r) &&
           same(a->stop_excess_r, b->stop_excess_r) && same(a->volatility, b->volatility) &&
           same(a->trend, b->trend) && a->bars == b->bars && a->reason == b->reason &&
           a->same_bar == b->same_bar;
}

static bool counted_by(const struct study *study, const struct study_trade *trade)
{
    for (size_t i = 0; i < study->filled; i++)
        if (same_trade(&study->trades[i], trade))
            return true;
    return false;
}

static void hold(const struct setup *setup, const struct study *whole, size_t begin)
{
    struct study part = study_from(setup, begin);
    for (size_t i = 0; i < part.filled; i++)
        if (!counted_by(whole, &part.trades[i]))
            fail_msg("%s from bar %zu counts a trade of bar %zu that the whole does not",
                     setup->name, begin, part.trades[i].signal);
    /* A candle from `begin` on gives its signal at most `confirm_wait` later. */
    for (size_t i = 0; i < whole->filled; i++)
        if (whole->trades[i].signal >= begin + setup->confirm_wait &&
            !counted_by(&part, &whole->trades[i]))
            fail_msg("%s from bar %zu misses the trade of bar %zu", setup->name, begin,
                     whole->trades[i].signal);
    compared += part.filled;
    study_free(&part);
}

static void test_the_beginning_changes_no_trade(void **state)
{
    DIR *folder = opendir(SHIPPED_SETUPS);
    size_t setups = 0;
    (void)state;
    assert_non_null(folder);
    for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        if (strstr(entry->d_name, ".yaml") == NULL)
            continue;
        struct setup setup = read_shipped(entry->d_name);
        struct study whole = study_from(&setup, 0);
        hold(&setup, &whole, 37);
        /* In the midst of trades, which keep the setup busy. */
        for (size_t b = 0; b < BEGINS && whole.filled > 0; b++)
            hold(&setup, &whole, whole.trades[b * whole.filled / BEGINS].signal + 1);
        study_free(&whole);
        setup_free(&setup);
        setups++;
    }
    closedir(folder);
    print_message("%zu trades of %zu setups compared\n", compared, setups);
    assert_true(setups > 10 && compared > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_the_beginning_changes_no_trade)};
    return cmocka_run_group_tests(tests, make_all, free_all);
}
