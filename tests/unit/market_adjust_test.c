/* Splits, dividends and rolls, worked out by hand. */
#include "market/adjust.h"
#include "market/longer.h"
#include "market/readjust.h"
#include "market/scale.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

enum { DAY = 86400 };

/* Days 0 to 5, closes as given; open at the close, high and low one beside. */
static struct bars days(const double closes[6])
{
    struct bars bars;
    struct error error;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_DAY, 1};
    for (int i = 0; i < 6; i++) {
        double c = closes[i];
        struct bar bar = {i * DAY, c, c + 1, c - 1, c, 100};
        assert_int_equal(bars_append(&bars, &bar, &error), ERROR_NONE);
    }
    return bars;
}

static void adjust(struct bars *bars, const struct action *actions, size_t count,
                   enum adjustment adjustment, int64_t view)
{
    struct error error;
    assert_int_equal(bars_adjust(bars, actions, count, adjustment, view, &error), ERROR_NONE);
}

static void closes_are(struct bars *bars, const double expected[6])
{
    for (int i = 0; i < 6; i++) {
        assert_true(fabs(bars->close[i] - expected[i]) < 1e-12);
        assert_true(bars->low[i] <= bars->close[i] && bars->close[i] <= bars->high[i]);
    }
    bars_free(bars);
}

/* Two for one on day 3: what cost 100 is 50 a unit, and twice as many. */
static void a_split(void **state)
{
    (void)state;
    const struct action split = {3 * DAY, ACTION_SPLIT, 2};
    struct bars bars = days((const double[]){98, 100, 104, 52, 53, 54});
    adjust(&bars, &split, 1, ADJUST_SPLITS, 5 * DAY);
    assert_true(bars.volume[2] == 200 && bars.volume[3] == 100);
    closes_are(&bars, (const double[]){49, 50, 52, 52, 53, 54});
    /* On day 2 nobody knew. */
    bars = days((const double[]){98, 100, 104, 52, 53, 54});
    adjust(&bars, &split, 1, ADJUST_SPLITS, 2 * DAY);
    closes_are(&bars, (const double[]){98, 100, 104, 52, 53, 54});
    bars = days((const double[]){98, 100, 104, 52, 53, 54});
    adjust(&bars, &split, 1, ADJUST_NONE, 5 * DAY);
    closes_are(&bars, (const double[]){98, 100, 104, 52, 53, 54});
}

/* 5 on a close of 100 takes 5 per cent off all before; with splits alone it
 * stays. A split later on halves what the dividend left. */
static void a_dividend_then_a_split(void **state)
{
    (void)state;
    const struct action actions[] = {{2 * DAY, ACTION_DIVIDEND, 5}, {4 * DAY, ACTION_SPLIT, 2}};
    struct bars bars = days((const double[]){80, 100, 95, 96, 48, 49});
    adjust(&bars, actions, 2, ADJUST_ALL, 5 * DAY);
    closes_are(&bars, (const double[]){38, 47.5, 47.5, 48, 48, 49});
    bars = days((const double[]){80, 100, 95, 96, 48, 49});
    adjust(&bars, actions, 2, ADJUST_SPLITS, 5 * DAY);
    closes_are(&bars, (const double[]){40, 50, 47.5, 48, 48, 49});
}

/* The new contract trades 30 below: what was 20 becomes -10. */
static void a_roll_below_zero(void **state)
{
    (void)state;
    const struct action roll = {3 * DAY, ACTION_ROLL, -30};
    struct bars bars = days((const double[]){20, 21, 25, -6, -4, -5});
    adjust(&bars, &roll, 1, ADJUST_SPLITS, 5 * DAY);
    closes_are(&bars, (const double[]){-10, -9, -5, -6, -4, -5});
    /* A dividend where no share of the price can be taken. */
    const struct action dividend = {3 * DAY, ACTION_DIVIDEND, 2};
    bars = days((const double[]){-20, -21, -25, -6, -4, -5});
    adjust(&bars, &dividend, 1, ADJUST_ALL, 5 * DAY);
    closes_are(&bars, (const double[]){-22, -23, -27, -6, -4, -5});
}

/* Slices, mirrors and longer bars know what was traded, and bars of two weeks
 * are of one scale where the action comes with the second. */
