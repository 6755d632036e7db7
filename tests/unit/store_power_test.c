/* A book through power cuts and full disks: each transaction is there whole or
 * not at all, one that was said to be kept is kept, and the file is sound. What
 * SQLite promises of unsynced writes: https://www.sqlite.org/atomiccommit.html */
#include "book/bars_store.h"
#include "book/event_store.h"
#include "book/instrument_store.h"
#include "book/list_store.h"
#include "power_run.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

enum { TRANSACTIONS = 4 };

/* Days from..to with some close; the same days again are contradictions. */
static int write_bars(struct book *book, int64_t instrument, int from, int to, double close,
                      struct error *error)
{
    struct bars_writer writer = {.book = book, .replace = true};
    struct bars bars;
    bars_init(&bars);
    int code = bars_store_find(book, instrument, (struct interval){INTERVAL_DAY, 1}, true,
                               &writer.series, error);
    for (int i = from; code == ERROR_NONE && i < to; i++) {
        double last = close + (double)(i * 7919 % 997) / 100;
        code = bars_append(&bars,
                           &(struct bar){(int64_t)i * 86400, last, last + 2, last - 2, last, i},
                           error);
    }
    int begun = code == ERROR_NONE ? bars_writer_begin(&writer, error) : code;
    code = begun;
    if (code == ERROR_NONE)
        code = bars_writer_merge(&writer, &bars, error);
    bars_writer_finish(&writer);
    bars_free(&bars);
    return code;
}

/* The work of transaction `which`. */
static int work(struct book *book, int which, struct error *error)
{
    struct instrument instrument;
    struct event event = {.time = 86400, .dated = true, .kind = "earnings", .instrument = "amber"};
    bool flag = false;
    int code = ERROR_NONE;
    if (which == 0) {
        instrument_init(&instrument, "amber");
        code = instrument_store_save(book, &instrument, error);
        return code == ERROR_NONE ? write_bars(book, instrument.id, 0, 5000, 100, error) : code;
    }
    code = instrument_store_find(book, "amber", &instrument, &flag, error);
    if (code != ERROR_NONE || !flag)
        return code;
    if (which == 1) {
        code = event_store_add(book, &event, &flag, error);
        return code == ERROR_NONE ? list_store_add(book, "evening", "amber", 1000, error) : code;
    }
    if (which == 2)
        return write_bars(book, instrument.id, 2000, 9000, 60, error);
    snprintf(instrument.ended_why, sizeof instrument.ended_why, "taken over");
    code = instrument_store_save(book, &instrument, error);
    return code == ERROR_NONE ? list_store_drop(book, "evening", 2000, error) : code;
}

/* The same as a transaction of its own. */
static int step(struct book *book, int which, struct error *error)
{
    int code = book_begin(book, "test", error);
    if (code == ERROR_NONE)
        code = work(book, which, error);
    if (code == ERROR_NONE)
        return book_commit(book, error);
    book_rollback(book);
    return code;
}

static struct power_run run = {.step = step, .count = TRANSACTIONS};

static int learn(void **state)
{
    (void)state;
    if (!power_run_learn(&run))
        print_error("%s\n", run.failure.text);
    return run.failure.code;
}

static int forget(void **state)
{
    (void)state;
    power_run_forget(&run);
    return 0;
}

static void survives_power_cuts(void **state)
{
    (void)state;
    assert_true(run.writes > 100);
    if (!power_run_survives(&run, POWER_CUT, 2))
        fail_msg("%s", run.failure.text);
}

/* A write or sync that fails, alone or with all after it. */
static void survives_failing_writes(void **state)
{
    (void)state;
    if (!power_run_survives(&run, POWER_FULL_ONCE, 1) || !power_run_survives(&run, POWER_FULL, 1))
        fail_msg("%s", run.failure.text);
}

static void says_that_the_disk_is_full(void **state)
{
    (void)state;
    struct book *book;
    struct error error;
    power_vfs_clear();
    assert_int_equal(book_open(&book, POWER_BOOK, BOOK_WRITE, 0, &error), ERROR_NONE);
    assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
    assert_int_equal(work(book, 0, &error), ERROR_NONE);
    power_vfs_arm(POWER_FULL, 1);
    assert_int_equal(book_commit(book, &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "book-in-memory: test: the disk is full; nothing of it was "
                                       "kept, and the book is as it was"));
    power_vfs_arm(POWER_GOOD, 0);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

/* Everything was written and the sync behind it failed: the book may hold it. */
static void says_so_where_it_is_not_known_what_was_kept(void **state)
{
    (void)state;
    struct book *book;
    struct error error;
    struct event event = {.time = 86400, .dated = true, .kind = "earnings"};
    int code = ERROR_MACHINE;
    int there = 0;
    for (long nth = 1; code != ERROR_NONE; nth++) {
        bool added = false;
        power_vfs_clear();
        assert_int_equal(book_open(&book, POWER_BOOK, BOOK_WRITE, 0, &error), ERROR_NONE);
        assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
        assert_int_equal(event_store_add(book, &event, &added, &error), ERROR_NONE);
        power_vfs_arm(POWER_FULL_ONCE, nth);
        code = book_commit(book, &error);
        bool unsure = code != ERROR_NONE && strstr(error.text, "either all of it was kept or "
                                                               "nothing") != NULL;
        /* The process ends; the machine goes on. */
        power_vfs_arm(POWER_CUT, 0);
        book_close(book, &error);
        power_vfs_arm(POWER_GOOD, 0);
        assert_int_equal(book_open(&book, POWER_BOOK, BOOK_WRITE, 0, &error), ERROR_NONE);
        assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
        assert_int_equal(event_store_add(book, &event, &added, &error), ERROR_NONE);
        assert_int_equal(book_commit(book, &error), ERROR_NONE);
        assert_int_equal(book_close(book, &error), ERROR_NONE);
        there += unsure && !added;
        if (code != ERROR_NONE && !unsure)
            assert_true(added);
    }
    assert_true(there > 0);
}

/* With any argument at every place, which takes minutes. */
int main(int argc, char **argv)
{
    (void)argv;
    run.every = argc > 1;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(survives_power_cuts),
        cmocka_unit_test(survives_failing_writes),
        cmocka_unit_test(says_that_the_disk_is_full),
        cmocka_unit_test(says_so_where_it_is_not_known_what_was_kept),
    };
    return cmocka_run_group_tests(tests, learn, forget);
}
