/* A sheet that walks holds bit for bit what a sheet of all bars holds: every
 * measure with random lengths, plain and mirrored, over blocks of many lengths.
 * The plain sheet, which knows nothing of windows, is the reference. */
#include "measures/sheet.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "random_market.h"

enum { LONGEST = 25 };

static void draw_values(const struct measure *row, struct random_stream *stream, double *values)
{
    parameter_defaults(row->parameters, values);
    for (size_t i = 0; i < parameter_count(row->parameters); i++)
        if (row->parameters[i].kind == PARAMETER_WHOLE)
            values[i] = row->parameters[i].least + (double)random_below(stream, LONGEST);
}

/* The new values of every measure against those of the whole sheet; returns how
 * many were compared. */
static size_t compare_window(struct sheet *walking, struct sheet *whole, size_t stay,
                             double values[MEASURE_COUNT][PARAMETER_LIMIT])
{
    size_t fresh = sheet_count(walking) - stay;
    for (size_t m = 0; m < MEASURE_COUNT; m++) {
        const double *found = sheet_measure(walking, &measures[m], values[m]);
        const double *expected = sheet_measure(whole, &measures[m], values[m]);
        assert_non_null(found);
        assert_non_null(expected);
        if (memcmp(found + stay, expected + sheet_offset(walking) + stay, fresh * sizeof *found) !=
            0)
            fail_msg("%s at bar %zu", measures[m].name, sheet_offset(walking) + stay);
    }
    return fresh * MEASURE_COUNT;
}

static size_t walk(struct sheet *walking, struct sheet *whole, size_t block,
                   double values[MEASURE_COUNT][PARAMETER_LIMIT])
{
    const struct bars *bars = sheet_bars(whole);
    enum { BACK = 3 * (LONGEST + 1) + 1 };
    struct bars window;
    size_t compared = 0;
    struct error error;
    for (size_t first = 0; first < bars->count; first += block) {
        size_t stay = first < BACK ? first : BACK;
        size_t last = bars->count - first < block ? bars->count : first + block;
        window = bars_window(bars, first - stay, last);
        assert_int_equal(sheet_move(walking, &window, stay, &error), ERROR_NONE);
        assert_int_equal(sheet_offset(walking), first - stay);
        compared += compare_window(walking, whole, stay, values);
        compared += compare_window(sheet_mirror(walking), sheet_mirror(whole), stay, values);
        assert_false(sheet_asked_late(walking));
        assert_false(sheet_failed(walking));
    }
    return compared;
}

static void test_walking(void **state)
{
    static const size_t blocks[] = {1, 2, 7, 30, 100, 4096};
    struct random_stream stream;
    size_t compared = 0;
    (void)state;
    random_start(&stream, 20261128, 0);
    for (int trial = 0; trial < 40; trial++) {
        struct random_market market;
        double values[MEASURE_COUNT][PARAMETER_LIMIT];
        assert_true(random_market_init(&market, &stream, 600));
        for (size_t m = 0; m < MEASURE_COUNT; m++)
            draw_values(&measures[m], &stream, values[m]);
        struct sheet *whole = sheet_new(&market.bars, NULL);
        assert_non_null(whole);
        for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
            struct sheet *walking = sheet_walking(NULL);
            assert_non_null(walking);
            compared += walk(walking, whole, blocks[b], values);
            sheet_begin_again(walking);
            compared += walk(walking, whole, blocks[b], values);
            sheet_free(walking);
        }
        sheet_free(whole);
        random_market_free(&market);
    }
    assert_true(compared > 1000000);
}

/* A column asked for behind the first window is said to be late, and is there
 * when the walk is begun again. */
static void test_asked_late(void **state)
{
    struct random_stream stream;
    struct random_market market;
    struct error error;
    (void)state;
    random_start(&stream, 7, 0);
    assert_true(random_market_init(&market, &stream, 300));
    struct sheet *walking = sheet_walking(NULL);
    struct sheet *whole = sheet_new(&market.bars, NULL);
    struct bars first = bars_window(&market.bars, 0, 40);
    struct bars second = bars_window(&market.bars, 10, 60);
    assert_int_equal(sheet_move(walking, &first, 0, &error), ERROR_NONE);
    assert_non_null(sheet_rsi(walking, 14));
    assert_int_equal(sheet_move(walking, &second, 30, &error), ERROR_NONE);
    assert_non_null(sheet_rsi(walking, 14));
    assert_false(sheet_asked_late(walking));
    assert_null(sheet_column(walking, MEASURE_MACD_SIGNAL, 3, 6, 4));
    assert_true(sheet_asked_late(walking));
    assert_false(sheet_failed(walking));
    sheet_begin_again(walking);
    assert_false(sheet_asked_late(walking));
    assert_int_equal(sheet_move(walking, &first, 0, &error), ERROR_NONE);
    assert_int_equal(sheet_move(walking, &second, 30, &error), ERROR_NONE);
    const double *signal = sheet_column(walking, MEASURE_MACD_SIGNAL, 3, 6, 4);
    assert_non_null(signal);
    assert_memory_equal(signal + 30, sheet_column(whole, MEASURE_MACD_SIGNAL, 3, 6, 4) + 40,
                        20 * sizeof *signal);
    sheet_free(walking);
    sheet_free(whole);
    random_market_free(&market);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_walking),
        cmocka_unit_test(test_asked_late),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
