/* The dates of a study and the markets that might have been. */
#include "base/calendar.h"
#include "demo/market.h"
#include "evidence/resample.h"
#include "evidence/summary.h"
#include "measures/sheet.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

struct fixture {
    struct demo_market market;
    struct demo_series share;
    struct demo_series pair;
};

static int make(void **state)
{
    static struct fixture fixture;
    struct error error;
    *state = &fixture;
    int code = demo_market_init(&fixture.market, 5, &error);
    code |= demo_series_make(&fixture.market, demo_find("peewit-rail"), &fixture.share, &error);
    code |= demo_series_make(&fixture.market, demo_find("rdm-fnl"), &fixture.pair, &error);
    return code;
}

static int unmake(void **state)
{
    struct fixture *fixture = *state;
    demo_series_free(&fixture->share);
    demo_series_free(&fixture->pair);
    demo_market_free(&fixture->market);
    return 0;
}

static void test_grid(void **state)
{
    struct fixture *fixture = *state;
    const struct bars *series[] = {&fixture->share.daily, &fixture->pair.daily};
    struct date_grid grid;
    struct error error;
    assert_int_equal(date_grid_init(&grid, series, 2, &error), 0);
    assert_int_equal(grid.count, fixture->pair.daily.count);
    for (size_t i = 0; i < fixture->pair.daily.count; i++)
        assert_int_equal(date_grid_find(&grid, fixture->pair.daily.time[i] + 3600), i);
    assert_int_equal(date_grid_find(&grid, fixture->pair.daily.time[grid.count - 1] + 900000),
                     grid.count);
    date_grid_free(&grid);
    assert_int_equal(date_grid_init(&grid, series, 0, &error), 0);
    assert_int_equal(grid.count, 0);
    date_grid_free(&grid);
}

/* Drawing every date from itself gives the series back, to the tick. */
static void test_identity(void **state)
{
    struct fixture *fixture = *state;
    const struct bars *bars = &fixture->share.daily;
    struct date_grid grid;
    struct bars copy;
    struct error error;
    struct sheet *sheet = sheet_new(bars, NULL);
    date_grid_init(&grid, &bars, 1, &error);
    size_t *source = malloc(grid.count * sizeof *source);
    for (size_t d = 0; d < grid.count; d++)
        source[d] = d;
    assert_int_equal(resample_bars(&copy, bars, sheet_atr(sheet, 14),
                                   &fixture->share.instrument.tick, &grid, source, &error),
                     0);
    assert_memory_equal(copy.close, bars->close, bars->count * sizeof(double));
    assert_memory_equal(copy.high, bars->high, bars->count * sizeof(double));
    bars_free(&copy);
    date_grid_free(&grid);
    sheet_free(sheet);
    free(source);
}

/* Bars stay bars, also with several a day; the shapes of candles come as often
 * as they did (docs/method.md: their share is invariant under joint draws);
 * what follows a bar forgets it. */
static void rebuild(const struct bars *bars, const struct tick *tick)
{
    struct date_grid grid;
    struct bars copy;
    struct error error;
    char reason[BAR_REASON_SIZE];
    struct sheet *sheet = sheet_new(bars, NULL);
    date_grid_init(&grid, &bars, 1, &error);
    size_t *source = malloc(grid.count * sizeof *source);
    double share[2] = {0, 0};
    resample_dates(source, &grid, 1, 9, 4);
    assert_int_equal(resample_bars(&copy, bars, sheet_atr(sheet, 14), tick, &grid, source, &error),
                     0);
    assert_int_equal(copy.count, bars->count);
    for (size_t i = 0; i < copy.count; i++) {
        struct bar bar = bars_at(&copy, i);
        assert_null(bar_fault(&bar, reason));
        double upper = bars->high[i] - fmax(bars->open[i], bars->close[i]);
        double upper_copy = copy.high[i] - fmax(copy.open[i], copy.close[i]);
        share[0] += upper > 0.5 * (bars->high[i] - bars->low[i]);
        share[1] += upper_copy > 0.5 * (copy.high[i] - copy.low[i]);
    }
    double n = (double)copy.count;
    assert_true(fabs(share[0] - share[1]) / n < 5 * sqrt(2 * share[0] / n / n));
    bars_free(&copy);
    date_grid_free(&grid);
    sheet_free(sheet);
    free(source);
}

static void test_rebuilt(void **state)
{
    struct fixture *fixture = *state;
    rebuild(&fixture->share.daily, &fixture->share.instrument.tick);
    rebuild(&fixture->pair.daily, NULL);
    rebuild(&fixture->pair.hourly, NULL);
}

