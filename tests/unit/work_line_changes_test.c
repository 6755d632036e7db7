/* Own lines changed and changed back: what the book then says, and what counts when.
 * The numbers are worked out by hand beside each check. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "work/line_changes.h"
#include "work/lines_seen.h"
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
static const int64_t now = 1000 * (int64_t)SECONDS_PER_DAY;
static char folder[64];
static char path[80];
static char own_path[80];
static struct book *book;

static void fill(struct bars *bars)
{
    struct error error;
    bars_init(bars);
    bars->interval = (struct interval){INTERVAL_DAY, 1};
    for (int64_t i = 0; i < BARS; i++) {
        const struct bar bar = {i * day, 100, 101, 99, 100, 1};
        assert_int_equal(bars_append(bars, &bar, &error), ERROR_NONE);
    }
}

static int open_book(void **state)
{
    struct error error;
    struct instrument instrument;
    struct bars_writer writer = {0};
    struct bars bars;
    (void)state;
    strcpy(folder, "/tmp/rushlight-lines-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    snprintf(own_path, sizeof own_path, "%s/own.sqlite", folder);
    assert_true(instrument_init(&instrument, "amber"));
    fill(&bars);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), ERROR_NONE);
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
    return 0;
}

static int close_book(void **state)
{
    char command[128];
    struct error error;
    (void)state;
    assert_int_equal(book_commit(book, &error), ERROR_NONE);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static struct own_line trend(int64_t first, double price, int64_t second, double other)
{
    struct own_line line = {.kind = LINE_TREND,
                            .points = {{first * day, price}, {second * day, other}},
                            .since = INT64_MIN};
    strcpy(line.instrument, "amber");
    return line;
}

static struct own_line line_of(int64_t id)
{
    struct error error;
    struct own_line line;
    assert_int_equal(level_store_find(book, "amber", id, &line, &error), ERROR_NONE);
    return line;
}

/* A line moved: the former counts up to the newest bar, the other from there on, so
 * that at no bar both or neither count; how it is shown goes along. */
static void moves_by_withdrawing_and_drawing(void **state)
{
    struct error error;
    struct line_change change;
    (void)state;
    struct own_line line = trend(10, 90, 20, 95);
    assert_int_equal(line_change_draw(book, now, &line, &change, &error), ERROR_NONE);
    assert_true(change.gone == 0 && change.come == line.id);
    assert_int_equal(level_store_show(book, "amber", line.id, true, REACH_BOTH, &error),
                     ERROR_NONE);
    struct own_line moved = trend(10, 90, 25, 99);
    int64_t id = line.id;
    assert_int_equal(line_change_move(book, now + 5, id, &moved, &change, &error), ERROR_NONE);
    assert_true(change.gone == id && change.come == moved.id && moved.id != id);
    struct own_line before = line_of(id);
    struct own_line after = line_of(moved.id);
    assert_true(before.withdrawn && before.until == after.since && !after.withdrawn);
    assert_true(after.since == before.since && !after.dated_back && after.made == now + 5);
    assert_true(after.hidden && after.reach == REACH_BOTH && after.kind == LINE_TREND);
    assert_true(after.points[1].price == 99 && before.points[1].price == 95);
}

static void undoes_step_by_step(void **state)
{
    struct error error;
    struct line_change drawn, moved, removed;
    int64_t again = -1;
    (void)state;
    struct own_line line = trend(1, 90, 2, 95);
    assert_int_equal(line_change_draw(book, now, &line, &drawn, &error), ERROR_NONE);
    struct own_line other = trend(1, 90, 3, 96);
    assert_int_equal(line_change_move(book, now, line.id, &other, &moved, &error), ERROR_NONE);
    assert_int_equal(line_change_remove(book, now, "amber", other.id, &removed, &error),
                     ERROR_NONE);
    /* What was removed stands once more, under a number of its own. */
    assert_int_equal(line_change_undo(book, now + 9, "amber", &removed, &again, &error),
                     ERROR_NONE);
    assert_true(again > other.id && line_of(again).points[1].price == 96);
    assert_true(line_of(again).made == now + 9 && !line_of(again).withdrawn);
    /* The move of it undone: it goes, and the first one comes back. */
    moved.come = again;
    int64_t first = 0;
    assert_int_equal(line_change_undo(book, now + 9, "amber", &moved, &first, &error), ERROR_NONE);
    assert_true(line_of(again).withdrawn && line_of(first).points[1].price == 95);
    drawn.come = first;
    assert_int_equal(line_change_undo(book, now + 9, "amber", &drawn, &again, &error), ERROR_NONE);
    assert_true(again == 0 && line_of(first).withdrawn);
    /* Once is enough. */
    assert_int_equal(line_change_undo(book, now + 9, "amber", &drawn, &again, &error), ERROR_INPUT);
}

/* One that was dated back counts for no candle once it is withdrawn, so the one in its
 * place counts from where it did, and is flagged like it. */
static void keeps_an_older_date(void **state)
{
    struct error error;
    struct line_change change;
    (void)state;
    struct own_line line = trend(1, 90, 2, 95);
    line.since = 12 * day;
    assert_int_equal(line_change_draw(book, now, &line, &change, &error), ERROR_NONE);
    assert_true(line.dated_back);
    struct own_line moved = trend(1, 91, 2, 95);
    assert_int_equal(line_change_move(book, now, line.id, &moved, &change, &error), ERROR_NONE);
    assert_true(moved.dated_back && moved.since == 12 * day);
}

/* Bars from 99 to 101 that close at 100, over a line from 90 up by half a point: the
 * widest is 101 - 90 at its first point; under one at 102 it is 99 - 102. */
