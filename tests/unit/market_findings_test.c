/* Findings about bars: each kind just where it begins and just before. Robust z
 * against scipy 1.10.1: median_abs_deviation(x, scale=1/1.4826), and numpy
 * 1.24.2 for the mean deviation that stands for it. The limits themselves are
 * ours (findings.h); times of the sessions are worked out by hand from a
 * calendar of 2001. */
#include "market/findings.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "sample.h"

enum { DAY = 86400, HALF_HOUR = 1800 };

static void check_z(const double *x, const double *expected, size_t count)
{
    double z[10];
    double scratch[10];
    robust_z(x, count, z, scratch);
    for (size_t i = 0; i < count; i++)
        assert_near(z[i], expected[i], 1e-14 * fmax(1, fabs(expected[i])));
}

static void robust_z_is_that_of_scipy(void **state)
{
    (void)state;
    const double odd[] = {2.1, 3.4, 1.9, 2.2, 9.7, 2.0, 2.6};
    const double odd_z[] = {-0.22483025315886507, 2.6979630379063777,   -0.6744907594765952, 0.0,
                            16.862268986914863,   -0.44966050631773014, 0.8993210126354593};
    const double even[] = {1, 4, 4, 7, 10, 12.5, 31, 0.25};
    const double even_z[] = {-0.6744907594765952, -0.22483025315886507, -0.22483025315886507,
                             0.22483025315886507, 0.6744907594765952,   1.0492078480747036,
                             3.8221143037007064,  -0.7869058860560277};
    const double level[] = {5, 5, 5, 5, 5, 5, 8};
    const double level_z[] = {0, 0, 0, 0, 0, 0, 5.585254926992739};
    const double far[] = {-1e9, -1e9 + 1, -1e9 + 3, -1e9 + 4, -1e9 + 90};
    const double far_z[] = {-1.011736139214893, -0.6744907594765952, 0.0, 0.3372453797382976,
                            29.34034803723189};
    const double same[] = {3, 3, 3};
    const double same_z[] = {0, 0, 0};
    check_z(odd, odd_z, 7);
    check_z(even, even_z, 8);
    check_z(level, level_z, 7);
    check_z(far, far_z, 5);
    check_z(same, same_z, 3);
}

static struct instrument instrument_with(const char *zone, int start, unsigned days)
{
    struct instrument instrument;
    assert_true(instrument_init(&instrument, "amber"));
    snprintf(instrument.zone, sizeof instrument.zone, "%s", zone);
    instrument.session_start = start;
    instrument.session_days = days;
    return instrument;
}

