/* All faults of a setup file at once, in the order of its lines; and what a book has
 * kept, which is read as it was. Expected answers by definition (docs/setup-file.md). */
#include "setup/faults.h"
#include "setup/setup.h"

#include "base/text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static const char bad[] = "setup: Bad Name\n"
                          "side: up\n"
                          "colour: red\n"
                          "candle: {shape: hammer, limits: {body_max: 7, longest: 1}}\n"
                          "place:\n"
                          "  - rsi_below: {length: 0, level: 300, width: 2}\n"
                          "  - down_trend: {bars: 10}\n"
                          "  - compare: {value: cloze, above: 10, by_ticks: x, interval: 1mo}\n"
                          "confirm: {at_least: 5, of: [{lowest_low: {bars: -1}}]}\n"
                          "entry: {on: next_open, buffer_ticks: 2, valid: 0, at: close}\n"
                          "stop: {at: atr, times: -1, buffer_atr: 0.5}\n"
                          "exit: {targets: [{r: -1}, {r: 2, share: 3}], time_limit: 0}\n"
                          "overlap: two\n";

static const size_t lines[] = {1, 2,  3,  4,  4,  6,  6,  6,  7,  8,  8,  9,
                               9, 10, 10, 10, 11, 11, 12, 12, 12, 12, 12, 13};

static void finds_all_in_their_order(void **state)
{
    struct setup setup;
    struct setup_faults faults = {0};
    struct error error;
    (void)state;
    assert_int_equal(setup_check(&setup, "bad.yaml", bad, sizeof bad - 1, &faults, &error),
                     ERROR_INPUT);
    assert_int_equal(faults.count, sizeof lines / sizeof lines[0]);
    for (size_t i = 0; i < faults.count; i++)
        assert_int_equal(faults.list[i].line, lines[i]);
    assert_string_equal(error.text, faults.list[0].error.text);
    assert_int_equal(faults.beyond, 0);
    setup_faults_free(&faults);
}

static void hands_out_no_more_than_it_says(void **state)
{
    struct setup setup;
    struct setup_faults faults = {0};
    struct error error;
    struct text text;
    (void)state;
    text_init(&text);
    text_append(&text, "setup: many\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"
                       "stop: {at: candle_low}\nexit: {time_stop: 5}\n");
    for (int i = 0; i < SETUP_FAULTS; i++)
        text_append_format(&text, "key%d: 1\n", i);
    assert_int_equal(setup_check(&setup, "m", text.bytes, text.length, &faults, &error),
                     ERROR_INPUT);
    assert_int_equal(faults.count, SETUP_FAULTS);
    assert_int_equal(faults.beyond, 0);
    setup_faults_free(&faults);
    text_append(&text, "one_more: 1\n");
    assert_int_equal(setup_check(&setup, "m", text.bytes, text.length, &faults, &error),
                     ERROR_INPUT);
    assert_int_equal(faults.count, SETUP_FAULTS);
    assert_int_equal(faults.beyond, 1);
    setup_faults_free(&faults);
    for (int i = 0; i < 2 * SETUP_FAULTS_FOUND; i++)
        text_append_format(&text, "more%d: 1\n", i);
    assert_int_equal(setup_check(&setup, "m", text.bytes, text.length, &faults, &error),
                     ERROR_INPUT);
    assert_int_equal(faults.count, SETUP_FAULTS);
    assert_int_equal(faults.beyond, 2 * SETUP_FAULTS_FOUND + 1);
    setup_faults_free(&faults);
    text_free(&text);
}

/* A buffer that never had an effect, and months in their former word. */
static void reads_what_a_book_has_kept(void **state)
{
    static const char *const orders[] = {
        "interval: 1mo\nentry: {on: break_of_high}\nstop: {at: candle_low}\n",
        "entry: {on: next_open, buffer_ticks: 2}\nstop: {at: candle_low}\n",
        "entry: {on: retest, buffer_atr: 0.5}\nstop: {at: candle_low}\n",
        "entry: {on: break_of_high}\nstop: {at: atr, times: 2, buffer_ticks: 1}\n",
    };
    static const char *const mended[] = {
        "interval: 1month\nentry: {on: break_of_high}\nstop: {at: candle_low}\n",
        "entry: {on: next_open}\nstop: {at: candle_low}\n",
        "entry: {on: retest}\nstop: {at: candle_low}\n",
        "entry: {on: break_of_high}\nstop: {at: atr, times: 2}\n",
    };
    (void)state;
    for (size_t i = 0; i < sizeof orders / sizeof orders[0]; i++) {
        static const char rest[] = "setup: kept\nside: long\ncandle: {shape: any}\n"
                                   "exit: {time_stop: 5}\n";
        struct setup setup;
        struct error error;
        struct text text, kept, now;
        text_init(&text);
        text_init(&kept);
        text_init(&now);
        text_append_format(&text, "%s%s", rest, orders[i]);
        assert_int_equal(setup_read(&setup, "s", text.bytes, text.length, &error), ERROR_INPUT);
        assert_int_equal(setup_read_kept(&setup, "s", text.bytes, &error), ERROR_NONE);
        setup_write(&setup, &kept);
        setup_free(&setup);
        text_clear(&text);
        text_append_format(&text, "%s%s", rest, mended[i]);
        assert_int_equal(setup_read(&setup, "s", text.bytes, text.length, &error), ERROR_NONE);
        setup_write(&setup, &now);
        setup_free(&setup);
        assert_string_equal(kept.bytes, now.bytes);
        text_free(&text);
        text_free(&kept);
        text_free(&now);
    }
}

/* In lower_of a buffer counts for stops of ATR too. */
static void a_buffer_that_counts_is_read(void **state)
{
    static const char
        text[] = "setup: counts\nside: long\ncandle: {shape: any}\nexit: {time_stop: 5}\n"
                 "entry: {on: close_above_high, buffer_ticks: 2}\n"
                 "stop: {at: lower_of, of: [{at: atr, times: 2}], buffer_ticks: 1}\n";
    struct setup setup;
    struct error error;
    (void)state;
    assert_int_equal(setup_read(&setup, "s", text, sizeof text - 1, &error), ERROR_NONE);
    assert_true(setup.entry.buffer.ticks == 2 && setup.stop.buffer.ticks == 1);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(finds_all_in_their_order),
        cmocka_unit_test(hands_out_no_more_than_it_says),
        cmocka_unit_test(reads_what_a_book_has_kept),
        cmocka_unit_test(a_buffer_that_counts_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
