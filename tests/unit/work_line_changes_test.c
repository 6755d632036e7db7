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
    struct bars bars;
    struct line_point point;
    struct error error;
    (void)state;
    fill(&bars);
    assert_int_equal(line_point_at(&bars, 7 * day + 3600, 100, &point, &error), ERROR_NONE);
    assert_true(point.time == 7 * day && point.price == 100);
    assert_int_equal(line_point_at(&bars, -1, 100, &point, &error), ERROR_INPUT);
    /* Behind the newest bar it keeps its time, so that the book refuses it. */
    assert_int_equal(line_point_at(&bars, (BARS + 2) * day, 100, &point, &error), ERROR_NONE);
    assert_true(point.time == (BARS + 2) * day);
    bars_free(&bars);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moves_by_withdrawing_and_drawing),
        cmocka_unit_test(undoes_step_by_step),
        cmocka_unit_test(keeps_an_older_date),
        cmocka_unit_test(takes_in_all_bars),
        cmocka_unit_test(stands_on_the_bar_that_holds_it),
    };
    return cmocka_run_group_tests(tests, open_book, close_book);
}
