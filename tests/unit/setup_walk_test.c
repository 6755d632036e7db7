/* Signals found along a series, a block at a time, are those found in all of its
 * bars at once, with the same checklists, bit for bit: random setups over random
 * markets. The reference is signals_find, which knows nothing of windows.
 *
 *   setup_walk_test [CASES [SEED]] */
#include "random_market.h"
#include "random_setup.h"
#include "setup/checklist.h"
#include "setup/walking.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sample.h"

static unsigned cases = 1500;
static unsigned long long seed = 20261128;

enum { LONGEST = 600, CASE_TEXT = 160 };

static struct {
    size_t walked; /* setups */
    size_t held;
    size_t signals;
    size_t checks;
    size_t untold;
    size_t again; /* walks that had to be begun again */
} compared;

/* Bars in memory as if they were read. */
struct held_bars {
    const struct bars *bars;
    size_t at;
};

static int read_held(void *context, size_t most, struct bars *bars, bool *more, struct error *error)
{
    struct held_bars *held = context;
    size_t left = held->bars->count - held->at;
    size_t count = left < most ? left : most;
    int code = bars_append_range(bars, held->bars, held->at, held->at + count, error);
    held->at += count;
    bars->interval = held->bars->interval;
    *more = held->at < held->bars->count;
    bars->last_is_partial = !*more && held->bars->last_is_partial;
    return code;
}

static int read_again(void *context, struct error *error)
{
    struct held_bars *held = context;
    (void)error;
    held->at = 0;
    compared.again++;
    return ERROR_NONE;
}

static bool same_number(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

static bool same_check(const struct check *a, const struct check *b)
{
    return a->section == b->section && a->negated == b->negated && a->holds == b->holds &&
           a->untold == b->untold && a->rule == b->rule && a->reading.name == b->reading.name &&
           a->reading.met == b->reading.met && a->reading.dated_back == b->reading.dated_back &&
           same_number(a->reading.value, b->reading.value) &&
           same_number(a->reading.limit, b->reading.limit);
}

static bool same_checklist(const struct checklist *a, const struct checklist *b)
{
    bool same = a->count == b->count && a->confirmed == b->confirmed && a->met == b->met &&
                same_number(a->atr, b->atr);
    for (size_t i = 0; same && i < a->count; i++)
        same = same_check(&a->list[i], &b->list[i]);
    compared.checks += a->count;
    return same;
}

static bool same_signal(const struct signal *window, size_t offset, const struct signal *whole)
{
    return window->at + offset == whole->at && window->state == whole->state &&
           window->dated_back == whole->dated_back &&
           window->candle.at + offset == whole->candle.at &&
           window->candle.first + offset == whole->candle.first &&
           window->candle.choice == whole->candle.choice &&
           same_number(window->candle.high, whole->candle.high) &&
           same_number(window->candle.low, whole->candle.low);
}

/* The signals of a window from `*next` on of the whole. */
static void compare_window(const struct signals_walk *walk, const struct setup_view *whole,
                           const struct signals *expected, size_t *next, const char *what)
{
    size_t offset = sheet_offset(walk->view.plain);
    for (size_t i = 0; i < walk->signals.count; i++, ++*next) {
        const struct signal *signal = &walk->signals.list[i];
        struct checklist a;
        struct checklist b;
        if (*next == expected->count || !same_signal(signal, offset, &expected->list[*next]))
            fail_msg("%s: signal %zu, of bar %zu", what, *next, signal->at + offset);
        checklist_read(&walk->view, &signal->candle, signal->at, &a);
        checklist_read(whole, &expected->list[*next].candle, expected->list[*next].at, &b);
        if (!same_checklist(&a, &b))
            fail_msg("%s: checklist of bar %zu", what, signal->at + offset);
        assert_true(walk->bars->time[signal->at] ==
                    sheet_bars(whole->plain)->time[expected->list[*next].at]);
    }
    assert_false(sheet_asked_late(walk->view.plain));
    compared.signals += walk->signals.count;
}

static void walk_along(const struct setup *setup, const struct random_market *market,
                       const struct setup_view *whole, const struct signals *expected, size_t block,
                       int64_t from, const char *what)
{
    struct held_bars held = {&market->bars, 0};
    const struct bars_source source = {&held, read_held, read_again};
    struct sheet *sheet = sheet_walking(NULL);
    struct signals_walk walk;
    struct error error = {0};
    size_t next = 0;
    size_t candidates = 0;
    size_t untold = 0;
    assert_non_null(sheet);
    assert_int_equal(signals_walk_begin(&walk, setup, sheet, &market->around, &source, block, from,
                                        &error),
                     ERROR_NONE);
    while (walk.more) {
        assert_int_equal(signals_walk_next(&walk, &error), ERROR_NONE);
        compare_window(&walk, whole, expected, &next, what);
        candidates += walk.signals.candidates;
        untold += walk.signals.untold;
    }
    if (next != expected->count || candidates != expected->candidates || untold != expected->untold)
        fail_msg("%s: %zu of %zu signals, %zu of %zu candles, %zu of %zu that cannot be told", what,
                 next, expected->count, candidates, expected->candidates, untold, expected->untold);
    compared.untold += untold;
    signals_walk_end(&walk);
    sheet_free(sheet);
}

static void compare_blocks(const struct setup *setup, const struct random_market *market,
                           struct random_stream *stream, unsigned number)
{
    const size_t blocks[] = {1, 7, 4096, (size_t)random_between(stream, 2, 300)};
    const struct bars *bars = &market->bars;
    size_t first = random_percent(stream, 50) ? (size_t)random_below(stream, (uint32_t)bars->count)
                                              : 0;
    struct error error = {0};
    struct signals expected;
    struct setup_view whole;
    struct sheet *sheet = sheet_new(bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&whole, setup, sheet, &market->around, &error), ERROR_NONE);
    assert_int_equal(signals_find(&whole, first, bars->count, true, &expected, &error), ERROR_NONE);
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        char what[CASE_TEXT];
        snprintf(what, sizeof what, "case %u of seed %llu, block %zu", number, seed, blocks[i]);
        walk_along(setup, market, &whole, &expected, blocks[i],
                   first > 0 ? bars->time[first] : INT64_MIN, what);
    }
    signals_free(&expected);
    sheet_free(sheet);
}

