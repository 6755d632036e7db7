/* A band round whole paths, against a count of the paths themselves. */
#include "base/random.h"
#include "evidence/envelope.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

enum { PATHS = 2000, STEPS = 30 };

static double values[STEPS * PATHS];
static double low[STEPS];
static double high[STEPS];

static void walk(uint64_t seed, bool coin)
{
    struct random_stream stream;
    random_start(&stream, seed, 0);
    for (size_t p = 0; p < PATHS; p++) {
        double sum = 0;
        for (size_t i = 0; i < STEPS; i++) {
            sum += coin ? (random_below(&stream, 2) ? 1 : -1) : random_normal(&stream);
            values[i * PATHS + p] = sum;
        }
    }
}

static size_t count_inside(size_t steps)
{
    size_t inside = 0;
    for (size_t p = 0; p < PATHS; p++) {
        size_t i = 0;
        while (i < steps && values[i * PATHS + p] >= low[i] && values[i * PATHS + p] <= high[i])
            i++;
        inside += i == steps;
    }
    return inside;
}

/* One step of values 1 to 2,000 in any order: the middle 95% of them. */
static void test_one_step(void **state)
{
    (void)state;
    struct error error;
    for (size_t p = 0; p < PATHS; p++)
        values[p] = (double)(1 + p * 7 % PATHS);
    assert_int_equal(path_envelope(low, high, values, PATHS, 1, 0.95, &error), ERROR_NONE);
    assert_true(low[0] == 51 && high[0] == 1950);
    assert_int_equal(count_inside(1), 1900);
}

/* As many whole paths as were asked for stay inside, and only a few more: each
 * rank more or less moves at most 2 x 30 of them. Standing still at the first
 * step alone would keep more. */
static void test_whole_paths(void **state)
{
    (void)state;
    struct error error;
    const double shares[] = {0.5, 0.9, 0.95, 1};
    for (size_t s = 0; s < 4; s++) {
        walk(20261125 + s, false);
        assert_int_equal(path_envelope(low, high, values, PATHS, STEPS, shares[s], &error),
                         ERROR_NONE);
        size_t inside = count_inside(STEPS);
        assert_true((double)inside >= shares[s] * PATHS);
        assert_true((double)inside <= shares[s] * PATHS + 2 * STEPS);
        if (shares[s] < 1)
            assert_true(count_inside(1) > inside);
    }
}

/* Paths with many ties, and paths that are all one, stay inside at least as
 * often as asked. A coin's first steps are all ties: they may not widen the
 * band to all that there was. */
static void test_ties(void **state)
{
    (void)state;
    struct error error;
    walk(5, true);
    assert_int_equal(path_envelope(low, high, values, PATHS, STEPS, 0.95, &error), ERROR_NONE);
    assert_true(count_inside(STEPS) >= 1900);
    assert_true(count_inside(STEPS) < 1980);
    for (size_t i = 0; i < STEPS * PATHS; i++)
        values[i] = 2.5;
    assert_int_equal(path_envelope(low, high, values, PATHS, STEPS, 0.95, &error), ERROR_NONE);
    assert_true(low[3] == 2.5 && high[3] == 2.5 && count_inside(STEPS) == PATHS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_step),
        cmocka_unit_test(test_whole_paths),
        cmocka_unit_test(test_ties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
