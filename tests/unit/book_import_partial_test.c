/* A bar that is imported before its time is over: partial, and taken over by a
 * later file without a contradiction. The ends of sessions are worked out by
 * hand: New York is at UTC-4 in May 2023. */
#define _GNU_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "book/import.h"
#include "book/instrument_store.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[] = "/tmp/rushlight-test-XXXXXX";
static char prices[200];
static char path[200];
static struct book *book;

static void remove_files(void)
{
    static const char *const endings[] = {"", "-wal", "-shm"};
    char name[300];
    for (size_t i = 0; i < 3; i++) {
        snprintf(name, sizeof name, "%s%s", path, endings[i]);
        unlink(name);
    }
    unlink(prices);
}

static int begin(void **state)
{
    (void)state;
    struct error error;
    if (mkdtemp(folder) == NULL)
        return -1;
    snprintf(prices, sizeof prices, "%s/pine.csv", folder);
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    return book_open(&book, path, BOOK_WRITE, 0, &error);
}

static int end(void **state)
{
    (void)state;
    struct error error;
    int code = book_close(book, &error);
    remove_files();
    return code != 0 || rmdir(folder) != 0;
}

static int64_t at(int day, int hour, int minute, int second)
{
    const struct civil_time civil = {2023, 5, day, hour, minute, second};
    return civil_to_time(&civil);
}

static void add_instrument(const char *name, const char *zone, int session_start)
{
    struct instrument instrument;
    struct error error;
    assert_true(instrument_init(&instrument, name));
    snprintf(instrument.zone, sizeof instrument.zone, "%s", zone);
    instrument.session_start = session_start;
    assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
    assert_int_equal(instrument_store_save(book, &instrument, &error), ERROR_NONE);
    assert_int_equal(book_commit(book, &error), ERROR_NONE);
}