static void run_case(unsigned number)
{
    struct random_stream stream;
    struct random_market market;
    struct setup setup;
    struct error error = {0};
    struct text text;
    random_start(&stream, seed, number);
    assert_true(random_market_init(&market, &stream, LONGEST));
    market.bars.last_is_partial = random_percent(&stream, 30);
    text_init(&text);
    random_setup(&text, &stream, market.bars.interval, number);
    assert_int_equal(setup_read(&setup, "random.yaml", text.bytes, text.length, &error),
                     ERROR_NONE);
    if (setup_walks(&setup)) {
        compared.walked++;
        compare_blocks(&setup, &market, &stream, number);
    } else {
        compared.held++;
    }
    setup_free(&setup);
    text_free(&text);
    random_market_free(&market);
}

static void test_walks(void **state)
{
    (void)state;
    for (unsigned number = 0; number < cases; number++)
        run_case(number);
    print_message("%zu setups walked, %zu held; %zu signals, %zu checks, %zu that cannot be told; "
                  "begun again %zu times\n",
                  compared.walked, compared.held, compared.signals, compared.checks,
                  compared.untold, compared.again);
    assert_true(compared.walked > cases / 10 && compared.held > cases / 10);
    assert_true(compared.signals > cases && compared.again > 0);
}

/* A later candle may be confirmed before an earlier one: its own bar is read with
 * the one before it, which is part of it. */
static void test_order(void **state)
{
    static const char
        text[] = "setup: order\nside: long\ncandle: {shape: inside-bar}\nplace: []\n"
                 "confirm: {wait: 5, of: [{lowest_low: {bars: 2}}]}\n"
                 "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n";
    struct random_stream stream;
    struct setup setup;
    (void)state;
    setup_from(&setup, text);
    assert_true(setup_walks(&setup));
    random_start(&stream, seed, 1U << 30);
    for (unsigned number = 0; number < 200; number++) {
        struct random_market market;
        assert_true(random_market_init(&market, &stream, LONGEST));
        compare_blocks(&setup, &market, &stream, number);
        random_market_free(&market);
    }
    setup_free(&setup);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_walks), cmocka_unit_test(test_order)};
    if (argc > 1)
        cases = (unsigned)atoi(argv[1]);
    if (argc > 2)
        seed = strtoull(argv[2], NULL, 10);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
