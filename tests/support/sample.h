/* What tests of the engine share: comparing numbers, bars from a few prices,
 * setups from a few words. Include it after cmocka.h and its companions. */
#ifndef RUSHLIGHT_TESTS_SAMPLE_H
#define RUSHLIGHT_TESTS_SAMPLE_H

#include "market/bars.h"
#include "setup/setup.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Days are numbered from Monday 2001-01-01. */
#define SAMPLE_FIRST_DAY 978307200

static inline void assert_near_named(double found, double expected, double tolerance,
                                     const char *what)
{
    bool near = fabs(found - expected) <= tolerance;
    if (!near)
        print_error("%s: found %.17g, expected %.17g within %g\n", what, found, expected,
                    tolerance);
    assert_true(near);
}

#define assert_near(found, expected, tolerance)                                                    \
    assert_near_named(found, expected, tolerance, #found)

/* Appends a daily bar on the day after the last one. */
static inline void add_bar(struct bars *bars, double open, double high, double low, double close)
{
    struct error error;
    int64_t time = bars->count > 0 ? bars->time[bars->count - 1] + 86400 : SAMPLE_FIRST_DAY;
    struct bar bar = {time, open, high, low, close, 1000};
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
}

/* Bars of the given closes that open at the close before and have no shadows. */
static inline void bars_of_closes(struct bars *bars, const double *closes, size_t count)
{
    bars_init(bars);
    for (size_t i = 0; i < count; i++) {
        double open = i > 0 ? closes[i - 1] : closes[i];
        add_bar(bars, open, fmax(open, closes[i]), fmin(open, closes[i]), closes[i]);
    }
}

/* The sixty bars of tests/data/fixture60.csv. */
static inline void bars_of_fixture(struct bars *bars)
{
    FILE *file = fopen(TEST_DATA "/fixture60.csv", "r");
    char line[200];
    double p[4];
    assert_non_null(file);
    bars_init(bars);
    assert_non_null(fgets(line, sizeof line, file));
    while (fgets(line, sizeof line, file) != NULL) {
        assert_int_equal(sscanf(line, "%*d,%lf,%lf,%lf,%lf", &p[0], &p[1], &p[2], &p[3]), 4);
        add_bar(bars, p[0], p[1], p[2], p[3]);
    }
    fclose(file);
    assert_int_equal(bars->count, 60);
}

/* Reads a setup that has to be right. */
static inline void setup_from(struct setup *setup, const char *text)
{
    struct error error;
    int code = setup_read(setup, "case", text, strlen(text), &error);
    if (code != ERROR_NONE)
        print_error("%s\n", error.text);
    assert_int_equal(code, ERROR_NONE);
}

#endif