/* Looks at the bars, as the newest of all, and frees them. */
static struct findings look(struct bars *bars, const struct instrument *instrument)
{
    struct findings findings;
    struct error error;
    int64_t newest = bars->count > 0 ? bars->time[bars->count - 1] : 0;
    if (findings_make(&findings, bars, instrument, NULL, 0, newest, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    bars_free(bars);
    return findings;
}

static struct finding look_for(enum finding_kind kind, struct bars *bars)
{
    struct instrument instrument = instrument_with("UTC", 0, 0);
    return look(bars, &instrument).kinds[kind];
}

/* An unremarkable bar at a time. */
static void add_at(struct bars *bars, int64_t time)
{
    struct error error;
    double close = 100 + (double)(bars->count % 7) / 4;
    struct bar bar = {time, close - 0.125, close + 1, close - 1, close, 1000};
    assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
}

static void assert_one(const struct finding *finding, int64_t time, double value)
{
    assert_int_equal(finding->count, 1);
    assert_int_equal(finding->example_count, 1);
    assert_int_equal(finding->examples[0].time, time);
    if (isnan(value))
        assert_true(isnan(finding->examples[0].value));
    else
        assert_near(finding->examples[0].value, value, 1e-9);
}

/* Daily bars on the days of a session from Monday 2001-01-01, `missing` of those
 * days left out after the third week. */
static struct finding daily_gap(unsigned session_days, unsigned traded, int missing)
{
    struct instrument instrument = instrument_with("UTC", 0, session_days);
    struct bars bars;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_DAY, 1};
    for (int day = 0; day < 70; day++) {
        bool open = (traded >> day % 7 & 1) != 0;
        if (!open || (day >= 21 && missing-- > 0))
            continue;
        add_at(&bars, SAMPLE_FIRST_DAY + day * (int64_t)DAY);
    }
    return look(&bars, &instrument).kinds[FINDING_GAP];
}

static void daily_gaps_begin_at_four_days(void **state)
{
    (void)state;
    enum { WEEK = 0x1f, ALL = 0x7f, SUNDAY_TO_THURSDAY = 0x4f };
    const int64_t monday = SAMPLE_FIRST_DAY + 21 * DAY;
    struct finding finding = daily_gap(WEEK, WEEK, 3);
    assert_int_equal(finding.count, 0);
    assert_int_equal(finding.of, 50 - 3 - 1);
    finding = daily_gap(WEEK, WEEK, 4);
    assert_one(&finding, monday + 4 * DAY, 4);
    /* The week-end between is none of it: Monday to Friday and Monday. */
    finding = daily_gap(WEEK, WEEK, 6);
    assert_one(&finding, monday + 8 * DAY, 6);
    /* The same from the bars themselves, where the session has no days. */
    assert_int_equal(daily_gap(0, WEEK, 3).count, 0);
    finding = daily_gap(0, WEEK, 4);
    assert_one(&finding, monday + 4 * DAY, 4);
    assert_int_equal(daily_gap(0, SUNDAY_TO_THURSDAY, 3).count, 0);
    finding = daily_gap(0, SUNDAY_TO_THURSDAY, 4);
    assert_one(&finding, monday + 6 * DAY, 4);
    finding = daily_gap(0, ALL, 4);
    assert_one(&finding, monday + 4 * DAY, 4);
    /* A session of seven days with bars on five: each week-end is two days. */
    assert_int_equal(daily_gap(ALL, WEEK, 0).count, 0);
    finding = daily_gap(ALL, WEEK, 2);
    assert_one(&finding, monday + 2 * DAY, 4);
}

static void weekly_gaps_begin_at_one_week(void **state)
{
    (void)state;
    for (int left_out = 0; left_out < 2; left_out++) {
        struct bars bars;
        bars_init(&bars);
        bars.interval = (struct interval){INTERVAL_WEEK, 1};
        for (int week = 0; week < 12; week++)
            if (week != 5 || left_out == 0)
                add_at(&bars, SAMPLE_FIRST_DAY + week * (int64_t)7 * DAY);
        struct finding finding = look_for(FINDING_GAP, &bars);
        if (left_out == 0)
            assert_int_equal(finding.count, 0);
        else
            assert_one(&finding, SAMPLE_FIRST_DAY + 6 * 7 * (int64_t)DAY, 1);
    }
}

/* Half-hours from 09:30 to 16:00 in New York (UTC-5 in winter), Monday to
 * Friday, six weeks long; one bar or some days left out. */
static struct bars half_hours(int missing_day, int missing_bar, int days_missing)
{
    struct bars bars;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_MINUTE, 30};
    for (int day = 0; day < 42; day++) {
        if (day % 7 >= 5 || (day >= 21 && days_missing-- > 0))
            continue;
        for (int i = 0; i < 13; i++)
            if (day != missing_day || i != missing_bar)
                add_at(&bars,
                       SAMPLE_FIRST_DAY + day * (int64_t)DAY + 14 * 3600 + (i + 1) * HALF_HOUR);
    }
    return bars;
}

