/* Setups kept in a book in former words (tests/data/books/version-6.sql, which
 * a program of that version wrote) are read as what they are called now, count
 * as the same trial, and stay as they were written; a file in them is refused
 * with the present word. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "evidence/evidence_store.h"
#include "setup/difference.h"

#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* The setup of the fixture, in present words. */
static const char present
    [] = "setup: former\ntitle: mean of all\nfamily: mean\nside: long\n"
         "candle: {shape: inverted-hammer, limits: {body_max_average: 0.9}}\n"
         "place:\n"
         "  - close_below_average: {bars: 30, interval: 1w}\n"
         "  - average_falling: {bars: 20}\n"
         "  - compare: {value: {exponential_average: {bars: 5}}, below: {average: {bars: 50}}}\n"
         "confirm:\n  at_least: 1\n  of:\n"
         "    - at_own_level: {width_atr: 0.5}\n"
         "    - volume_above_average: {bars: 20, times: 1.5}\n"
         "entry: {on: break_of_high}\nstop: {at: candle_low}\nexit: {time_stop: 30}\n"
         "least_mean_r: 0.3\n";

struct fixture {
    char folder[64];
    struct book *book;
    struct text present;
};

static void make_book(const char *path)
{
    char sql[1 << 16];
    sqlite3 *handle;
    FILE *file = fopen(TEST_DATA "/books/version-6.sql", "rb");
    assert_non_null(file);
    size_t length = fread(sql, 1, sizeof sql - 1, file);
    assert_true(length > 0 && length < sizeof sql - 1);
    sql[length] = '\0';
    fclose(file);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    assert_int_equal(sqlite3_exec(handle, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(handle);
}

static int make(void **state)
{
    static struct fixture fixture;
    struct setup setup;
    struct error error;
    char path[96];
    *state = &fixture;
    strcpy(fixture.folder, "/tmp/rushlight-former-XXXXXX");
    assert_non_null(mkdtemp(fixture.folder));
    snprintf(path, sizeof path, "%s/book.sqlite", fixture.folder);
    make_book(path);
    assert_int_equal(book_open(&fixture.book, path, BOOK_WRITE, 0, &error), ERROR_NONE);
    text_init(&fixture.present);
    if (setup_read(&setup, "present", present, strlen(present), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    setup_write(&setup, &fixture.present);
    setup_free(&setup);
    return 0;
}

static int unmake(void **state)
{
    struct fixture *fixture = *state;
    struct error error;
    char command[160];
    text_free(&fixture->present);
    assert_int_equal(book_close(fixture->book, &error), ERROR_NONE);
    snprintf(command, sizeof command, "rm -rf '%s'", fixture->folder);
    return system(command);
}

static void a_frozen_setup_is_read(void **state)
{
    struct fixture *fixture = *state;
    struct setup setup;
    struct error error;
    struct text text;
    int64_t since = 0;
    if (frozen_read(fixture->book, "former", &setup, &since, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    text_init(&text);
    setup_write(&setup, &text);
    assert_string_equal(text.bytes, fixture->present.bytes);
    text_free(&text);
    setup_free(&setup);
}

static int no_difference(void *context, const char *part, const char *first, const char *second,
                         struct error *error)
{
    (void)context;
    (void)error;
    fail_msg("%s: %s, %s", part, first, second);
    return ERROR_NONE;
}

/* The hash of the line is that of the same setup in present words, so that a
 * study of it is no new trial; its text is as it was. */
static void a_trial_is_the_same_trial(void **state)
{
    struct fixture *fixture = *state;
    struct ledger ledger;
    struct error error;
    char hash[HASH_TEXT_SIZE];
    assert_int_equal(ledger_read(&ledger, fixture->book, "mean", &error), ERROR_NONE);
    assert_int_equal(ledger.count, 1);
    hash_text(hash, fixture->present.bytes, fixture->present.length);
    assert_string_equal(ledger.lines[0].hash, hash);
    assert_non_null(strstr(ledger.lines[0].text, "worth_r: 0.3"));
    assert_int_equal(setup_differences(ledger.lines[0].text, fixture->present.bytes, no_difference,
                                       NULL, &error),
                     ERROR_NONE);
    ledger_free(&ledger);
}

static void refused(const char *from, const char *to, const char *word)
{
    char text[sizeof present + 64];
    char expected[160];
    struct setup setup;
    struct error error;
    const char *at = strstr(present, from);
    assert_non_null(at);
    snprintf(text, sizeof text, "%.*s%s%s", (int)(at - present), present, to, at + strlen(from));
    assert_int_equal(setup_read(&setup, "old.yaml", text, strlen(text), &error), ERROR_INPUT);
    snprintf(expected, sizeof expected, ": %s: is a former word; write %s instead", to, word);
    if (strstr(error.text, expected) == NULL)
        fail_msg("'%s' is not in '%s'", expected, error.text);
}

static void a_file_in_former_words_is_refused(void **state)
{
    (void)state;
    refused("close_below_average", "close_below_mean", "close_below_average");
    refused("at_own_level", "at_own_mark", "at_own_level");
    refused("time_stop", "time_limit", "time_stop");
    refused("least_mean_r", "worth_r", "least_mean_r");
    refused("exponential_average", "exponential_mean", "exponential_average");
    refused("body_max_average", "body_max_mean", "body_max_average");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_frozen_setup_is_read),
        cmocka_unit_test(a_trial_is_the_same_trial),
        cmocka_unit_test(a_file_in_former_words_is_refused),
    };
    return cmocka_run_group_tests(tests, make, unmake);
}
