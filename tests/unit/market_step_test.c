/* The smallest step of prices, found a block at a time, against the plain way
 * of looking at one price after the other; and steps known beforehand. */
#include "base/random.h"
#include "market/price_step.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "sample.h"

enum { MOST = 10 };

/* One price after the other: places, then the greatest common divisor. */
static double plain_step(const struct bars *bars)
{
    const double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    int places = 0;
    for (int c = 0; c < 4; c++)
        for (size_t i = 0; i < bars->count; i++)
            for (; places <= MOST; places++) {
                double scaled = columns[c][i] * pow(10, places);
                if (fabs(scaled - round(scaled)) <= 1e-9 * fmax(1, fabs(columns[c][i])))
                    break;
            }
    if (places > MOST)
        return 1e-10;
    int64_t step = 0;
    for (int c = 0; c < 4; c++)
        for (size_t i = 0; i < bars->count; i++) {
            double apart = (columns[c][i] - bars->open[0]) * pow(10, places);
            if (fabs(apart) > 9e15)
                return 1 / pow(10, places);
            int64_t a = llround(fabs(apart));
            while (a != 0) {
                int64_t rest = step % a;
                step = a;
                a = rest;
            }
        }
    return (double)(step > 0 ? step : 1) / pow(10, places);
}

static void draw_bars(struct bars *bars, struct random_stream *stream, double unit, size_t count)
{
    bars_init(bars);
    for (size_t i = 0; i < count; i++) {
        double p[4];
        for (int j = 0; j < 4; j++)
            p[j] = ((double)random_below(stream, 4000) - 1000) * unit;
        add_bar(bars, p[0], p[1], p[2], p[3]);
    }
}

static void test_against_plain(void **state)
{
    static const double units[] = {1,     5,     0.25, 0.1,       0.01, 0.03125, 0.0005,
                                   1e-10, 1e-12, 1e9,  1.0 / 3.0, 7.5,  123.456, 1e17};
    struct random_stream stream;
    size_t steps_seen = 0;
    (void)state;
    random_start(&stream, 5, 0);
    for (int trial = 0; trial < 2000; trial++) {
        struct bars bars;
        size_t unit = random_below(&stream, sizeof units / sizeof *units);
        draw_bars(&bars, &stream, units[unit], 1 + random_below(&stream, 700));
        /* One price that has more places than all before. */
        if (random_below(&stream, 3) == 0)
            bars.low[random_below(&stream, bars.count)] += random_below(&stream, 2) ? 0.001 : 0.5;
        double found = bars_smallest_step(&bars);
        double expected = plain_step(&bars);
        assert_memory_equal(&found, &expected, sizeof found);
        steps_seen += found == units[unit];
        bars_free(&bars);
    }
    assert_true(steps_seen > 500);
}

/* Prices that walk on a grid of whole ticks, as their decimals read. */
static void walk_bars(struct bars *bars, struct random_stream *stream, double start,
                      const struct tick *tick, size_t count)
{
    double at = round(start / tick->value);
    bars_init(bars);
    for (size_t i = 0; i < count; i++) {
        double open = at;
        at += (double)random_below(stream, 41) - 20;
        add_bar(bars, tick_multiple(tick, open), tick_multiple(tick, fmax(open, at) + 3),
                tick_multiple(tick, fmin(open, at) - 4), tick_multiple(tick, at));
    }
}

/* A few bars get digits of their own, all the dust of arithmetic. */
static size_t spoil(struct bars *bars, struct random_stream *stream, size_t strays, double by)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    for (int c = 0; c < 4; c++)
        for (size_t i = 0; i < bars->count; i++)
            for (size_t n = random_below(stream, 3); n > 0; n--)
                columns[c][i] = nextafter(columns[c][i], INFINITY);
    for (size_t n = 0; n < strays; n++)
        bars->high[n * bars->count / strays] += by;
    return strays;
}

/* The grid that was drawn is found again; nothing outside is needed to know it. */
static void strays_and_dust_make_no_step_finer(void **state)
{
    static const struct {
        double tick, start, by;
    } cases[] = {{0.25, 4200, 0.01},      {0.01, 55, 0.00371},   {0.00001, 1.58665, 0.0000037},
                 {1.0 / 32, 110, 0.0001}, {0.5, 15000, 1.0 / 3}, {5, 31000, 0.123456789123},
                 {1e-8, 0.0000234, 3e-10}};
    struct random_stream stream;
    (void)state;
    random_start(&stream, 6, 0);
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        for (size_t strays = 0; strays <= 11; strays += 11) {
            struct tick tick;
            struct bars bars;
            struct likely_step likely;
            assert_true(tick_from_number(&tick, cases[c].tick));
            walk_bars(&bars, &stream, cases[c].start, &tick, 700);
            spoil(&bars, &stream, strays, cases[c].by);
            if (!bars_likely_step(&bars, &likely) || likely.tick.value != cases[c].tick)
                fail_msg("case %zu with %zu strays: %g", c, strays, likely.tick.value);
            assert_int_equal(likely.beside, strays);
            bars_free(&bars);
        }
    }
}

static void single_precision_is_seen_through(void **state)
{
    static const double ticks[] = {0.00001, 0.01, 0.25};
    static const double starts[] = {1.58665, 48.5, 4200};
    struct random_stream stream;
    (void)state;
    random_start(&stream, 7, 0);
    for (int c = 0; c < 3; c++) {
        struct tick tick;
        struct bars bars;
        struct likely_step likely = {0};
        assert_true(tick_from_number(&tick, ticks[c]));
        walk_bars(&bars, &stream, starts[c], &tick, 500);
        double *columns[] = {bars.open, bars.high, bars.low, bars.close};
        for (int k = 0; k < 4; k++)
            for (size_t i = 0; i < bars.count; i++)
                columns[k][i] = (double)(float)columns[k][i];
        if (!bars_likely_step(&bars, &likely) || likely.tick.value != ticks[c])
            fail_msg("%g was taken for %g", ticks[c], likely.tick.value);
        bars_free(&bars);
    }
}

static void prices_without_a_step_show_none(void **state)
{
    struct random_stream stream;
    struct bars bars;
    struct likely_step likely;
    (void)state;
    random_start(&stream, 8, 0);
    bars_init(&bars);
    assert_false(bars_likely_step(&bars, &likely));
    for (size_t i = 0; i < 600; i++) {
        double open = 90 + 20 * random_unit(&stream);
        add_bar(&bars, open, open + random_unit(&stream), open - random_unit(&stream), open);
    }
    assert_false(bars_likely_step(&bars, &likely));
    bars_free(&bars);
}

/* Most bars stand still; the few that move say what the step is. */
static void bars_that_stand_still_say_nothing(void **state)
{
    struct bars bars;
    struct likely_step likely;
    (void)state;
    bars_init(&bars);
    for (size_t i = 0; i < 1000; i++) {
        double price = i % 200 == 100 ? 5.01 : 5;
        add_bar(&bars, price, price, price, price);
    }
    assert_true(bars_likely_step(&bars, &likely));
    assert_true(likely.tick.value == 0.01 && likely.beside == 0);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_plain),
        cmocka_unit_test(strays_and_dust_make_no_step_finer),
        cmocka_unit_test(single_precision_is_seen_through),
        cmocka_unit_test(prices_without_a_step_show_none),
        cmocka_unit_test(bars_that_stand_still_say_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