static void a_missing_half_hour_is_a_gap_and_a_night_is_none(void **state)
{
    (void)state;
    struct instrument instrument = instrument_with("America/New_York", 0, 0x1f);
    struct bars bars = half_hours(-1, -1, 0);
    struct findings findings = look(&bars, &instrument);
    assert_int_equal(findings.kinds[FINDING_GAP].count, 0);
    bars = half_hours(9, 6, 0);
    findings = look(&bars, &instrument);
    /* Wednesday 10 January, the half-hour from 12:30: found at that from 13:00. */
    assert_one(&findings.kinds[FINDING_GAP], SAMPLE_FIRST_DAY + 9 * DAY + 18 * 3600, 1);
    bars = half_hours(-1, -1, 3);
    findings = look(&bars, &instrument);
    assert_int_equal(findings.kinds[FINDING_GAP].count, 0);
    /* Four whole days of the session, whether it names its days or not. */
    for (unsigned days = 0; days <= 0x1f; days += 0x1f) {
        instrument = instrument_with("America/New_York", 0, days);
        bars = half_hours(-1, -1, 4);
        findings = look(&bars, &instrument);
        assert_one(&findings.kinds[FINDING_GAP],
                   SAMPLE_FIRST_DAY + 25 * DAY + 14 * 3600 + HALF_HOUR, 4);
    }
}

/* Hours from 18:00 to 17:00 of the next day in New York, Sunday evening to
 * Friday: the hour from 17:00 is nobody's. */
static void the_pause_between_two_sessions_is_no_gap(void **state)
{
    (void)state;
    const struct {
        int start;
        uint64_t gaps;
    } cases[] = {{17 * 60 - 1440, 0}, {18 * 60 - 1440, 0}, {0, 16}};
    for (size_t c = 0; c < 3; c++) {
        struct instrument instrument = instrument_with("America/New_York", cases[c].start, 0x1f);
        struct bars bars;
        bars_init(&bars);
        bars.interval = (struct interval){INTERVAL_HOUR, 1};
        /* From Sunday 2000-12-31 18:00, which is 23:00 UTC. */
        for (int hour = 0; hour < 4 * 7 * 24; hour++)
            if (hour % 24 != 23 && hour % 168 < 119)
                add_at(&bars, SAMPLE_FIRST_DAY - 3600 + hour * (int64_t)3600);
        assert_int_equal(look(&bars, &instrument).kinds[FINDING_GAP].count, cases[c].gaps);
    }
}