static void takes_in_all_bars(void **state)
{
    struct bars bars;
    struct laid_line laid = {.bar = 4, .price = 90, .slope = 0.5, .other_bar = 10};
    (void)state;
    fill(&bars);
    assert_true(line_width_around(&bars, &laid) == 11);
    laid = (struct laid_line){.bar = 10, .price = 102, .slope = 0, .other_bar = 4};
    assert_true(line_width_around(&bars, &laid) == -3);
    bars_free(&bars);
}

static void stands_on_the_bar_that_holds_it(void **state)
{
    struct series series = {.finest = {INTERVAL_NONE, 0}};
    struct line_point point;
    struct error error;
    (void)state;
    fill(&series.bars);
    assert_int_equal(line_point_at(&series, 7 * day + 3600, 100, &point, &error), ERROR_NONE);
    assert_true(point.time == 7 * day && point.price == 100);
    assert_int_equal(line_point_at(&series, -1, 100, &point, &error), ERROR_INPUT);
    /* Behind the newest bar it keeps its time, so that the book refuses it. */
    assert_int_equal(line_point_at(&series, BARS * day, 100, &point, &error), ERROR_NONE);
    assert_true(point.time == BARS * day);
    bars_free(&series.bars);
}

/* A bar of a month is over with the month, of 31 days or of 28: one of January 1970 holds
 * its 31st, day 30, one of February none of March, from day 59 on. */
static void a_month_has_its_own_days(void **state)
{
    struct series series = {.bars = {.last_is_partial = false}};
    struct line_point point;
    struct error error;
    (void)state;
    bars_init(&series.bars);
    series.bars.interval = (struct interval){INTERVAL_MONTH, 1};
    for (int month = 0; month < 2; month++) {
        const struct bar bar = {month * 31 * day, 100, 101, 99, 100, 1};
        assert_int_equal(bars_append(&series.bars, &bar, &error), ERROR_NONE);
        int64_t last = month == 0 ? 30 : 58;
        assert_int_equal(line_point_at(&series, last * day, 100, &point, &error), ERROR_NONE);
        assert_true(point.time == bar.time);
        assert_int_equal(line_point_at(&series, (last + 1) * day, 100, &point, &error), ERROR_NONE);
        assert_true(point.time == (last + 1) * day);
    }
    bars_free(&series.bars);
}

/* A book of its own with levels of days 0, 30 and 31. */
static void keep_lines(const struct instrument *instrument)
{
    static const int64_t days[] = {0, 30, 31};
    struct book *own;
    struct error error;
    struct instrument kept = *instrument;
    assert_int_equal(book_open(&own, own_path, BOOK_WRITE, 0, &error), ERROR_NONE);
    assert_int_equal(book_begin(own, "a test", &error), ERROR_NONE);
    assert_int_equal(instrument_store_save(own, &kept, &error), ERROR_NONE);
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        struct own_line line = {.kind = LINE_LEVEL,
                                .points = {{days[i] * day, 100}},
                                .since = now,
                                .made = now};
        strcpy(line.instrument, "amber");
        assert_int_equal(level_store_add(own, &line, &error), ERROR_NONE);
    }
    assert_int_equal(book_commit(own, &error), ERROR_NONE);
    assert_int_equal(book_close(own, &error), ERROR_NONE);
}

static void see_lines(const struct series *series, struct sheet *sheet, struct lines_seen *seen)
{
    struct error error;
    struct wishes wishes;
    struct work *work;
    wishes_init(&wishes);
    wishes.book = own_path;
    assert_int_equal(work_open(&work, &wishes, &(struct voice){0}, &error), ERROR_NONE);
    if (lines_seen_find(work, series, sheet, seen, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(work_close(work, ERROR_NONE, &error), ERROR_NONE);
    assert_int_equal(remove(own_path), 0);
}

/* Lines of the book on bars of months that end with January: those of the 1st
 * and the 31st are seen, that of 1 February is held back. New York's day is not over at
 * that midnight of UTC; the date of its bar says that it is the next. */
static void a_line_is_held_back_from_the_next_month_on(void **state)
{
    static const char *const zones[] = {"UTC", "America/New_York", "Australia/Sydney"};
    (void)state;
    for (size_t zone = 0; zone < 3; zone++) {
        struct error error;
        struct lines_seen seen;
        struct series series = {.finest = {INTERVAL_NONE, 0}};
        assert_true(instrument_init(&series.instrument, "amber"));
        strcpy(series.instrument.zone, zones[zone]);
        bars_init(&series.bars);
        series.bars.interval = (struct interval){INTERVAL_MONTH, 1};
        const struct bar january = {0, 100, 101, 99, 100, 1};
        assert_int_equal(bars_append(&series.bars, &january, &error), ERROR_NONE);
        struct sheet *sheet = sheet_of_instrument(&series.bars, &series.instrument);
        assert_non_null(sheet);
        keep_lines(&series.instrument);
        see_lines(&series, sheet, &seen);
        assert_true(seen.count == 2 && seen.held_back == 1);
        assert_true(seen.list[0].line.points[0].time == 0);
        assert_true(seen.list[1].line.points[0].time == 30 * day);
        lines_seen_free(&seen);
        sheet_free(sheet);
        bars_free(&series.bars);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moves_by_withdrawing_and_drawing),
        cmocka_unit_test(undoes_step_by_step),
        cmocka_unit_test(keeps_an_older_date),
        cmocka_unit_test(takes_in_all_bars),
        cmocka_unit_test(stands_on_the_bar_that_holds_it),
        cmocka_unit_test(a_month_has_its_own_days),
        cmocka_unit_test(a_line_is_held_back_from_the_next_month_on),
    };
    return cmocka_run_group_tests(tests, open_book, close_book);
}
