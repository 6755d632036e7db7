/* Accounts in the book: what is kept, what it comes to, and that nothing is changed
 * (docs/method.md 9.8). */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "desk/account_store.h"
#include "work/account.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static char folder[64];
static char path[128];

enum { NOW = 1700000000 };

static int make_folder(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/rushlight-desk-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    char command[256];
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static struct work *open_work(int64_t as_of)
{
    struct wishes wishes;
    struct work *work;
    struct error error;
    wishes_init(&wishes);
    wishes.book = path;
    wishes.now = NOW;
    wishes.as_of = as_of;
    static const struct voice silent;
    assert_int_equal(work_open(&work, &wishes, &silent, &error), 0);
    return work;
}

static void done(struct work *work)
{
    struct error error;
    assert_int_equal(work_close(work, ERROR_NONE, &error), 0);
}

static void move(enum movement_kind kind, const char *amount, int64_t at, int expected)
{
    const struct account_movement movement = {kind, amount, at, NULL};
    struct error error;
    struct work *work = open_work(INT64_MAX);
    assert_int_equal(account_move(work, "own", &movement, &error), expected);
    done(work);
}

static void correct(const char *number, const char *amount)
{
    struct error error;
    struct work *work = open_work(INT64_MAX);
    if (account_correct(work, "own", number, amount, "misread", &error) != 0)
        fail_msg("%s", error.text);
    done(work);
}

static void balance_is(int64_t as_of, int64_t units)
{
    struct account_view view;
    struct error error;
    struct work *work = open_work(as_of);
    assert_int_equal(account_open(work, "own", &view, &error), 0);
    if (view.balance.units != units)
        fail_msg("balance %lld, not %lld", (long long)view.balance.units, (long long)units);
    account_close(&view);
    done(work);
}

static int64_t day(int number)
{
    return (int64_t)number * SECONDS_PER_DAY;
}

static void balances_are_those_of_their_dates(void **state)
{
    (void)state;
    struct error error;
    struct work *work = open_work(INT64_MAX);
    assert_int_equal(account_make(work, "own", "EUR", &error), 0);
    assert_int_equal(account_make(work, "own", "USD", &error), ERROR_INPUT);
    done(work);
    move(MOVED_IN, "1000", day(10), 0);
    move(MOVED_OUT, "100.10", day(20) + 3600, 0);
    move(MOVED_LOSS, "0.01", day(15), 0); /* entered later, of an earlier day */
    move(MOVED_GAIN, "0", day(15), ERROR_INPUT);
    move(MOVED_GAIN, "-5", day(15), ERROR_INPUT);
    move(MOVED_GAIN, "5", NOW + 1, ERROR_INPUT);
    balance_is(day(9), 0);
    balance_is(day(10), 100000);
    balance_is(day(15), 99999);
    balance_is(day(19), 99999);
    balance_is(day(20), 89989); /* to the end of that day */
    balance_is(INT64_MAX, 89989);
    /* The withdrawal was 90, then 95: each the difference, from its date on. */
    correct("2", "90");
    balance_is(INT64_MAX, 90999);
    correct("2", "95");
    balance_is(INT64_MAX, 90499);
    balance_is(day(19), 99999);
    move(MOVED_IN, "92233720368547758.07", INT64_MIN, ERROR_INPUT);
    balance_is(INT64_MAX, 90499);
}

/* What fits at the end may not fit before: the account would be locked at that date, for good. */
static void every_balance_can_be_held(void **state)
{
    (void)state;
    move(MOVED_IN, "92233720368546000", day(40), 0);
    move(MOVED_OUT, "92233720368546000", day(42), 0);
    balance_is(INT64_MAX, 90499);
    move(MOVED_IN, "900", day(39), ERROR_INPUT); /* it would be too much on day 40 */
    move(MOVED_IN, "900", day(40), ERROR_INPUT);
    move(MOVED_IN, "900", day(42), 0);
    balance_is(day(41), 9223372036854690499);
    balance_is(INT64_MAX, 180499);
}

static void nothing_that_was_entered_is_changed(void **state)
{
    (void)state;
    static const char *const wishes[] = {"DELETE FROM account",
                                         "DELETE FROM account_entry",
                                         "UPDATE account_entry SET units = 1",
                                         "UPDATE account SET currency = 'USD'",
                                         "DELETE FROM account_term",
                                         "UPDATE account_term SET value = '2%'"};
    struct error error;
    struct work *work = open_work(INT64_MAX);
    const char *const texts[TERM_COUNT] = {[TERM_RISK] = "1%"};
    const char *const labels[TERM_COUNT] = {[TERM_RISK] = "risk"};
    assert_int_equal(account_set_terms(work, "own", texts, labels, &error), 0);
    done(work);
    for (size_t i = 0; i < sizeof wishes / sizeof wishes[0]; i++) {
        struct book *book;
        assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), 0);
        assert_int_equal(book_begin(book, "a test", &error), 0);
        assert_int_not_equal(book_run(book, wishes[i], &error), 0);
        assert_non_null(strstr(error.text, "is never"));
        book_rollback(book);
        assert_int_equal(book_close(book, &error), 0);
    }
}

static void the_newest_terms_hold(void **state)
{
    (void)state;
    struct account_view view;
    struct fraction number;
    struct error error;
    const char *const labels[TERM_COUNT] =
        {[TERM_RISK] = "risk", [TERM_PAUSE] = "pause", [TERM_LEVERAGE] = "leverage"};
    const char *const first[TERM_COUNT] =
        {[TERM_RISK] = "250", [TERM_PAUSE] = "4", [TERM_LEVERAGE] = "2.5"};
    const char *const second[TERM_COUNT] = {[TERM_PAUSE] = "", [TERM_LEVERAGE] = "3"};
    const char *const bad[TERM_COUNT] = {[TERM_LEVERAGE] = "5", [TERM_PAUSE] = "0"};
    struct work *work = open_work(INT64_MAX);
    assert_int_equal(account_set_terms(work, "own", first, labels, &error), 0);
    assert_int_equal(account_set_terms(work, "own", second, labels, &error), 0);
    assert_int_equal(account_set_terms(work, "own", bad, labels, &error), ERROR_INPUT);
    assert_int_equal(account_open(work, "own", &view, &error), 0);
    assert_string_equal(view.terms.text[TERM_RISK], "250");
    assert_false(account_term_number(&view.terms, TERM_PAUSE, &number));
    assert_true(account_term_number(&view.terms, TERM_LEVERAGE, &number));
    assert_int_equal(fraction_compare(number, fraction_of(3, 1)), 0);
    account_close(&view);
    done(work);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(balances_are_those_of_their_dates),
        cmocka_unit_test(every_balance_can_be_held),
        cmocka_unit_test(nothing_that_was_entered_is_changed),
        cmocka_unit_test(the_newest_terms_hold),
    };
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