static void doubles_are_equal_in_everything(void **state)
{
    (void)state;
    const struct {
        struct bar bar;
        uint64_t count;
    } cases[] = {
        {{0, 2, 4, 1, 3, 50}, 1},   {{0, 2, 4, 1, 3, 51}, 0},  {{0, 2, 4, 1, 2.5, 50}, 0},
        {{0, 2, 4, 0.5, 3, 50}, 0}, {{0, 2, 4, 1, 3, NAN}, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bars bars;
        bars_init(&bars);
        add_bar(&bars, 1.5, 4, 1, 3);
        add_bar(&bars, 2, 4, 1, 3);
        bars.volume[1] = 50;
        add_bar(&bars, cases[i].bar.open, cases[i].bar.high, cases[i].bar.low, cases[i].bar.close);
        bars.volume[2] = cases[i].bar.volume;
        struct finding finding = look_for(FINDING_DOUBLE, &bars);
        assert_int_equal(finding.count, cases[i].count);
        assert_int_equal(finding.of, 2);
    }
    /* Without volumes, too; but bars without a range are stale, not double. */
    struct bars bars;
    bars_init(&bars);
    for (int i = 0; i < 4; i++) {
        double high = i < 2 ? 4 : 3;
        add_bar(&bars, 3, high, 3, 3);
        bars.volume[i] = NAN;
    }
    struct finding finding = look_for(FINDING_DOUBLE, &bars);
    assert_one(&finding, SAMPLE_FIRST_DAY + DAY, NAN);
}

/* 301 bars whose ranges go by a pattern of three, and one of its own. */
static struct finding with_range(double a, double b, double c, double odd)
{
    const double pattern[] = {a, b, c};
    struct bars bars;
    bars_init(&bars);
    for (int i = 0; i < 301; i++) {
        double range = i == 150 ? odd : pattern[i % 3];
        add_bar(&bars, 100, 100 + range, 100, 100);
    }
    return look_for(FINDING_RANGE, &bars);
}

/* Median 1; MAD 0.1, so 15 robust z are 1 + 15 * 0.14826 = 3.2239. */
static void ranges_are_odd_from_fifteen_z_and_three_medians_on(void **state)
{
    (void)state;
    struct finding finding = with_range(0.9, 1, 1.1, 3.2);
    assert_int_equal(finding.count, 0);
    assert_int_equal(finding.of, 301);
    finding = with_range(0.9, 1, 1.1, 3.25);
    assert_one(&finding, SAMPLE_FIRST_DAY + 150 * (int64_t)DAY, 2.25 / 0.14826);
    /* MAD 1/64: 15 z are 1.35, and three medians are needed all the same. */
    finding = with_range(0.984375, 1, 1.015625, 3);
    assert_int_equal(finding.count, 0);
    finding = with_range(0.984375, 1, 1.015625, 3.015625);
    assert_int_equal(finding.count, 1);
}

/* The largest three are the examples, the largest first. */
static void the_largest_ranges_are_shown(void **state)
{
    (void)state;
    const double odd[] = {5, 9, 7, 11, 6};
    struct bars bars;
    bars_init(&bars);
    for (int i = 0; i < 300; i++) {
        double range = i % 50 == 25 && i / 50 < 5 ? odd[i / 50] : 0.9 + i % 3 * 0.1;
        add_bar(&bars, 100, 100 + range, 100, 100);
    }
    struct finding finding = look_for(FINDING_RANGE, &bars);
    assert_int_equal(finding.count, 5);
    assert_int_equal(finding.example_count, FINDING_EXAMPLES);
    assert_int_equal(finding.examples[0].time, SAMPLE_FIRST_DAY + 175 * (int64_t)DAY);
    assert_int_equal(finding.examples[1].time, SAMPLE_FIRST_DAY + 75 * (int64_t)DAY);
    assert_int_equal(finding.examples[2].time, SAMPLE_FIRST_DAY + 125 * (int64_t)DAY);
}

/* 301 bars of range 8 whose opens lie a pattern of steps from the close before. */
static struct finding with_jump(double a, double b, double c, double odd)
{
    const double pattern[] = {a, b, c};
    struct bars bars;
    double close = 1000;
    bars_init(&bars);
    for (int i = 0; i < 301; i++) {
        double jump = i == 150 ? odd : pattern[i % 3];
        double open = close + (i % 2 == 0 ? jump : -jump);
        add_bar(&bars, open, open + 4, open - 4, open + 1);
        close = open + 1;
    }
    return look_for(FINDING_JUMP, &bars);
}

/* In ranges: steps of 0.25, 0.5, 0.75 have the median 0.5 and the MAD 0.25, so
 * 15 robust z are 0.5 + 15 * 0.37065 = 6.06. */
static void jumps_are_odd_from_fifteen_z_and_three_medians_on(void **state)
{
    (void)state;
    struct finding finding = with_jump(2, 4, 6, 48);
    assert_int_equal(finding.count, 0);
    assert_int_equal(finding.of, 300);
    finding = with_jump(2, 4, 6, 49);
    assert_one(&finding, SAMPLE_FIRST_DAY + 150 * (int64_t)DAY, (49 - 4) / (1.4826 * 2));
    finding = with_jump(2, 2.25, 2.5, 24);
    assert_int_equal(finding.count, 0);
    finding = with_jump(2, 2.25, 2.5, 24.25);
    assert_int_equal(finding.count, 1);
}

/* Bars at 100 up to some day, at 100 times the ratio from then on, and a second
 * move so many days later. */
static struct finding with_split(double ratio, int later, double second)
{
    struct bars bars;
    bars_init(&bars);
    for (int i = 0; i < 300; i++) {
        double at = 100 * (i >= 100 ? ratio : 1) * (i >= 100 + later ? second : 1);
        add_bar(&bars, at, at + 1, at - 1, at);
    }
    return look_for(FINDING_SPLIT, &bars);
}

static void splits_are_near_a_ratio_and_alone(void **state)
{
    (void)state;
    const int64_t day = SAMPLE_FIRST_DAY + 100 * (int64_t)DAY;
    const double ratios[] = {0.5, 2, 1 / 1.5, 0.1, 20};
    for (size_t i = 0; i < sizeof ratios / sizeof ratios[0]; i++) {
        struct finding finding = with_split(ratios[i], 150, 1);
        assert_one(&finding, day, ratios[i]);
    }
    struct finding finding = with_split(0.5 * exp(0.039), 150, 1);
    assert_one(&finding, day, 0.5 * exp(0.039));
    assert_int_equal(with_split(0.5 * exp(0.041), 150, 1).count, 0);
    assert_int_equal(with_split(0.5 * exp(-0.041), 150, 1).count, 0);
    assert_int_equal(with_split(0.8, 150, 1).count, 0);
    /* Half as large a move among the sixty bars around: not alone. */
    assert_int_equal(with_split(0.5, 60, sqrt(2) * 1.001).count, 0);
    assert_int_equal(with_split(0.5, 61, sqrt(2) * 1.001).count, 1);
    assert_int_equal(with_split(0.5, 60, sqrt(2) * 0.999).count, 1);
}

static void five_bars_at_one_price_are_stale(void **state)
{
    (void)state;
    const struct {
        int first;  /* bars at 5 … */
        int second; /* … and then at 6 */
        uint64_t count;
    } cases[] = {{4, 0, 0}, {5, 0, 1}, {4, 4, 0}, {4, 5, 1}, {5, 7, 2}};
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        struct bars bars;
        bars_init(&bars);
        add_bar(&bars, 4, 6, 4, 5);
        for (int i = 0; i < cases[c].first + cases[c].second; i++) {
            double price = i < cases[c].first ? 5 : 6;
            add_bar(&bars, price, price, price, price);
        }
        struct finding finding = look_for(FINDING_STALE, &bars);
        assert_int_equal(finding.count, cases[c].count);
        if (c == 1)
            assert_one(&finding, SAMPLE_FIRST_DAY + DAY, 5);
        if (c == 3)
            assert_one(&finding, SAMPLE_FIRST_DAY + 5 * DAY, 5);
    }
}

