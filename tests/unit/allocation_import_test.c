/* An import, and what reads the book after it, when memory runs out: for
 * n = 1, 2, … the n-th allocation fails, SQLite's own included (beyond the first
 * hundreds, which open the book, every few). The book then has all bars of the
 * file or none of them.
 *
 * What is set up once and kept for good is excluded by one unharmed run
 * before (allocation_run_test.c says more). */
#define _GNU_SOURCE /* unlink */
#include "command_run.h"

#include "base/error.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#define PRICES TEST_DATA "/prices/short.csv"
#define SETUP SHIPPED_SETUPS "/low-inverted-hammer.yaml"

static struct printed whole; /* the bars of the book after an import */
static struct printed harmed;

static const char *const import_words[] = {"import", PRICES, "--tick", "0.01", NULL};
static const char *const bars_words[] = {"bars", "short", "--format", "csv", NULL};
static const char *const scan_words[] = {"scan", "short", "--all", "--setup", SETUP, NULL};
static const char *const trades_words[] = {"trades", "short", "--setup", SETUP, NULL};

static void remove_book(void)
{
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        char path[300];
        snprintf(path, sizeof path, "%s/rushlight/book.sqlite%s", getenv("XDG_DATA_HOME"),
                 endings[i]);
        unlink(path);
    }
}

/* All bars of the file or, with an error that says so, none. */
static void assert_all_or_none(long nth, bool imported)
{
    static struct printed found;
    run_command(&found, bars_words, 0, FAIL_ONCE);
    bool all = found.status == 0 && strcmp(found.out, whole.out) == 0;
    bool none = found.status == ERROR_INPUT && found.out[0] == '\0';
    if (!(imported ? all : all || none))
        fail_msg("allocation %ld failed, import said %d '%s', then bars %d '%s'", nth,
                 harmed.status, harmed.messages, found.status, found.messages);
}

/* Each of the first allocations, then every stride-th. */
static void import_all_or_nothing(enum allocation_failure how, long thorough, long stride)
{
    remove_book();
    long count = run_command(&harmed, import_words, 0, how).count;
    assert_int_equal(harmed.status, 0);
    for (long nth = 1; nth <= count; nth += nth < thorough ? 1 : stride) {
        remove_book();
        struct allocation_report report = run_command(&harmed, import_words, nth, how);
        if (report.held != 0)
            fail_msg("allocation %ld failed, %ld blocks are lost", nth, report.held);
        if (harmed.status != 0 && harmed.status != ERROR_MACHINE)
            fail_msg("allocation %ld failed, status %d, '%s'", nth, harmed.status, harmed.messages);
        assert_all_or_none(nth, harmed.status == 0);
    }
    printf("import: %ld allocations\n", count);
}

static void an_import_is_whole_or_nothing(void **state)
{
    (void)state;
    import_all_or_nothing(FAIL_ONCE, 600, 11);
    import_all_or_nothing(FAIL_FROM_THEN_ON, 100, 53);
}

/* Reading it again: the answer is as ever, or an error. */
static void what_reads_the_book_survives(void **state)
{
    (void)state;
    static const char *const *const readers[] = {bars_words, scan_words, trades_words};
    static struct printed unharmed;
    for (size_t i = 0; i < sizeof readers / sizeof readers[0]; i++) {
        remove_book();
        run_command(&harmed, import_words, 0, FAIL_ONCE);
        run_command(&unharmed, readers[i], 0, FAIL_ONCE);
        long count = run_command(&unharmed, readers[i], 0, FAIL_ONCE).count;
        for (long nth = 1; nth <= count; nth += nth < 600 ? 1 : 11) {
            struct allocation_report report = run_command(&harmed, readers[i], nth, FAIL_ONCE);
            bool as_ever = harmed.status == unharmed.status &&
                           strcmp(harmed.out, unharmed.out) == 0;
            if (report.held != 0 || (!as_ever && harmed.status != ERROR_MACHINE))
                fail_msg("%s: allocation %ld failed, %ld blocks are lost, status %d, '%s'",
                         readers[i][0], nth, report.held, harmed.status, harmed.messages);
        }
        assert_all_or_none(0, true);
        printf("%s: %ld allocations\n", readers[i][0], count);
    }
}

static int folder_and_answers(void **state)
{
    if (own_folder(state) != 0)
        return -1;
    run_command(&harmed, import_words, 0, FAIL_ONCE);
    run_command(&whole, bars_words, 0, FAIL_ONCE);
    return harmed.status != 0 || whole.status != 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_import_is_whole_or_nothing),
        cmocka_unit_test(what_reads_the_book_survives),
    };
    return cmocka_run_group_tests(tests, folder_and_answers, remove_folder);
}
