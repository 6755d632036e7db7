/* Whole commands when memory runs out: for n = 1, 2, … the n-th allocation of
 * a run fails, in our code or in a library's. The command then says so with
 * exit status 4, or does without and answers as ever; it neither crashes nor
 * keeps a block.
 *
 * Each command runs once before, unharmed: what libraries set up once and keep
 * for good (ICU's time zones, OpenMP's one team of threads, the C library's
 * tables) is no loss of ours, and OpenMP ends the process where it gets no
 * memory for a team, so it has to have one.
 *
 * The book is in a folder of the test's own. After all that, it has to be
 * whole. */
#include "command_run.h"

#include "base/error.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define PRICES TEST_DATA "/prices/short.csv"
#define SETUP SHIPPED_SETUPS "/low-inverted-hammer.yaml"

static struct printed unharmed;
static struct printed harmed;

static void judge(const char *const *words, long nth, const struct allocation_report *report)
{
    if (report->held != 0)
        fail_msg("%s: allocation %ld failed, %ld blocks are lost", words[0], nth, report->held);
    bool as_ever = harmed.status == unharmed.status && strcmp(harmed.out, unharmed.out) == 0;
    if (!as_ever && harmed.status != ERROR_MACHINE)
        fail_msg("%s: allocation %ld failed, status %d, '%s'", words[0], nth, harmed.status,
                 harmed.messages);
    if (!as_ever && strstr(harmed.messages, "memory") == NULL)
        fail_msg("%s: allocation %ld failed, and all it says is '%s'", words[0], nth,
                 harmed.messages);
}

/* Every allocation up to `thorough`, then every seventh. */
static void fail_each(const char *const *words, enum allocation_failure how)
{
    enum { THOROUGH = 2000, STRIDE = 7 };
    run_command(&unharmed, words, 0, how);
    struct allocation_report report = run_command(&unharmed, words, 0, how);
    assert_int_equal(report.held, 0);
    assert_true(unharmed.status <= 1 && report.count > 0);
    long count = report.count;
    /* What a run writes into the book changes how many the next one makes, by a
     * few: then the last ones are not come to. */
    long missed = 0;
    for (long nth = 1; nth <= count; nth += nth < THOROUGH ? 1 : STRIDE) {
        report = run_command(&harmed, words, nth, how);
        missed += report.failed ? 0 : 1;
        judge(words, nth, &report);
    }
    assert_true(missed * 50 <= count);
    printf("%s: %ld allocations\n", words[0], count);
}

static const char *const runs[][MOST_WORDS] = {
    {"setup", "check", SETUP},
    {"setup", "mirror", SETUP},
    {"catalogue", "shapes", "--format", "json"},
    {"bars", PRICES, "--tick", "0.01", "--interval", "1w", "--format", "csv"},
    {"measure", PRICES, "--tick", "0.01", "--of", "rsi_average adx", "--format", "csv"},
    {"scan", PRICES, "--tick", "0.01", "--setup", SETUP, "--all"},
    {"scan", PRICES, "--tick", "0.01", "--setup", SETUP, "--nearly", "2"},
    {"scan", PRICES, PRICES, PRICES, "--setup", SETUP, "--all", "--format", "json"},
    {"trades", PRICES, "--tick", "0.01", "--setup", SETUP, "--all"},
    {"trades", PRICES, "--setup", SETUP, "--format", "json"},
};

static void each_allocation_of_each_command_may_fail(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof runs / sizeof runs[0]; i++) {
        fail_each(runs[i], FAIL_ONCE);
        fail_each(runs[i], FAIL_FROM_THEN_ON);
    }
}

/* A command entered in the book before it failed stays there as begun; the
 * book itself is sound, which the ledger reads whole to say. */
static void the_book_is_whole(void **state)
{
    (void)state;
    static const char *const words[] = {"ledger", "--format", "csv", NULL};
    run_command(&unharmed, words, 0, FAIL_ONCE);
    assert_string_equal(unharmed.messages, "");
    assert_int_equal(unharmed.status, 0);
    assert_non_null(strstr(unharmed.out, "low-inverted-hammer"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_allocation_of_each_command_may_fail),
        cmocka_unit_test(the_book_is_whole),
    };
    return cmocka_run_group_tests(tests, own_folder, remove_folder);
}
