/* Candidates of a setup with several shapes: those of each shape alone, together,
 * in whatever order the list names them. The reference is the setup written with
 * one shape at a time. */
#include "random_market.h"
#include "setup/signals.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

#include "sample.h"

enum { MARKETS = 200, LONGEST = 260, SHAPES = 3 };

/* Shapes of one, two and three bars that can end on the same bar. */
static const char *const named[][SHAPES] = {
    {"hammer", "bullish-engulfing", "three-inside-up"},
    {"any", "tweezer-bottom", "morning-star"},
    {"bullish-marubozu", "outside-bar", "three-outside-up"},
};

static const char *const places[] = {"lowest_low: {bars: 5}",
                                     "at_support: {bars: 60, swing: 1, width_atr: 0.5, touches: 1}",
                                     "lower_swings: {swing: 1, count: 2}"};

static const double loose = 0.9; /* limits of a hammer that many bars meet */

/* Marks the bars that are candidates with these shapes in this order. */
static size_t mark_candidates(const struct bars *bars, const char *const *names,
                              const size_t *order, size_t count, const char *place, bool *marked)
{
    char list[300] = "";
    char text[800];
    struct setup setup;
    struct setup_view view;
    struct error error;
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
        size_t used = strlen(list);
        bool hammer = strcmp(names[order[i]], "hammer") == 0;
        snprintf(list + used, sizeof list - used, "%s{shape: %s", i > 0 ? ", " : "",
                 names[order[i]]);
        used = strlen(list);
        if (hammer)
            snprintf(list + used, sizeof list - used,
                     ", limits: {lower_min_bodies: 0, upper_max: %g, body_max: %g}", loose, loose);
        used = strlen(list);
        snprintf(list + used, sizeof list - used, "}");
    }
    snprintf(text, sizeof text,
             "setup: several\nside: long\ncandle: {any_of: [%s]}\nplace: [{%s}]\n"
             "entry: {on: next_open}\nstop: {at: candle_low}\nexit: {time_stop: 1}\n",
             list, place);
    setup_from(&setup, text);
    struct sheet *sheet = sheet_new(bars, NULL);
    assert_non_null(sheet);
    assert_int_equal(setup_view_init(&view, &setup, sheet, NULL, &error), ERROR_NONE);
    for (size_t at = 0; at < bars->count; at++) {
        struct candle candle;
        bool is = candidate_at(&view, at, &candle);
        assert_true(!is || place_holds(&view, &candle));
        assert_int_equal(is, candle_at(&view, at, &candle) && place_holds(&view, &candle));
        marked[at] = marked[at] || is;
        found += is;
    }
    sheet_free(sheet);
    setup_free(&setup);
    return found;
}

static size_t count_marked(const bool *marked, size_t count)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++)
        found += marked[i];
    return found;
}

/* Every order of three against the three alone; the number of candidates. */
static size_t compare_orders(const struct bars *bars, const char *const *names, const char *place)
{
    static const size_t orders[6][SHAPES] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2},
                                             {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    bool alone[LONGEST] = {false};
    for (size_t i = 0; i < SHAPES; i++)
        mark_candidates(bars, names, &i, 1, place, alone);
    size_t expected = count_marked(alone, bars->count);
    for (size_t order = 0; order < 6; order++) {
        bool together[LONGEST] = {false};
        size_t found = mark_candidates(bars, names, orders[order], SHAPES, place, together);
        assert_int_equal(found, expected);
        assert_memory_equal(together, alone, sizeof alone);
    }
    return expected;
}

static void test_any_order_finds_the_same(void **state)
{
    size_t candidates = 0;
    (void)state;
    for (uint64_t number = 0; number < MARKETS; number++) {
        struct random_stream stream;
        struct random_market market;
        random_start(&stream, 20010521, number);
        assert_true(random_market_init(&market, &stream, LONGEST));
        for (size_t i = 0; i < 3; i++)
            candidates += compare_orders(&market.bars, named[i], places[number % 3]);
        random_market_free(&market);
    }
    assert_true(candidates > 10 * MARKETS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_any_order_finds_the_same)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
