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
    /* Nothing is laid before the first bar. */
    line = two_points(LINE_TREND, -1, 90, 20, 95);
    assert_false(own_line_lay(&line, &bars, &laid));
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

static struct book *book_with_bars(size_t count)
{
    struct book *book;
    struct bars bars;
    struct error error;
    struct instrument instrument;
    assert_true(instrument_init(&instrument, "amber"));
    struct bars_writer writer = {0};
    fill(&bars, day);
    bars.count = count;
    remove(path);
    if (book_open(&book, path, BOOK_WRITE, 0, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(book_begin(book, "a test", &error), ERROR_NONE);
    assert_int_equal(instrument_store_save(book, &instrument, &error), ERROR_NONE);
    writer.book = book;
    assert_int_equal(bars_store_find(book, instrument.id, bars.interval, true, &writer.series,
                                     &error),
                     ERROR_NONE);
    assert_int_equal(bars_writer_begin(&writer, &error), ERROR_NONE);
    assert_int_equal(bars_writer_merge(&writer, &bars, &error), ERROR_NONE);
    bars_writer_finish(&writer);
    bars_free(&bars);
    return book;
}

static void counts_after_what_was_seen(void **state)
{
    struct error error;
    const int64_t now = 1000 * day;
    (void)state;
    struct book *book = book_with_bars(30); /* the newest bar is of day 29 */
    struct own_line line = two_points(LINE_TREND, 10, 90, 20, 95);
    assert_int_equal(own_line_enter(book, now, INT64_MAX, &line, &error), ERROR_NONE);
    assert_true(line.since == 29 * day && !line.dated_back && line.made == now);
    /* Drawn while looked back at day 25: later bars were there to be seen. */
    line.since = INT64_MIN;
    assert_int_equal(own_line_enter(book, now, 25 * day, &line, &error), ERROR_NONE);
    assert_true(line.since == 25 * day && line.dated_back);
    /* Said to be of day 15, with a point of day 20. */
    line.since = 15 * day;
    assert_int_equal(own_line_enter(book, now, INT64_MAX, &line, &error), ERROR_INPUT);
    /* It stands from its entry to its withdrawal. */
    assert_int_equal(level_store_withdraw(book, "amber", 1, now + 5, &error), ERROR_NONE);
    assert_int_equal(level_store_withdraw(book, "amber", 1, now + 6, &error), ERROR_INPUT);
    struct own_line *lines;
    size_t count;
    assert_int_equal(level_store_list(book, "amber", &lines, &count, &error), ERROR_NONE);
    assert_int_equal(count, 2);
    assert_true(lines[0].withdrawn && lines[0].until == 29 * day);
    assert_false(own_line_stands(&lines[0], now - 1));
    assert_true(own_line_stands(&lines[0], now + 4));
    assert_false(own_line_stands(&lines[0], now + 5));
    free(lines);
    assert_int_equal(book_commit(book, &error), ERROR_NONE);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lies_straight_from_bar_to_bar),
        cmocka_unit_test(lies_on_longer_bars),
        cmocka_unit_test(counts_touches),
        cmocka_unit_test(counts_after_what_was_seen),
    };
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
