/* Levels and lines of one's own: where they lie on bars, when they count, what
 * the book refuses. The numbers are worked out by hand beside each check. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "work/own_lines.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

enum { BARS = 40 };
static const int64_t day = SECONDS_PER_DAY;
static char folder[64];
static char path[80];

/* Daily bars from day 0 on; every one from 99 to 101. */
static void fill(struct bars *bars, int64_t every)
{
    struct error error;
    bars_init(bars);
    bars->interval = (struct interval){every == day ? INTERVAL_DAY : INTERVAL_WEEK, 1};
    for (int64_t i = 0; i < BARS; i++) {
        const struct bar bar = {i * every, 100, 101, 99, 100, 1};
        assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
    }
}

static struct own_line two_points(enum line_kind kind, int64_t first, double price, int64_t second,
                                  double other)
{
    struct own_line line = {.kind = kind,
                            .points = {{first * day, price}, {second * day, other}},
                            .since = INT64_MIN};
    strcpy(line.instrument, "amber");
    return line;
}

static void lies_straight_from_bar_to_bar(void **state)
{
    struct bars bars;
    struct laid_line laid;
    double prices[OWN_LINE_PRICES];
    (void)state;
    fill(&bars, day);
    struct own_line line = two_points(LINE_CHANNEL, 10, 90, 20, 95);
    line.width = 4;
    assert_true(own_line_lay(&line, &bars, &laid));
    /* Half a point a bar: 100 at bar 30, its other line four above. */
    assert_int_equal(own_line_prices(line.kind, &laid, 30, prices), 2);
    assert_true(prices[0] == 100 && prices[1] == 104);
    /* The way back from 95 to 90: 93.09, 92.5, 91.91. */
    line.kind = LINE_RETRACEMENT;
    assert_true(own_line_lay(&line, &bars, &laid));
    assert_int_equal(own_line_prices(line.kind, &laid, 30, prices), 3);
    assert_true(fabs(prices[0] - 93.09) < 1e-12 && prices[1] == 92.5 &&
                fabs(prices[2] - 91.91) < 1e-12);
    line.kind = LINE_RULER;
    assert_int_equal(own_line_prices(line.kind, &laid, 30, prices), 0);
    /* Nothing that rises is laid before the first bar; what is flat lies where it does. */
    line = two_points(LINE_TREND, -1, 90, 20, 95);
    assert_false(own_line_lay(&line, &bars, &laid));
    line = two_points(LINE_LEVEL, -1, 90, -1, 90);
    assert_true(own_line_lay(&line, &bars, &laid));
    assert_int_equal(own_line_prices(line.kind, &laid, 30, prices), 1);
    assert_true(prices[0] == 90);
    bars_free(&bars);
}

/* On weekly bars day 10 is 3/7 into the second, day 20 6/7 into the third. */
static void lies_on_longer_bars(void **state)
{
    struct bars bars;
    struct laid_line laid;
    (void)state;
    fill(&bars, 7 * day);
    struct own_line line = two_points(LINE_TREND, 10, 90, 20, 95);
    assert_true(own_line_lay(&line, &bars, &laid));
    assert_true(fabs(laid.bar - 10.0 / 7) < 1e-12 && fabs(laid.other_bar - 20.0 / 7) < 1e-12);
    assert_true(fabs(laid.slope - 3.5) < 1e-12);
    bars_free(&bars);
}

/* Bars of 2 points in height, so an ATR of 2: within 0.2 of the range, below 99 by
 * 98.8 at the lowest. A line from 97 up by 0.1 a bar is there from bar 18 on and, at
 * 101.2, up to bar 42: one run. */
static void counts_touches(void **state)
{
    struct bars bars;
    struct laid_line laid;
    (void)state;
    fill(&bars, day);
    struct sheet *sheet = sheet_new(&bars, NULL);
    struct own_line line = two_points(LINE_TREND, 0, 97, 10, 98);
    assert_non_null(sheet);
    assert_true(own_line_lay(&line, &bars, &laid));
    assert_int_equal(own_line_touches(line.kind, &laid, sheet, 17), 0);
    assert_int_equal(own_line_touches(line.kind, &laid, sheet, 19), 1);
    assert_int_equal(own_line_touches(line.kind, &laid, sheet, BARS - 1), 1);
    sheet_free(sheet);
    /* A partial last bar has no ATR of its own; a level 0.15 below it is still near,
     * one 0.25 below is not. */
    bars.last_is_partial = true;
    sheet = sheet_new(&bars, NULL);
    assert_non_null(sheet);
    line = two_points(LINE_LEVEL, BARS - 1, 98.85, BARS - 1, 98.85);
    assert_true(own_line_lay(&line, &bars, &laid));
    assert_int_equal(own_line_touches(line.kind, &laid, sheet, BARS - 1), 1);
    line = two_points(LINE_LEVEL, BARS - 1, 98.75, BARS - 1, 98.75);
    assert_true(own_line_lay(&line, &bars, &laid));
    assert_int_equal(own_line_touches(line.kind, &laid, sheet, BARS - 1), 0);
    sheet_free(sheet);
    bars_free(&bars);
}