static void a_volume_of_nought_is_not_an_unknown_one(void **state)
{
    (void)state;
    struct bars bars;
    bars_init(&bars);
    for (int i = 0; i < 6; i++)
        add_bar(&bars, 5, 6, 4, 5 + i * 0.1);
    bars.volume[2] = 0;
    bars.volume[3] = NAN;
    bars.volume[4] = 1e-9;
    struct finding finding = look_for(FINDING_ZERO_VOLUME, &bars);
    assert_one(&finding, SAMPLE_FIRST_DAY + 2 * DAY, NAN);
    assert_int_equal(finding.of, 5);
}

static void opens_are_copied_above_a_fifth(void **state)
{
    (void)state;
    for (int copied = 20; copied <= 21; copied++) {
        struct bars bars;
        double close = 50;
        bars_init(&bars);
        for (int i = 0; i < 101; i++) {
            double open = i > 0 && i <= copied ? close : close + 0.25;
            add_bar(&bars, open, open + 2, open - 2, open + (i % 2 == 0 ? 1 : -1));
            close = bars.close[i];
        }
        struct finding finding = look_for(FINDING_OPENS, &bars);
        assert_int_equal(finding.of, 100);
        assert_int_equal(finding.count, copied > 20 ? 21 : 0);
        assert_int_equal(finding.example_count, copied > 20 ? FINDING_EXAMPLES : 0);
    }
}

