/* Longer bars around both clock changes of 2024, worked out by hand.
 *
 * The changes themselves are public: New York 2024-03-10 07:00Z (EST to EDT)
 * and 2024-11-03 06:00Z; Berlin 2024-03-31 01:00Z and 2024-10-27 01:00Z; Lord
 * Howe (half an hour) 2024-04-06 15:00Z and 2024-10-05 15:30Z (IANA time zone
 * data base, files northamerica, europe, australasia). */
#include "market/longer.h"

#include "base/calendar.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static int64_t at(const char *text)
{
    int64_t time = 0;
    bool date_only;
    assert_true(time_parse(text, strlen(text), &time, &date_only));
    return time;
}

static struct session session_of(const char *zone, int start, unsigned days)
{
    struct instrument instrument;
    struct session session;
    struct error error;
    assert_true(instrument_init(&instrument, "test"));
    snprintf(instrument.zone, sizeof instrument.zone, "%s", zone);
    instrument.session_start = start;
    instrument.session_days = days;
    assert_int_equal(session_open(&session, &instrument, &error), ERROR_NONE);
    return session;
}

static struct interval interval_of(const char *text)
{
    struct interval interval;
    assert_true(interval_parse(text, &interval));
    return interval;
}

/* Bars of `step` from `from` up to and without `to`, one price a bar: bar i
 * opens at i, reaches up to i+1 and down to i-1, closes at i+0.5. */
static struct bars steps(const char *from, const char *to, const char *step)
{
    struct bars bars;
    struct error error;
    bars_init(&bars);
    bars.interval = interval_of(step);
    int64_t length = interval_seconds(bars.interval);
    double i = 0;
    for (int64_t time = at(from); time < at(to); time += length, i++)
        assert_int_equal(bars_append(&bars, &(struct bar){time, i, i + 1, i - 1, i + 0.5, 1},
                                     &error),
                         0);
    return bars;
}

struct expected {
    const char *start;
    const char *known;
    double volume; /* bars in it */
};

static void check(struct bars bars, const char *to, struct session session, bool partial,
                  const struct expected *expected, size_t count)
{
    struct longer longer;
    struct error error;
    double first = 0;
    assert_int_equal(longer_make(&longer, &bars, interval_of(to), &session, &error), ERROR_NONE);
    assert_int_equal(longer.bars.count, count);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(longer.bars.time[i], at(expected[i].start));
        assert_int_equal(longer.known[i], at(expected[i].known));
        assert_true(longer.bars.volume[i] == expected[i].volume);
        assert_true(longer.bars.open[i] == first && longer.bars.low[i] == first - 1);
        first += expected[i].volume;
        assert_true(longer.bars.high[i] == first && longer.bars.close[i] == first - 0.5);
    }
    assert_int_equal(longer.bars.last_is_partial, partial);
    longer_free(&longer);
    bars_free(&bars);
    session_close(&session);
}
#define CHECK(bars, to, session, partial, ...)                                                     \
    check(bars, to, session, partial, (const struct expected[])__VA_ARGS__,                        \
          sizeof((const struct expected[])__VA_ARGS__) / sizeof(struct expected))

/* Half hours at a change: the clock skips 02:00 to 03:00, or shows 01:00 to
 * 02:00 twice; every half hour that passed has its bar. */
static void half_hours(void **state)
{
    (void)state;
    CHECK(steps("2024-03-10T06:30:00Z", "2024-03-10T08:00:00Z", "15m"), "30m",
          session_of("America/New_York", -420, 0), false,
          {{"2024-03-10T06:30:00Z", "2024-03-10T07:00:00Z", 2},
           {"2024-03-10T07:00:00Z", "2024-03-10T07:30:00Z", 2},
           {"2024-03-10T07:30:00Z", "2024-03-10T08:00:00Z", 2}});
    CHECK(steps("2024-11-03T05:30:00Z", "2024-11-03T06:45:00Z", "15m"), "30m",
          session_of("America/New_York", -420, 0), true,
          {{"2024-11-03T05:30:00Z", "2024-11-03T06:00:00Z", 2},
           {"2024-11-03T06:00:00Z", "2024-11-03T06:30:00Z", 2},
           {"2024-11-03T06:30:00Z", "2024-11-03T07:00:00Z", 1}});
    CHECK(steps("2024-03-31T00:30:00Z", "2024-03-31T01:30:00Z", "15m"), "30m",
          session_of("Europe/Berlin", 0, 0), false,
          {{"2024-03-31T00:30:00Z", "2024-03-31T01:00:00Z", 2},
           {"2024-03-31T01:00:00Z", "2024-03-31T01:30:00Z", 2}});
    CHECK(steps("2024-04-06T14:30:00Z", "2024-04-06T15:30:00Z", "15m"), "30m",
          session_of("Australia/Lord_Howe", 0, 0), false,
          {{"2024-04-06T14:30:00Z", "2024-04-06T15:00:00Z", 2},
           {"2024-04-06T15:00:00Z", "2024-04-06T15:30:00Z", 2}});
}

