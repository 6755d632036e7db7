/* The demo market: what docs/demo-market.md promises of it. The facts that
 * price series have fat tails, clustered volatility and common moves: Cont
 * 2001, Quantitative Finance 1, 223-236 (from memory). */
#include "base/calendar.h"
#include "demo/days.h"
#include "demo/files.h"
#include "demo/plant.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "demo_sample.h"

static void bars_obey(const struct bars *bars)
{
    char reason[BAR_REASON_SIZE];
    for (size_t i = 0; i < bars->count; i++) {
        struct bar bar = bars_at(bars, i);
        assert_null(bar_fault(&bar, reason));
        assert_true(bar.low > 0);
        assert_true(i == 0 || bars->time[i] > bars->time[i - 1]);
    }
}

static void test_roster(void **state)
{
    (void)state;
    size_t kinds[MARKET_CRYPTOCURRENCY + 1] = {0};
    size_t planted = 0;
    size_t hourly = 0;
    assert_int_equal(demo_roster_count, 40);
    for (size_t i = 0; i < demo_roster_count; i++) {
        kinds[demo_roster[i].kind]++;
        planted += demo_roster[i].planted;
        hourly += demo_roster[i].hourly;
        assert_int_equal(demo_find(demo_roster[i].name), i);
        assert_true(all[i].instrument.tick_known);
        assert_string_equal(all[i].instrument.name, demo_roster[i].name);
    }
    assert_int_equal(hourly, 6);
    assert_int_equal(planted, 16);
    assert_int_equal(kinds[MARKET_SHARE] + kinds[MARKET_COMMODITY] + kinds[MARKET_CURRENCY] +
                         kinds[MARKET_FUTURE],
                     40);
}

static void test_bars_are_bars(void **state)
{
    (void)state;
    for (size_t i = 0; i < demo_roster_count; i++) {
        bool ended = strcmp(demo_roster[i].name, "gorsewick-candles") == 0 ||
                     strcmp(demo_roster[i].name, "saltpan-trust") == 0;
        bars_obey(&all[i].daily);
        bars_obey(&all[i].hourly);
        assert_true(ended ? all[i].daily.count < 2800 : all[i].daily.count > 3700);
        assert_int_equal(all[i].hourly.count > 0, demo_roster[i].hourly);
        for (size_t b = 0; b < all[i].daily.count; b++)
            assert_true(demo_day_open(day_of_time(all[i].daily.time[b]),
                                      demo_roster[i].kind == MARKET_CURRENCY));
    }
}

/* The hours of a day make up the day: highest high, lowest low, last close. */
static void test_hours_make_days(void **state)
{
    (void)state;
    const struct demo_series *series = &all[demo_find("lamp-tallow")];
    size_t d = bars_find(&series->daily, series->hourly.time[0] - SECONDS_PER_DAY);
    for (size_t h = 0; h < series->hourly.count; d++) {
        double high = -INFINITY;
        double low = INFINITY;
        if (day_of_time(series->daily.time[d]) != day_of_time(series->hourly.time[h]))
            continue;
        for (; h < series->hourly.count &&
               day_of_time(series->hourly.time[h]) == day_of_time(series->daily.time[d]);
             h++) {
            high = fmax(high, series->hourly.high[h]);
            low = fmin(low, series->hourly.low[h]);
        }
        assert_true(high == series->daily.high[d] && low == series->daily.low[d]);
        assert_true(series->hourly.close[h - 1] == series->daily.close[d]);
    }
}

static double log_move(const struct bars *bars, size_t i)
{
    return log(bars->close[i] / bars->close[i - 1]);
}

static double correlation(const double *x, const double *y, size_t count)
{
    double mx = 0, my = 0, xx = 0, yy = 0, xy = 0;
    for (size_t i = 0; i < count; i++) {
        mx += x[i] / (double)count;
        my += y[i] / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        xx += (x[i] - mx) * (x[i] - mx);
        yy += (y[i] - my) * (y[i] - my);
        xy += (x[i] - mx) * (y[i] - my);
    }
    return xy / sqrt(xx * yy);
}

static void test_tails_clusters_and_common_moves(void **state)
{
    (void)state;
    const struct bars *a = &all[demo_find("peewit-rail")].daily;
    const struct bars *b = &all[demo_find("alderstaithe-docks")].daily;
    size_t n = a->count - 1;
    double *x = malloc(n * sizeof *x);
    double *y = malloc(n * sizeof *y);
    double *size = malloc(n * sizeof *size);
    assert_int_equal(a->count, b->count);
    double second = 0;
    double fourth = 0;
    for (size_t i = 0; i < n; i++) {
        x[i] = log_move(a, i + 1);
        y[i] = log_move(b, i + 1);
        size[i] = fabs(x[i]);
        second += x[i] * x[i] / (double)n;
        fourth += pow(x[i], 4) / (double)n;
    }
    assert_true(fourth / (second * second) > 4.5);
    assert_true(correlation(size, size + 1, n - 1) > 0.1);
    assert_true(fabs(correlation(x, x + 1, n - 1)) < 0.07);
    double common = correlation(x, y, n);
    assert_true(common > 0.4 && common < 0.7);
    free(x);
    free(y);
    free(size);
}

