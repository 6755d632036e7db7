/* Setups in the book: versions in their order, none lost, none changed, and two
 * who write at once are told of each other. The rows are looked at with plain
 * SQL beside the store. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "book/setup_store.h"

#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[64];
static char path[512];

static int make_book(void **state)
{
    struct book *book;
    struct error error;
    strcpy(folder, "/tmp/rushlight-setups-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), ERROR_NONE);
    *state = book;
    return 0;
}

static int drop_book(void **state)
{
    struct error error;
    assert_int_equal(book_close(*state, &error), ERROR_NONE);
    unlink(path);
    return rmdir(folder);
}

static int keep(struct book *book, const char *name, const char *text, int64_t expected,
                int64_t *number, struct error *error)
{
    assert_int_equal(book_begin(book, "test", error), ERROR_NONE);
    int code = setup_store_keep(book, name, text, expected, 1700000000, number, error);
    if (code != ERROR_NONE) {
        book_rollback(book);
        return code;
    }
    return book_commit(book, error);
}

static void keeps_versions_in_order(void **state)
{
    struct error error = {0};
    struct setup_versions versions;
    char *text = NULL;
    int64_t number = 0;
    assert_int_equal(keep(*state, "low", "one", 0, &number, &error), ERROR_NONE);
    assert_int_equal(number, 1);
    assert_int_equal(keep(*state, "low", "two", 1, &number, &error), ERROR_NONE);
    assert_int_equal(number, 2);
    /* The same text again is the same version. */
    assert_int_equal(keep(*state, "low", "two", 2, &number, &error), ERROR_NONE);
    assert_int_equal(number, 2);
    /* An older text again is a version of its own. */
    assert_int_equal(keep(*state, "low", "one", -1, &number, &error), ERROR_NONE);
    assert_int_equal(number, 3);
    assert_int_equal(keep(*state, "high", "other", 0, &number, &error), ERROR_NONE);
    assert_int_equal(setup_store_versions(*state, "low", &versions, &error), ERROR_NONE);
    assert_int_equal(versions.count, 3);
    assert_string_equal(versions.list[0].text, "one");
    assert_string_equal(versions.list[1].text, "two");
    assert_string_equal(versions.list[2].text, "one");
    setup_versions_free(&versions);
    assert_int_equal(setup_store_newest(*state, &versions, &error), ERROR_NONE);
    assert_int_equal(versions.count, 2);
    assert_string_equal(versions.list[0].name, "high");
    assert_int_equal(versions.list[1].number, 3);
    setup_versions_free(&versions);
    assert_int_equal(setup_store_text(*state, "low", 2, &text, &error), ERROR_NONE);
    assert_string_equal(text, "two");
    free(text);
    assert_int_equal(setup_store_text(*state, "low", 0, &text, &error), ERROR_NONE);
    assert_string_equal(text, "one");
    free(text);
    assert_int_equal(setup_store_text(*state, "low", 4, &text, &error), ERROR_NONE);
    assert_null(text);
}

static void refuses_what_was_overtaken(void **state)
{
    struct error error = {0};
    int64_t number = 0;
    assert_int_equal(keep(*state, "low", "one", 0, &number, &error), ERROR_NONE);
    assert_int_equal(keep(*state, "low", "mine", 0, &number, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "version 1 was kept meanwhile"));
    static const char *const names[] =
        {"",   "Low",        "a/b",
         "..", "low hammer", "a123456789b123456789c123456789d123456789e123456789f123456789g"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        assert_int_equal(keep(*state, names[i], "x", -1, &number, &error), ERROR_INPUT);
}

/* Not even with SQL of one's own. */
static void no_version_goes(void **state)
{
    struct error error = {0};
    int64_t number = 0;
    sqlite3 *handle;
    assert_int_equal(keep(*state, "low", "one", 0, &number, &error), ERROR_NONE);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    assert_int_not_equal(sqlite3_exec(handle, "DELETE FROM setup_version", NULL, NULL, NULL),
                         SQLITE_OK);
    assert_int_not_equal(sqlite3_exec(handle, "UPDATE setup_version SET text = 'x'", NULL, NULL,
                                      NULL),
                         SQLITE_OK);
    sqlite3_close(handle);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(keeps_versions_in_order, make_book, drop_book),
        cmocka_unit_test_setup_teardown(refuses_what_was_overtaken, make_book, drop_book),
        cmocka_unit_test_setup_teardown(no_version_goes, make_book, drop_book),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