static void what_was_traded_stays_known(void **state)
{
    (void)state;
    static const double traded[] = {98, 100, 104, 22, 23, 24};
    const struct action actions[] = {{3 * DAY, ACTION_SPLIT, 2}, {3 * DAY, ACTION_ROLL, -30}};
    struct bars bars = days(traded);
    struct bars part;
    struct bars mirror;
    struct longer longer;
    struct session session = {.start = 0};
    struct error error;
    adjust(&bars, actions, 2, ADJUST_ALL, 5 * DAY);
    assert_true(bars.close[2] == 22 && bars.close[3] == 22);
    assert_int_equal(bars_slice(&part, &bars, 1, 6, &error), ERROR_NONE);
    assert_int_equal(bars_mirror(&mirror, &bars, &error), ERROR_NONE);
    for (size_t i = 0; i < 6; i++) {
        assert_true(bars_traded(&bars, i, bars.close[i]) == traded[i]);
        assert_true(bars_viewed(&bars, i, traded[i]) == bars.close[i]);
        assert_true(bars_traded(&mirror, i, mirror.close[i]) == -traded[i]);
        assert_true(i == 0 || bars_traded(&part, i - 1, part.close[i - 1]) == traded[i]);
    }
    /* A step of 1 was half of one before, and 21.3 was between 102 and 103. */
    const struct tick tick = {1, 1, 0};
    assert_true(bars_viewed_length(&bars, 2, 1) == 0.5 && bars_viewed_length(&bars, 3, 1) == 1);
    assert_true(bars_round_up(&bars, 2, &tick, 21.3) == 21.5);
    assert_true(bars_round_down(&bars, 2, &tick, 21.3) == 21);
    assert_true(bars_round_down(&bars, 3, &tick, 21.3) == 21);
    assert_int_equal(wall_clock_open(&session.clock, "", &error), ERROR_NONE);
    assert_int_equal(longer_make(&longer, &bars, (struct interval){INTERVAL_DAY, 3}, &session,
                                 &error),
                     ERROR_NONE);
    assert_int_equal(longer.bars.scale_count, 2);
    assert_true(bars_traded(&longer.bars, 0, longer.bars.open[0]) == 98);
    session_close(&session);
    longer_free(&longer);
    bars_free(&bars);
    bars_free(&part);
    bars_free(&mirror);
}

/* 137.1 and 0.1 are no doubles. A third of the one and a sum of the other are
 * those that a file would hold, so that equal prices stay equal. */
static void decimals_stay_decimals(void **state)
{
    (void)state;
    const struct price_scale third = {0, 0, 1, 3};
    const struct price_scale roll = {0, 0.2, 1, 1};
    assert_true(137.1 / 3 != 45.7 && scale_to_view(&third, 137.1) == 45.7);
    assert_true(0.1 + 0.2 != 0.3 && scale_to_view(&roll, 0.1) == 0.3);
    assert_true(scale_to_view(&third, 100) == 100.0 / 3);
    assert_true(scale_to_view(NULL, 137.1) == 137.1);
}

static bool connected(const struct bars *stored, const struct bars *other,
                      struct readjustment *found)
{
    struct readjust_search search;
    readjust_begin(&search);
    for (size_t i = 0; i < stored->count; i++) {
        struct bar a = bars_at(stored, i);
        struct bar b = bars_at(other, i);
        readjust_note(&search, &a, &b);
    }
    return readjust_found(&search, found);
}

/* All prices of the bars, to so many decimals. */
static void change(struct bars *bars, double factor, double shift, double places)
{
    double *columns[] = {bars->open, bars->high, bars->low, bars->close};
    for (int c = 0; c < 4; c++)
        for (size_t i = 0; i < bars->count; i++)
            columns[c][i] = round((columns[c][i] * factor + shift) * places) / places;
}

static void an_adjusted_file_is_recognised(void **state)
{
    (void)state;
    static const double closes[] = {90.5, 93, 96, 99, 102, 105};
    static const struct {
        double factor;
        double shift;
        double places;
        bool exact; /* the stored price is the only one of its decimals within the grain */
    } cases[] = {{1.0 / 3, 0, 100, true}, {2, 0, 10, true},    {2.0 / 3, 0, 1e4, true},
                 {0.95, 0, 100, true},    {1, -150, 10, true}, {1, 0.25, 1e4, true},
                 {1.0 / 30, 0, 10, false}};
    for (size_t n = 0; n < sizeof cases / sizeof cases[0]; n++) {
        struct readjustment found;
        struct bars stored = days(closes);
        struct bars other = days(closes);
        change(&other, cases[n].factor, cases[n].shift, cases[n].places);
        assert_true(connected(&stored, &other, &found));
        assert_int_equal(found.ratio, cases[n].shift == 0);
        found.before = 6 * DAY;
        if (cases[n].exact)
            assert_true(found.value == (found.ratio ? cases[n].factor : cases[n].shift));
        bars_undo_readjustment(&other, &found);
        for (int i = 0; i < 6; i++) {
            assert_true(fabs(other.high[i] - stored.high[i]) <= found.grain);
            assert_true(!cases[n].exact || other.low[i] == stored.low[i]);
        }
        /* One price off by more than rounding: no adjustment explains it. */
        change(&other, cases[n].factor, cases[n].shift, cases[n].places);
        other.close[4] += 5;
        assert_false(connected(&stored, &other, &found));
        bars_free(&stored);
        bars_free(&other);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_split),
        cmocka_unit_test(a_dividend_then_a_split),
        cmocka_unit_test(a_roll_below_zero),
        cmocka_unit_test(what_was_traded_stays_known),
        cmocka_unit_test(decimals_stay_decimals),
        cmocka_unit_test(an_adjusted_file_is_recognised),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