static void test_events(void **state)
{
    (void)state;
    const struct demo_series *split = &all[demo_find("harnser-telegraph")];
    bool found = false;
    for (size_t e = 0; e < split->event_count; e++) {
        if (split->events[e].kind != DEMO_SPLIT)
            continue;
        size_t i = bars_find(&split->daily, split->events[e].day * SECONDS_PER_DAY);
        double ratio = split->daily.close[i - 1] / split->daily.open[i];
        assert_true(ratio > 2.7 && ratio < 3.3);
        found = true;
    }
    assert_true(found);
    size_t rolls = 0;
    const struct demo_series *future = &all[demo_find("sedgemouth-20-future")];
    for (size_t e = 0; e < future->event_count; e++)
        rolls += future->events[e].kind == DEMO_ROLL;
    assert_int_equal(rolls, 60);
    const struct demo_series *gone = &all[demo_find("saltpan-trust")];
    assert_int_equal(gone->events[gone->event_count - 1].kind, DEMO_END);
}

static size_t count_lines(const struct text *text)
{
    size_t lines = 0;
    for (size_t i = 0; i < text->length; i++)
        lines += text->bytes[i] == '\n';
    return lines;
}

static void test_files(void **state)
{
    (void)state;
    size_t bad = 0;
    for (size_t i = 0; i < demo_roster_count; i++) {
        struct text text;
        text_init(&text);
        demo_daily_csv(&text, &all[i]);
        assert_false(text_failed(&text));
        assert_int_equal(count_lines(&text), 1 + all[i].daily.count + demo_bad_lines(&all[i]));
        bad += demo_bad_lines(&all[i]);
        text_clear(&text);
        demo_hourly_csv(&text, &all[i]);
        assert_int_equal(count_lines(&text), 1 + all[i].hourly.count);
        text_free(&text);
    }
    assert_int_equal(bad, 11);
}

static void test_same_seed_same_bars(void **state)
{
    (void)state;
    struct demo_series again;
    struct error error;
    size_t index = demo_find("rdm-tnc");
    assert_int_equal(demo_series_make(&market, index, &again, &error), ERROR_NONE);
    assert_int_equal(again.daily.count, all[index].daily.count);
    assert_memory_equal(again.daily.close, all[index].daily.close,
                        again.daily.count * sizeof(double));
    demo_series_free(&again);
}

/* Mean move over the days of the effect, in ATR, after the situation. */
static size_t add_moves(const struct bars *bars, double *sum, double *squares)
{
    struct bars prefix = *bars;
    double atr = NAN;
    size_t found = 0;
    for (prefix.count = 1; prefix.count + PLANT_DAYS < bars->count; prefix.count++) {
        bool here = plant_situation(&prefix, atr);
        atr = plant_atr_next(&prefix, atr);
        size_t t = prefix.count - 1;
        if (!here)
            continue;
        double move = (bars->close[t + PLANT_DAYS] - bars->close[t]) / atr;
        *sum += move;
        *squares += move * move;
        found++;
    }
    return found;
}

static void test_the_effect_is_where_it_was_planted(void **state)
{
    (void)state;
    for (int planted = 0; planted < 2; planted++) {
        double sum = 0;
        double squares = 0;
        size_t n = 0;
        for (size_t i = 0; i < demo_roster_count; i++)
            if (demo_roster[i].planted == planted)
                n += add_moves(&all[i].daily, &sum, &squares);
        double mean = sum / (double)n;
        double deviation = sqrt(squares / (double)n - mean * mean);
        double z = mean / (deviation / sqrt((double)n));
        print_message("planted %d: %zu situations, mean move %.2f ATR, z %.1f\n", planted, n, mean,
                      z);
        assert_true(n > 80);
        assert_true(planted ? z > 4 && mean > 1 : fabs(z) < 3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_roster),
        cmocka_unit_test(test_bars_are_bars),
        cmocka_unit_test(test_hours_make_days),
        cmocka_unit_test(test_tails_clusters_and_common_moves),
        cmocka_unit_test(test_events),
        cmocka_unit_test(test_files),
        cmocka_unit_test(test_same_seed_same_bars),
        cmocka_unit_test(test_the_effect_is_where_it_was_planted),
    };
    return cmocka_run_group_tests(tests, make_all, free_all);
}