static void prices_lie_on_the_tick_of_their_day(void **state)
{
    (void)state;
    struct instrument instrument = instrument_with("UTC", 0, 0);
    struct dated_tick ticks[] = {{.since = SAMPLE_FIRST_DAY + DAY},
                                 {.since = SAMPLE_FIRST_DAY + 3 * DAY}};
    struct findings findings;
    struct error error;
    struct bars bars;
    assert_true(tick_from_number(&ticks[0].tick, 0.25));
    assert_true(tick_from_number(&ticks[1].tick, 0.01));
    bars_init(&bars);
    add_bar(&bars, 10.1, 11, 10, 10.3); /* no tick is known yet */
    add_bar(&bars, 10.25, 11, 10, 10.5);
    add_bar(&bars, 10.25, 11, 9.9, 10.3);  /* two of them off, one finding */
    add_bar(&bars, 10.25, 11, 9.9, 10.37); /* on the finer one */
    add_bar(&bars, 10.25, 11, 9.9, 10.375);
    assert_int_equal(findings_make(&findings, &bars, &instrument, ticks, 2, bars.time[4], &error),
                     ERROR_NONE);
    const struct finding *finding = &findings.kinds[FINDING_OFF_GRID];
    assert_int_equal(finding->of, 4);
    assert_int_equal(finding->count, 2);
    assert_int_equal(finding->examples[0].time, SAMPLE_FIRST_DAY + 2 * DAY);
    assert_true(finding->examples[0].value == 9.9);
    assert_true(finding->examples[1].value == 10.375);
    bars_free(&bars);
}

static void bars_have_ended_thirty_days_behind_the_newest(void **state)
{
    (void)state;
    struct instrument instrument = instrument_with("UTC", 0, 0);
    struct findings findings;
    struct error error;
    struct bars bars;
    bars_init(&bars);
    add_bar(&bars, 5, 6, 4, 5);
    add_bar(&bars, 6, 7, 5, 6);
    int64_t last = bars.time[1];
    for (int late = 0; late < 2; late++) {
        assert_int_equal(findings_make(&findings, &bars, &instrument, NULL, 0,
                                       last + 30 * (int64_t)DAY + late, &error),
                         ERROR_NONE);
        assert_int_equal(findings.kinds[FINDING_ENDED].count, late);
    }
    assert_one(&findings.kinds[FINDING_ENDED], last, NAN);
    instrument.last_known = true;
    instrument.last_date = last + DAY;
    findings = look(&bars, &instrument);
    assert_one(&findings.kinds[FINDING_ENDED], last + DAY, NAN);
}

static void one_bar_or_none_is_not_odd(void **state)
{
    (void)state;
    for (int count = 0; count < 2; count++) {
        struct instrument instrument = instrument_with("UTC", 0, 0);
        struct bars bars;
        bars_init(&bars);
        bars.interval = (struct interval){INTERVAL_DAY, 1};
        for (int i = 0; i < count; i++)
            add_at(&bars, SAMPLE_FIRST_DAY);
        struct findings findings = look(&bars, &instrument);
        for (int k = 0; k < FINDING_KINDS; k++)
            assert_int_equal(findings.kinds[k].count, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(robust_z_is_that_of_scipy),
        cmocka_unit_test(daily_gaps_begin_at_four_days),
        cmocka_unit_test(weekly_gaps_begin_at_one_week),
        cmocka_unit_test(a_missing_half_hour_is_a_gap_and_a_night_is_none),
        cmocka_unit_test(the_pause_between_two_sessions_is_no_gap),
        cmocka_unit_test(doubles_are_equal_in_everything),
        cmocka_unit_test(ranges_are_odd_from_fifteen_z_and_three_medians_on),
        cmocka_unit_test(the_largest_ranges_are_shown),
        cmocka_unit_test(jumps_are_odd_from_fifteen_z_and_three_medians_on),
        cmocka_unit_test(splits_are_near_a_ratio_and_alone),
        cmocka_unit_test(five_bars_at_one_price_are_stale),
        cmocka_unit_test(a_volume_of_nought_is_not_an_unknown_one),
        cmocka_unit_test(opens_are_copied_above_a_fifth),
        cmocka_unit_test(prices_lie_on_the_tick_of_their_day),
        cmocka_unit_test(bars_have_ended_thirty_days_behind_the_newest),
        cmocka_unit_test(one_bar_or_none_is_not_odd),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