/* Four hours by the clock: the one that holds the change is three, five, or
 * (Lord Howe) three and a half or four and a half hours long. */
static void four_hours(void **state)
{
    (void)state;
    CHECK(steps("2024-03-10T05:00:00Z", "2024-03-10T12:00:00Z", "1h"), "4h",
          session_of("America/New_York", 0, 0), false,
          {{"2024-03-10T05:00:00Z", "2024-03-10T08:00:00Z", 3},
           {"2024-03-10T08:00:00Z", "2024-03-10T12:00:00Z", 4}});
    CHECK(steps("2024-11-03T04:00:00Z", "2024-11-03T13:00:00Z", "1h"), "4h",
          session_of("America/New_York", 0, 0), false,
          {{"2024-11-03T04:00:00Z", "2024-11-03T09:00:00Z", 5},
           {"2024-11-03T09:00:00Z", "2024-11-03T13:00:00Z", 4}});
    CHECK(steps("2024-03-30T23:00:00Z", "2024-03-31T06:00:00Z", "1h"), "4h",
          session_of("Europe/Berlin", 0, 0), false,
          {{"2024-03-30T23:00:00Z", "2024-03-31T02:00:00Z", 3},
           {"2024-03-31T02:00:00Z", "2024-03-31T06:00:00Z", 4}});
    CHECK(steps("2024-04-06T13:00:00Z", "2024-04-06T21:30:00Z", "30m"), "4h",
          session_of("Australia/Lord_Howe", 0, 0), false,
          {{"2024-04-06T13:00:00Z", "2024-04-06T17:30:00Z", 9},
           {"2024-04-06T17:30:00Z", "2024-04-06T21:30:00Z", 8}});
    CHECK(steps("2024-10-05T13:30:00Z", "2024-10-05T21:00:00Z", "30m"), "4h",
          session_of("Australia/Lord_Howe", 0, 0), false,
          {{"2024-10-05T13:30:00Z", "2024-10-05T17:00:00Z", 7},
           {"2024-10-05T17:00:00Z", "2024-10-05T21:00:00Z", 8}});
}

/* Currency days end at 17:00 in New York: 22:00Z in winter, 21:00Z in summer.
 * The day of the spring change has 23 hours, that of autumn 25. */
static void currency_days(void **state)
{
    (void)state;
    CHECK(steps("2024-03-08T22:00:00Z", "2024-03-11T21:00:00Z", "1h"), "1d",
          session_of("America/New_York", -420, 0), false,
          {{"2024-03-09", "2024-03-09T22:00:00Z", 24},
           {"2024-03-10", "2024-03-10T21:00:00Z", 23},
           {"2024-03-11", "2024-03-11T21:00:00Z", 24}});
    CHECK(steps("2024-11-02T21:00:00Z", "2024-11-04T12:00:00Z", "1h"), "1d",
          session_of("America/New_York", -420, 0), true,
          {{"2024-11-03", "2024-11-03T22:00:00Z", 25}, {"2024-11-04", "2024-11-04T22:00:00Z", 14}});
    CHECK(steps("2024-10-26T22:00:00Z", "2024-10-28T23:00:00Z", "1h"), "1d",
          session_of("Europe/Berlin", 0, 0), false,
          {{"2024-10-27", "2024-10-27T23:00:00Z", 25}, {"2024-10-28", "2024-10-28T23:00:00Z", 24}});
    CHECK(steps("2024-04-05T13:00:00Z", "2024-04-07T13:30:00Z", "30m"), "1d",
          session_of("Australia/Lord_Howe", 0, 0), false,
          {{"2024-04-06", "2024-04-06T13:00:00Z", 48}, {"2024-04-07", "2024-04-07T13:30:00Z", 49}});
}

/* Hours of a Sunday evening belong to Monday where Sunday is no trading day. */
static void sunday_fragments(void **state)
{
    (void)state;
    CHECK(steps("2024-06-02T20:00:00Z", "2024-06-04T00:00:00Z", "1h"), "1d",
          session_of("UTC", 0, 0x1f), false, {{"2024-06-03", "2024-06-04T00:00:00Z", 28}});
    CHECK(steps("2024-06-02T20:00:00Z", "2024-06-04T00:00:00Z", "1h"), "1d",
          session_of("UTC", 0, 0), false,
          {{"2024-06-02", "2024-06-03T00:00:00Z", 4}, {"2024-06-03", "2024-06-04T00:00:00Z", 24}});
}

/* Weeks run from Monday to Monday; on a Friday the last closed week is the one
 * before, on a Sunday that trades this one closes with it. */
