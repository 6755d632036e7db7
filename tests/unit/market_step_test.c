/* The smallest step of prices, found a block at a time, against the plain way
 * of looking at one price after the other; and steps known beforehand. */
#include "base/random.h"
#include "market/bars.h"

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

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_against_plain)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
