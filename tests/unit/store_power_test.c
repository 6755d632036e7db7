/* A book through power cuts and full disks: each transaction is there whole or
 * not at all, one that was said to be kept is kept, and the file is sound. What
 * SQLite promises of unsynced writes: https://www.sqlite.org/atomiccommit.html */
#include "base/text.h"
#include "market/bars_store.h"
#include "market/event_store.h"
#include "market/instrument_store.h"
#include "power_vfs.h"

#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { TRANSACTIONS = 4, STATES = TRANSACTIONS + 1 };

/* Not a path of the real disk: the file system of the test knows it. */
static const char path[] = "book-in-memory";

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
        return code == ERROR_NONE ? list_store_add(book, "evening", "amber", error) : code;
    }
    if (which == 2)
        return write_bars(book, instrument.id, 2000, 9000, 60, error);
    snprintf(instrument.ended_why, sizeof instrument.ended_why, "taken over");
    code = instrument_store_save(book, &instrument, error);
    return code == ERROR_NONE ? list_store_drop(book, "evening", error) : code;
}

/* Does all transactions until one fails; *kept counts those that were said to
 * be kept, -1: the book could not even be opened. */
static void run(int *kept)
{
    struct book *book;
    struct error error;
    *kept = -1;
    if (book_open(&book, path, BOOK_WRITE, 0, &error) != ERROR_NONE)
        return;
    *kept = 0;
    for (int i = 0; i < TRANSACTIONS; i++) {
        int code = book_begin(book, "test", &error);
        if (code == ERROR_NONE)
            code = work(book, i, &error);
        if (code == ERROR_NONE)
            code = book_commit(book, &error);
        if (code != ERROR_NONE) {
            book_rollback(book);
            break;
        }
        ++*kept;
    }
    book_close(book, &error);
}

static int append_row(void *context, int columns, char **values, char **names)
{
    (void)names;
    for (int i = 0; i < columns; i++) {
        text_append(context, values[i] != NULL ? values[i] : "null");
        text_append_char(context, '|');
    }
    text_append_char(context, '\n');
    return 0;
}

/* Everything in the book as text, the caller's to free. */
static char *read_all(void)
{
    static const char *const questions[] =
        {"SELECT * FROM instrument ORDER BY id",
         "SELECT * FROM series ORDER BY id",
         "SELECT id, series, first, last, count, hex(data) FROM chunk ORDER BY series, first",
         "SELECT * FROM list",
         "SELECT * FROM list_member",
         "SELECT * FROM event",
         "SELECT * FROM tick",
         "PRAGMA integrity_check"};
    struct book *book;
    struct error error;
    struct text text;
    if (book_open(&book, path, BOOK_WRITE, 0, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    text_init(&text);
    for (size_t i = 0; i < sizeof questions / sizeof questions[0]; i++)
        if (sqlite3_exec(book_handle(book), questions[i], append_row, &text, NULL) != SQLITE_OK)
            fail_msg("%s: %s", questions[i], sqlite3_errmsg(book_handle(book)));
    assert_int_equal(book_close(book, &error), ERROR_NONE);
    assert_false(text_failed(&text));
    if (text.length < 4 || strcmp(text.bytes + text.length - 4, "ok|\n") != 0)
        fail_msg("the book is damaged: %s",
                 text.bytes + (text.length < 300 ? 0 : text.length - 300));
    return text_take(&text);
}

static char *states[STATES];
static long writes; /* and syncs of a whole run */

/* The states between transactions, from a run in which nothing goes wrong. */
static int learn_states(void **state)
{
    (void)state;
    struct book *book;
    struct error error;
    int kept;
    power_vfs_begin();
    for (int count = 0; count < STATES; count++) {
        power_vfs_clear();
        assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), ERROR_NONE);
        for (int i = 0; i < count; i++) {
            assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
            assert_int_equal(work(book, i, &error), ERROR_NONE);
            assert_int_equal(book_commit(book, &error), ERROR_NONE);
        }
        assert_int_equal(book_close(book, &error), ERROR_NONE);
        states[count] = read_all();
        assert_true(count == 0 || strcmp(states[count], states[count - 1]) != 0);
    }
    power_vfs_clear();
    run(&kept);
    assert_int_equal(kept, TRANSACTIONS);
    writes = power_vfs_count();
    return 0;
}

static int forget_states(void **state)
{
    (void)state;
    power_vfs_clear();
    for (int i = 0; i < STATES; i++)
        free(states[i]);
    return 0;
}

/* What was kept is there; the one under way may be. */
static void judge(int kept, const char *what, long nth, uint64_t seed)
{
    char *now = read_all();
    int least = kept > 0 ? kept : 0;
    bool right = strcmp(now, states[least]) == 0 ||
                 (kept >= 0 && kept < TRANSACTIONS && strcmp(now, states[least + 1]) == 0);
    free(now);
    if (!right)
        fail_msg("%s at write %ld, seed %llu: %d transactions were kept, and the book is in none "
                 "of the states it may be in",
                 what, nth, (unsigned long long)seed, kept);
}

static void survives_power_cuts(void **state)
{
    (void)state;
    int kept;
    assert_true(writes > 100);
    for (long nth = 1; nth <= writes; nth++) {
        for (uint64_t seed = 1; seed <= 2; seed++) {
            power_vfs_clear();
            power_vfs_arm(POWER_CUT, nth);
            run(&kept);
            power_vfs_restore(seed * 1000003 + (uint64_t)nth);
            judge(kept, "power cut", nth, seed);
        }
    }
}

/* A write or sync that fails, alone or with all after it. */
static void survives_failing_writes(void **state)
{
    (void)state;
    static const enum power_trouble troubles[] = {POWER_FULL_ONCE, POWER_FULL};
    int kept;
    for (size_t t = 0; t < 2; t++) {
        for (long nth = 1; nth <= writes; nth++) {
            power_vfs_clear();
            power_vfs_arm(troubles[t], nth);
            run(&kept);
            power_vfs_arm(POWER_GOOD, 0);
            judge(kept, t == 0 ? "one failure" : "full disk", nth, 0);
        }
    }
}

static void says_that_the_disk_is_full(void **state)
{
    (void)state;
    struct book *book;
    struct error error;
    power_vfs_clear();
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), ERROR_NONE);
    assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
    assert_int_equal(work(book, 0, &error), ERROR_NONE);
    power_vfs_arm(POWER_FULL, 1);
    assert_int_equal(book_commit(book, &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "book-in-memory: test: the disk is full; nothing of it was "
                                       "kept, and the book is as it was"));
    power_vfs_arm(POWER_GOOD, 0);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(survives_power_cuts),
        cmocka_unit_test(survives_failing_writes),
        cmocka_unit_test(says_that_the_disk_is_full),
    };
    return cmocka_run_group_tests(tests, learn_states, forget_states);
}