static void weeks_and_months(void **state)
{
    (void)state;
    CHECK(steps("2024-03-06", "2024-03-12", "1d"), "1w", session_of("America/New_York", -420, 0),
          true,
          {{"2024-03-04", "2024-03-10T21:00:00Z", 5}, {"2024-03-11", "2024-03-17T21:00:00Z", 1}});
    CHECK(steps("2024-03-04", "2024-03-09", "1d"), "1w", session_of("UTC", 0, 0), true,
          {{"2024-03-04", "2024-03-11T00:00:00Z", 5}});
    CHECK(steps("2024-03-04", "2024-03-11", "1d"), "1w", session_of("UTC", 0, 0), false,
          {{"2024-03-04", "2024-03-11T00:00:00Z", 7}});
    CHECK(steps("2024-01-30", "2024-03-01", "1d"), "1month", session_of("UTC", 0, 0), false,
          {{"2024-01-01", "2024-02-01T00:00:00Z", 2}, {"2024-02-01", "2024-03-01T00:00:00Z", 29}});
}

static void what_is_known_counts(void **state)
{
    (void)state;
    struct bars bars = steps("2024-03-04", "2024-03-23", "1d");
    struct session session = session_of("UTC", 0, 0);
    struct longer longer;
    struct error error;
    assert_int_equal(longer_make(&longer, &bars, interval_of("1w"), &session, &error), ERROR_NONE);
    /* Friday the 15th is known at its end, before the week's. */
    int64_t friday = bar_known(&session, interval_of("1d"), at("2024-03-15"));
    assert_int_equal(friday, at("2024-03-16T00:00:00Z"));
    assert_int_equal(longer_known(&longer, friday), 1);
    assert_int_equal(longer_known(&longer, at("2024-03-18T00:00:00Z")), 2);
    /* The third week is partial and never known. */
    assert_int_equal(longer_known(&longer, INT64_MAX), 2);
    longer_free(&longer);
    assert_int_equal(longer_make(&longer, &bars, interval_of("4h"), &session, &error), ERROR_INPUT);
    longer_free(&longer);
    bars_free(&bars);
    session_close(&session);
}

/* A prefix of the shorter bars gives a prefix of the longer, but for what is
 * not yet complete. */
static void prefix(void **state)
{
    (void)state;
    struct bars bars = steps("2024-03-08T03:15:00Z", "2024-03-13T00:00:00Z", "15m");
    struct session session = session_of("America/New_York", -420, 0);
    struct longer whole;
    struct error error;
    assert_int_equal(longer_make(&whole, &bars, interval_of("4h"), &session, &error), ERROR_NONE);
    for (size_t cut = 0; cut < bars.count; cut += 7) {
        struct bars part;
        struct longer longer;
        assert_int_equal(bars_slice(&part, &bars, 0, cut, &error), ERROR_NONE);
        assert_int_equal(longer_make(&longer, &part, interval_of("4h"), &session, &error), 0);
        for (size_t i = 0; i < bars_complete(&longer.bars); i++) {
            struct bar a = bars_at(&longer.bars, i);
            struct bar b = bars_at(&whole.bars, i);
            assert_memory_equal(&a, &b, sizeof a);
        }
        longer_free(&longer);
        bars_free(&part);
    }
    longer_free(&whole);
    bars_free(&bars);
    session_close(&session);
}

static void unknown_zones_are_refused(void **state)
{
    (void)state;
    struct wall_clock clock;
    struct error error;
    assert_int_equal(wall_clock_open(&clock, "Europe/Atlantis", &error), ERROR_INPUT);
    wall_clock_close(&clock);
    assert_int_equal(wall_clock_open(&clock, "-03:30", &error), ERROR_NONE);
    assert_int_equal(wall_clock_offset(&clock, 0), -12600);
    wall_clock_close(&clock);
    assert_int_equal(wall_clock_open(&clock, "America/New_York", &error), ERROR_NONE);
    /* Skipped and doubled clock times. */
    assert_int_equal(wall_clock_time(&clock, at("2024-03-10T02:30:00Z")),
                     at("2024-03-10T07:30:00Z"));
    assert_int_equal(wall_clock_time(&clock, at("2024-11-03T01:30:00Z")),
                     at("2024-11-03T05:30:00Z"));
    assert_int_equal(wall_clock_time(&clock, at("2024-11-03T02:00:00Z")),
                     at("2024-11-03T07:00:00Z"));
    wall_clock_close(&clock);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(half_hours),       cmocka_unit_test(four_hours),
        cmocka_unit_test(currency_days),    cmocka_unit_test(sunday_fragments),
        cmocka_unit_test(weeks_and_months), cmocka_unit_test(what_is_known_counts),
        cmocka_unit_test(prefix),           cmocka_unit_test(unknown_zones_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