/* --- in the book ---------------------------------------------------------------------- */

static int make_folder(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/rushlight-lines-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    return 0;
}

static int drop_folder(void **state)
{
    char command[128];
    (void)state;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

/* Bars of one length for amber, from day 0 of a bar each. */
static void keep_bars(struct book *book, const struct instrument *instrument,
                      struct interval interval, size_t count)
{
    struct bars bars;
    struct error error;
    struct bars_writer writer = {.book = book};
    fill(&bars, interval_seconds(interval));
    bars.interval = interval;
    bars.count = count;
    assert_int_equal(bars_store_find(book, instrument->id, interval, true, &writer.series, &error),
                     ERROR_NONE);
    assert_int_equal(bars_writer_begin(&writer, &error), ERROR_NONE);
    assert_int_equal(bars_writer_merge(&writer, &bars, &error), ERROR_NONE);
    bars_writer_finish(&writer);
    bars_free(&bars);
}

/* A transaction is open in it. */
static struct book *book_of_amber(struct instrument *instrument, const char *zone, int start)
{
    struct book *book;
    struct error error;
    assert_true(instrument_init(instrument, "amber"));
    strcpy(instrument->zone, zone);
    instrument->session_start = start;
    remove(path);
    if (book_open(&book, path, BOOK_WRITE, 0, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(book_begin(book, "a test", &error), ERROR_NONE);
    assert_int_equal(instrument_store_save(book, instrument, &error), ERROR_NONE);
    return book;
}

static void shut(struct book *book)
{
    struct error error;
    assert_int_equal(book_commit(book, &error), ERROR_NONE);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

static const struct interval daily = {INTERVAL_DAY, 1};
static const struct interval hourly = {INTERVAL_HOUR, 1};

static void counts_after_what_was_seen(void **state)
{
    struct error error;
    struct instrument instrument;
    const int64_t now = 1000 * day;
    (void)state;
    struct book *book = book_of_amber(&instrument, "UTC", 0);
    keep_bars(book, &instrument, daily, 30); /* the newest bar is of day 29 */
    struct own_line line = two_points(LINE_TREND, 10, 90, 20, 95);
    assert_int_equal(own_line_enter(book, now, INT64_MAX, &line, &error), ERROR_NONE);
    assert_true(line.since == 30 * day - 1 && !line.dated_back && line.made == now);
    /* Drawn while looked back at the end of day 24: later bars were there to be seen. */
    line.since = INT64_MIN;
    assert_int_equal(own_line_enter(book, now, 25 * day - 1, &line, &error), ERROR_NONE);
    assert_true(line.since == 25 * day - 1 && line.dated_back);
    /* At noon of its day the newest bar was not over. */
    line.since = 29 * day + day / 2;
    assert_int_equal(own_line_enter(book, now, INT64_MAX, &line, &error), ERROR_NONE);
    assert_true(line.dated_back);
    /* Said to be of day 15, with a point of day 20. */
    line.since = 15 * day;
    assert_int_equal(own_line_enter(book, now, INT64_MAX, &line, &error), ERROR_INPUT);
    /* It stands from its entry to its withdrawal. */
    assert_int_equal(level_store_withdraw(book, "amber", 1, now + 5, &error), ERROR_NONE);
    assert_int_equal(level_store_withdraw(book, "amber", 1, now + 6, &error), ERROR_INPUT);
    struct own_line *lines;
    size_t count;
    assert_int_equal(level_store_list(book, "amber", &lines, &count, &error), ERROR_NONE);
    assert_int_equal(count, 3);
    assert_true(lines[0].withdrawn && lines[0].until == 30 * day - 1);
    assert_false(own_line_stands(&lines[0], now - 1));
    assert_true(own_line_stands(&lines[0], now + 4));
    assert_false(own_line_stands(&lines[0], now + 5));
    free(lines);
    shut(book);
}

/* Of hours and days together the one that is over last says what was seen. */
static void counts_after_the_last_that_was_seen(void **state)
{
    static const struct {
        size_t days;
        size_t hours;
        int64_t since;
    } seen[] = {
        {0, 30, 30 * 3600 - 1}, /* the hour from 29 to 30 o'clock is over by then */
        {2, 30, 2 * day - 1},   /* its day was known whole: no hour of it counts */
        {1, 30, 30 * 3600 - 1}, /* the day before, and six hours more */
        {0, 0, 1000 * day + 7}, /* nothing: from its entry on */
    };
    struct error error;
    struct instrument instrument;
    (void)state;
    for (size_t i = 0; i < sizeof seen / sizeof seen[0]; i++) {
        struct own_line line = {.kind = LINE_LEVEL,
                                .instrument = "amber",
                                .points = {{INT64_MIN, 100}, {INT64_MIN, 100}},
                                .since = INT64_MIN};
        struct book *book = book_of_amber(&instrument, "UTC", 0);
        keep_bars(book, &instrument, daily, seen[i].days);
        keep_bars(book, &instrument, hourly, seen[i].hours);
        assert_int_equal(own_line_enter(book, 1000 * day + 7, INT64_MAX, &line, &error),
                         ERROR_NONE);
        assert_int_equal(line.since, seen[i].since);
        assert_false(line.dated_back);
        shut(book);
    }
}

/* The offsets are those of the tz database: Honolulu is 10 hours behind UTC all the year,
 * Sydney (1970, no summer time yet) 10 ahead. */
static void counts_by_the_session_of_the_instrument(void **state)
{
    static const struct {
        const char *zone;
        int start;    /* minutes */
        int64_t ends; /* hours after 00:00 UTC of the day behind the last */
    } zones[] = {{"Pacific/Honolulu", 0, 10},
                 {"Australia/Sydney", 0, -10},
                 {"Pacific/Honolulu", -420, 3}};
    struct error error;
    struct instrument instrument;
    struct session session;
    (void)state;
    for (size_t i = 0; i < sizeof zones / sizeof zones[0]; i++) {
        struct own_line line = {.kind = LINE_LEVEL,
                                .instrument = "amber",
                                .points = {{INT64_MIN, 100}, {INT64_MIN, 100}},
                                .since = INT64_MIN};
        struct book *book = book_of_amber(&instrument, zones[i].zone, zones[i].start);
        keep_bars(book, &instrument, daily, 30);
        assert_int_equal(own_line_enter(book, 1000 * day, INT64_MAX, &line, &error), ERROR_NONE);
        assert_int_equal(line.since, 30 * day + zones[i].ends * 3600 - 1);
        /* Daily bars after day 29 count, that of day 29 does not; hours from the moment on. */
        assert_int_equal(session_open(&session, &instrument, &error), ERROR_NONE);
        assert_int_equal(own_line_bar(&session, daily, line.since), 29 * day);
        assert_int_equal(own_line_bar(&session, daily, line.since + 1), 30 * day);
        assert_int_equal(own_line_bar(&session, hourly, line.since), line.since);
        session_close(&session);
        /* A date is the instrument's own day. */
        line.since = 29 * day;
        line.since_is_date = true;
        assert_int_equal(own_line_enter(book, 1000 * day, INT64_MAX, &line, &error), ERROR_NONE);
        assert_int_equal(line.since, 30 * day + zones[i].ends * 3600 - 1);
        assert_false(line.dated_back);
        shut(book);
    }
}

/* Withdrawn while the book had no bar of the instrument: no bar was before that. */
static void stands_for_no_bar_where_none_had_been_seen(void **state)
{
    struct error error;
    struct instrument instrument;
    struct session session;
    struct own_line *lines;
    size_t count;
    (void)state;
    struct own_line line = {.kind = LINE_LEVEL,
                            .instrument = "amber",
                            .points = {{INT64_MIN, 100}, {INT64_MIN, 100}},
                            .since = INT64_MIN};
    struct book *book = book_of_amber(&instrument, "Pacific/Honolulu", -420);
    assert_int_equal(own_line_enter(book, 20 * day, INT64_MAX, &line, &error), ERROR_NONE);
    assert_int_equal(level_store_withdraw(book, "amber", 1, 21 * day, &error), ERROR_NONE);
    keep_bars(book, &instrument, daily, 30);
    assert_int_equal(level_store_list(book, "amber", &lines, &count, &error), ERROR_NONE);
    assert_int_equal(count, 1);
    assert_int_equal(session_open(&session, &instrument, &error), ERROR_NONE);
    assert_int_equal(own_line_bar(&session, daily, lines[0].until), INT64_MIN);
    assert_int_equal(own_line_bar(&session, hourly, lines[0].until), INT64_MIN);
    session_close(&session);
    free(lines);
    shut(book);
}

/* Day 40 begins at 10:00 UTC in Honolulu (tz database), and ends 24 hours later. */
static void a_day_that_has_begun_may_be_named(void **state)
{
    struct error error;
    struct instrument instrument;
    const int64_t begins = 40 * day + 10 * 3600;
    (void)state;
    struct book *book = book_of_amber(&instrument, "Pacific/Honolulu", 0);
    keep_bars(book, &instrument, daily, 30);
    for (int64_t now = begins - 1; now <= begins; now++) {
        struct own_line line = {.kind = LINE_LEVEL,
                                .instrument = "amber",
                                .points = {{INT64_MIN, 100}, {INT64_MIN, 100}},
                                .since = 40 * day,
                                .since_is_date = true};
        int code = own_line_enter(book, now, INT64_MAX, &line, &error);
        assert_int_equal(code, now < begins ? ERROR_INPUT : ERROR_NONE);
        if (code == ERROR_NONE)
            assert_true(line.since == begins + day - 1 && !line.dated_back);
        else
            assert_non_null(strstr(error.text, "has not come yet"));
    }
    shut(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lies_straight_from_bar_to_bar),
        cmocka_unit_test(lies_on_longer_bars),
        cmocka_unit_test(counts_touches),
        cmocka_unit_test(counts_after_what_was_seen),
        cmocka_unit_test(counts_after_the_last_that_was_seen),
        cmocka_unit_test(counts_by_the_session_of_the_instrument),
        cmocka_unit_test(stands_for_no_bar_where_none_had_been_seen),
        cmocka_unit_test(a_day_that_has_begun_may_be_named),
    };
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