static struct import_result import(const char *name, const char *lines, int64_t now, bool whole)
{
    const struct import_watch watch = {.context = NULL};
    const struct import_options options = {.instrument = name, .now = now, .whole = whole};
    struct import_result result;
    struct error error;
    FILE *file = fopen(prices, "w");
    assert_non_null(file);
    fprintf(file, "time,open,high,low,close\n%s", lines);
    assert_int_equal(fclose(file), 0);
    if (import_file(book, prices, &options, &watch, &result, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return result;
}

/* The last bar of the instrument's series is partial or not, and has this close. */
static void last_is(const char *name, bool partial, double close)
{
    struct instrument instrument;
    struct stored_series *series;
    size_t count;
    struct bars bars;
    struct error error;
    bool found;
    assert_int_equal(instrument_store_find(book, name, &instrument, &found, &error), ERROR_NONE);
    assert_true(found);
    assert_int_equal(bars_store_list(book, instrument.id, &series, &count, &error), ERROR_NONE);
    assert_int_equal(count, 1);
    bars_init(&bars);
    assert_int_equal(bars_store_load(book, series, INT64_MIN, INT64_MAX, &bars, &error),
                     ERROR_NONE);
    assert_int_equal(bars.last_is_partial, partial);
    assert_int_equal(bars_complete(&bars), bars.count - partial);
    assert_true(bars.close[bars.count - 1] == close);
    bars_free(&bars);
    free(series);
}

#define MONDAY "2023-05-01,1,3,1,2\n"
#define TUESDAY "2023-05-02,1,3,1,2\n"
#define WEDNESDAY "2023-05-03,1,3,1,2\n"

static void a_day_is_over_when_the_next_begins(void **state)
{
    (void)state;
    const struct {
        const char *name;
        const char *zone;
        int start;
    } cases[] = {
        {"utc", "UTC", 0},
        {"york", "America/New_York", 0},
        {"evening", "America/New_York", 17 * 60 - 1440},
        {"tokyo", "Asia/Tokyo", 9 * 60},
    };
    /* Of Wednesday 3 May. */
    const int64_t ends[] = {at(4, 0, 0, 0), at(4, 4, 0, 0), at(3, 21, 0, 0), at(4, 0, 0, 0)};
    for (size_t i = 0; i < 4; i++) {
        char name[20];
        for (int late = 0; late < 2; late++) {
            snprintf(name, sizeof name, "%s-%d", cases[i].name, late);
            add_instrument(name, cases[i].zone, cases[i].start);
            struct import_result result = import(name, MONDAY TUESDAY WEDNESDAY, ends[i] - 1 + late,
                                                 false);
            assert_int_equal(result.partial, late == 0);
            assert_int_equal(result.last, at(3, 0, 0, 0));
            assert_int_equal(result.ends, ends[i]);
            last_is(name, late == 0, 2);
        }
    }
}

static void shorter_and_longer_bars_too(void **state)
{
    (void)state;
    const char hours[] = "2023-05-03T10:00Z,1,3,1,2\n2023-05-03T11:00Z,1,3,1,2\n";
    const char weeks[] = "2023-04-17,1,3,1,2\n2023-04-24,1,3,1,2\n2023-05-01,1,3,1,2\n";
    const char backwards[] = WEDNESDAY TUESDAY MONDAY;
    assert_true(import("hours", hours, at(3, 11, 59, 59), false).partial);
    assert_false(import("hours-over", hours, at(3, 12, 0, 0), false).partial);
    assert_true(import("weeks", weeks, at(7, 23, 59, 59), false).partial);
    assert_false(import("weeks-over", weeks, at(8, 0, 0, 0), false).partial);
    assert_true(import("backwards", backwards, at(3, 23, 59, 59), false).partial);
    last_is("backwards", true, 2);
    /* A year that is a slip never gives a signal. */
    assert_true(
        import("slip", MONDAY TUESDAY "2203-05-03,1,3,1,2\n", at(3, 0, 0, 0), false).partial);
}

static void who_knows_better_says_so(void **state)
{
    (void)state;
    assert_false(import("whole", MONDAY TUESDAY WEDNESDAY, at(3, 12, 0, 0), true).partial);
    last_is("whole", false, 2);
    /* And after the fact: the same file read in another way. */
    import("later", MONDAY TUESDAY WEDNESDAY, at(3, 12, 0, 0), false);
    last_is("later", true, 2);
    assert_true(import("later", MONDAY TUESDAY WEDNESDAY, at(3, 12, 0, 0), false).already);
    assert_false(import("later", MONDAY TUESDAY WEDNESDAY, at(3, 12, 0, 0), true).already);
    last_is("later", false, 2);
}

static void a_later_file_takes_its_place(void **state)
{
    (void)state;
    import("grows", MONDAY TUESDAY WEDNESDAY, at(3, 12, 0, 0), false);
    /* Later on the same day. */
    struct import_result result = import("grows", TUESDAY "2023-05-03,1,4,1,3\n", at(3, 18, 0, 0),
                                         false);
    assert_true(result.partial);
    assert_int_equal(result.kept_out + result.replaced, 0);
    last_is("grows", true, 3);
    /* A file without the day says nothing about it. */
    import("grows", MONDAY TUESDAY, at(5, 0, 0, 0), false);
    last_is("grows", true, 3);
    /* On the next, with the day as it ended and the one that is on. */
    result = import("grows", "2023-05-03,1,4,0.5,0.75\n2023-05-04,1,3,1,2.25\n", at(4, 12, 0, 0),
                    false);
    assert_int_equal(result.added, 2);
    assert_int_equal(result.kept_out + result.replaced, 0);
    assert_true(result.partial);
    assert_int_equal(result.last, at(4, 0, 0, 0));
    last_is("grows", true, 2.25);
    /* Equal to what was there, and over now. */
    result = import("grows", TUESDAY "2023-05-03,1,4,0.5,0.75\n2023-05-04,1,3,1,2.25\n",
                    at(5, 0, 0, 0), false);
    assert_int_equal(result.known, 3);
    assert_false(result.partial);
    last_is("grows", false, 2.25);
    /* What is whole contradicts. */
    result = import("grows", "2023-05-03,1,4,0.5,0.75\n2023-05-04,1,3,1,2.5\n", at(5, 0, 0, 0),
                    false);
    assert_int_equal(result.kept_out, 1);
    last_is("grows", false, 2.25);
}

/* Newest first, the day that was partial comes blocks behind the newest bar. */
static void its_place_is_taken_in_long_files_newest_first(void **state)
{
    (void)state;
    static char lines[3 * CSV_BLOCK * 40];
    const int64_t start = at(1, 0, 0, 0);
    size_t length = 0;
    char time[CALENDAR_TEXT_SIZE];
    time_format(time, start + 60, false);
    snprintf(lines, sizeof lines, "2023-05-01T00:00:00Z,1,3,1,2\n%s,1,3,1,2\n", time);
    assert_true(import("long", lines, start + 90, false).partial);
    for (int i = 2 * CSV_BLOCK; i >= 0; i--) {
        time_format(time, start + i * 60, false);
        length += (size_t)snprintf(lines + length, sizeof lines - length, "%s,1,3,1,%s\n", time,
                                   i == 1 ? "2.5" : "2");
    }
    struct import_result result = import("long", lines, at(30, 0, 0, 0), false);
    assert_int_equal(result.kept_out, 0);
    assert_int_equal(result.known, 1);
    assert_false(result.partial);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_day_is_over_when_the_next_begins),
        cmocka_unit_test(shorter_and_longer_bars_too),
        cmocka_unit_test(who_knows_better_says_so),
        cmocka_unit_test(a_later_file_takes_its_place),
        cmocka_unit_test(its_place_is_taken_in_long_files_newest_first),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