/* An instrument that traded for a part of the dates only: the dates it lacks
 * are not all made from one bar. */
static void test_part_of_the_dates(void **state)
{
    struct fixture *fixture = *state;
    const struct bars *whole = &fixture->pair.daily;
    const struct bars *series[] = {whole};
    struct bars part;
    struct bars copy;
    struct date_grid grid;
    struct error error;
    date_grid_init(&grid, series, 1, &error);
    assert_int_equal(bars_slice(&part, whole, 0, 1000, &error), 0);
    struct sheet *sheet = sheet_new(&part, NULL);
    size_t *source = malloc(grid.count * sizeof *source);
    for (size_t d = 0; d < grid.count; d++)
        source[d] = grid.count - 1 - d;
    assert_int_equal(resample_bars(&copy, &part, sheet_atr(sheet, 14), NULL, &grid, source, &error),
                     0);
    double *share = malloc(1000 * sizeof *share);
    size_t different = 0;
    for (size_t i = 100; i < 1000; i++)
        share[i - 100] = (copy.close[i] - copy.low[i]) / (copy.high[i] - copy.low[i]);
    sort_numbers(share, 900);
    for (size_t i = 1; i < 900; i++)
        different += share[i] - share[i - 1] > 1e-9;
    /* 900 draws from 986 bars hit about 986 (1 - exp(-900/986)) = 590 of them. */
    assert_true(different > 450);
    free(share);
    free(source);
    sheet_free(sheet);
    bars_free(&part);
    bars_free(&copy);
    date_grid_free(&grid);
}

/* Bars older than the grid only warm up: they stay as they were, and lend
 * nothing. That they lend nothing shows where they alone are wide. */
static void test_older_bars_stay(void **state)
{
    enum { OLDER = 300 };
    struct fixture *fixture = *state;
    struct bars bars;
    struct bars copy;
    struct error error;
    struct date_grid grid;
    assert_int_equal(bars_slice(&bars, &fixture->pair.daily, 0, 1000, &error), 0);
    for (size_t i = 0; i < OLDER; i++)
        bars.high[i] += 1000;
    struct bars judged = bars;
    judged.time += OLDER;
    judged.count -= OLDER;
    const struct bars *series[] = {&judged};
    date_grid_init(&grid, series, 1, &error);
    struct sheet *sheet = sheet_new(&fixture->pair.daily, NULL);
    size_t *source = malloc(grid.count * sizeof *source);
    resample_dates(source, &grid, 1, 9, 4);
    assert_int_equal(resample_bars(&copy, &bars, sheet_atr(sheet, 14), NULL, &grid, source, &error),
                     0);
    assert_memory_equal(copy.high, bars.high, OLDER * sizeof(double));
    assert_memory_equal(copy.close, bars.close, OLDER * sizeof(double));
    size_t moved = 0;
    for (size_t i = OLDER; i < copy.count; i++) {
        moved += copy.close[i] != bars.close[i];
        assert_true(copy.high[i] - copy.low[i] < 500);
    }
    assert_true(moved > 600);
    free(source);
    sheet_free(sheet);
    bars_free(&bars);
    bars_free(&copy);
    date_grid_free(&grid);
}

/* Every date is drawn about as often: chi-square over 20 markets has mean
 * date_count - 1 and standard deviation sqrt(2 (date_count - 1)). */
static void test_draws_are_even(void **state)
{
    struct fixture *fixture = *state;
    const struct bars *bars = &fixture->pair.daily;
    struct date_grid grid;
    struct error error;
    date_grid_init(&grid, &bars, 1, &error);
    size_t *source = malloc(grid.count * sizeof *source);
    double *seen = calloc(grid.count, sizeof *seen);
    for (size_t market = 0; market < 20; market++) {
        resample_dates(source, &grid, 1, 2, market);
        for (size_t d = 0; d < grid.count; d++)
            seen[source[d]]++;
    }
    double square = 0;
    for (size_t d = 0; d < grid.count; d++)
        square += (seen[d] - 20) * (seen[d] - 20) / 20;
    double freedom = (double)grid.count - 1;
    assert_true(fabs(square - freedom) < 4 * sqrt(2 * freedom));
    free(seen);
    free(source);
    date_grid_free(&grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_grid),
        cmocka_unit_test(test_identity),
        cmocka_unit_test(test_rebuilt),
        cmocka_unit_test(test_part_of_the_dates),
        cmocka_unit_test(test_older_bars_stay),
        cmocka_unit_test(test_draws_are_even),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
