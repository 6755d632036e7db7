/* Chance: the published outputs of the generators, and the laws that the
 * numbers have to follow. */
#include "base/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

/* First outputs of the authors' reference code of xoshiro256++ 1.0 from the
 * state 1, 2, 3, 4 (Blackman & Vigna 2019); value from memory. */
static void xoshiro_gives_the_published_outputs(void **state)
{
    (void)state;
    static const uint64_t published[] = {
        41943041U,
        58720359U,
        3588806011781223U,
        3591011842654386U,
        9228616714210784205U,
        9973669472204895162U,
        14011001112246962877U,
        12406186145184390807U,
        15849039046786891736U,
        10450023813501588000U,
    };
    struct random_stream stream = {{1, 2, 3, 4}};
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++)
        assert_true(random_bits(&stream) == published[i]);
}

/* The reference code of splitmix64 (Vigna 2015), written again. */
static uint64_t splitmix(uint64_t *x)
{
    uint64_t z = (*x += UINT64_C(0x9e3779b97f4a7c15));
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

/* Seed 1234567 begins so (published with many implementations of splitmix64;
 * value from memory). That anchors the rewritten one, which in turn says what
 * a stream's start has to be. */
static void streams_start_by_splitmix(void **state)
{
    (void)state;
    uint64_t anchor = 1234567;
    assert_true(splitmix(&anchor) == UINT64_C(6457827717110365317));
    assert_true(splitmix(&anchor) == UINT64_C(3203168211198807973));
    uint64_t seed = 42;
    uint64_t mixed = splitmix(&seed) ^ 7;
    mixed = splitmix(&mixed);
    struct random_stream stream;
    random_start(&stream, 42, 7);
    for (int i = 0; i < 4; i++)
        assert_true(stream.state[i] == splitmix(&mixed));
}

static void streams_differ_by_seed_and_task(void **state)
{
    (void)state;
    struct random_stream a;
    struct random_stream b;
    for (uint64_t seed = 0; seed < 50; seed++) {
        for (uint64_t task = 0; task < 50; task++) {
            random_start(&a, seed, task);
            random_start(&b, task, seed);
            assert_true(seed == task || random_bits(&a) != random_bits(&b));
            random_start(&b, seed, task + 1);
            assert_true(random_bits(&a) != random_bits(&b));
        }
    }
}

/* Chi-square of the counts of random_below(cells). Critical values at 99.9%
 * from Abramowitz & Stegun, table 26.8 (value from memory). */
static void counts_are_even(void **state)
{
    (void)state;
    static const struct {
        unsigned cells;
        double critical; /* of cells - 1 degrees of freedom */
    } cases[] = {{2, 10.828}, {3, 13.816}, {6, 20.515}, {10, 27.877}, {31, 59.703}, {101, 149.449}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        enum { DRAWS = 1000000, MOST_CELLS = 101 };
        int counts[MOST_CELLS] = {0};
        struct random_stream stream;
        random_start(&stream, 5, i);
        for (int n = 0; n < DRAWS; n++)
            counts[random_below(&stream, cases[i].cells)]++;
        double expected = (double)DRAWS / cases[i].cells;
        double statistic = 0;
        for (unsigned cell = 0; cell < cases[i].cells; cell++)
            statistic += (counts[cell] - expected) * (counts[cell] - expected) / expected;
        if (statistic > cases[i].critical)
            fail_msg("%u cells: chi-square %g", cases[i].cells, statistic);
    }
}

/* Below 3 * 2^62, a remainder of 64 bits would fall into the lowest third half
 * of the time; without bias it is a third (standard error 0.00047). */
static void large_ranges_have_no_bias(void **state)
{
    (void)state;
    enum { DRAWS = 1000000 };
    int low = 0;
    struct random_stream stream;
    random_start(&stream, 6, 0);
    for (int n = 0; n < DRAWS; n++)
        low += random_below(&stream, UINT64_C(3) << 62) < UINT64_C(1) << 62;
    assert_true(fabs((double)low / DRAWS - 1.0 / 3) < 4 * 0.00047);
}

/* Moments of the uniform law on [0, 1) (mean 1/2, variance 1/12) and of the
 * standard normal (0, 1, skewness 0, kurtosis 3), within four standard errors
 * of a million draws; the tails by the normal's 2.275% beyond 2. */
static void moments_are_those_of_the_laws(void **state)
{
    (void)state;
    enum { DRAWS = 1000000 };
    struct random_stream stream;
    random_start(&stream, 7, 0);
    double sum = 0;
    double squares = 0;
    for (int n = 0; n < DRAWS; n++) {
        double unit = random_unit(&stream);
        assert_true(unit >= 0 && unit < 1);
        sum += unit - 0.5;
        squares += (unit - 0.5) * (unit - 0.5);
    }
    assert_true(fabs(sum / DRAWS) < 4 * sqrt(1.0 / 12 / DRAWS));
    assert_true(fabs(squares / DRAWS - 1.0 / 12) < 4 * sqrt(1.0 / 180 / DRAWS));
    double power[5] = {0};
    int beyond = 0;
    for (int n = 0; n < DRAWS; n++) {
        double z = random_normal(&stream);
        power[1] += z;
        power[2] += z * z;
        power[3] += z * z * z;
        power[4] += z * z * z * z;
        beyond += z > 2;
    }
    assert_true(fabs(power[1] / DRAWS) < 4 * sqrt(1.0 / DRAWS));
    assert_true(fabs(power[2] / DRAWS - 1) < 4 * sqrt(2.0 / DRAWS));
    assert_true(fabs(power[3] / DRAWS) < 4 * sqrt(15.0 / DRAWS));
    assert_true(fabs(power[4] / DRAWS - 3) < 4 * sqrt(96.0 / DRAWS));
    assert_true(fabs((double)beyond / DRAWS - 0.022750) < 4 * 0.000149);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(xoshiro_gives_the_published_outputs),
        cmocka_unit_test(streams_start_by_splitmix),
        cmocka_unit_test(streams_differ_by_seed_and_task),
        cmocka_unit_test(counts_are_even),
        cmocka_unit_test(large_ranges_have_no_bias),
        cmocka_unit_test(moments_are_those_of_the_laws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
