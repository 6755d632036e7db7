/* Answers kept in the book: all of them come back as they were, none is changed.
 * What SQLite itself says of the table is the other side of it. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "evidence/answer_store.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[64];
static char path[128];

static int make_folder(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/rushlight-answers-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    unlink(path);
    return rmdir(folder);
}

static struct book *open_book(void)
{
    struct book *book = NULL;
    struct error error;
    if (book_open(&book, path, BOOK_WRITE, 1, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return book;
}

static int64_t add(struct book *book, const struct kept_answer *answer)
{
    struct error error;
    int64_t id = 0;
    assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
    if (answer_store_add(book, answer, &id, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(book_commit(book, &error), ERROR_NONE);
    return id;
}

static void compare(const struct kept_answer *found, const struct kept_answer *kept)
{
    assert_int_equal(found->made, kept->made);
    assert_int_equal(found->kind, kept->kind);
    assert_string_equal(found->setup, kept->setup);
    assert_string_equal(found->against, kept->against);
    assert_string_equal(found->list, kept->list);
    assert_string_equal(found->setup_hash, kept->setup_hash);
    assert_string_equal(found->against_hash, kept->against_hash);
    assert_string_equal(found->data_hash, kept->data_hash);
    assert_int_equal(found->until, kept->until);
    assert_int_equal(found->seed, kept->seed);
    assert_int_equal(found->resamples, kept->resamples);
    assert_string_equal(found->numbers, kept->numbers);
    assert_int_equal(found->markets, kept->markets);
    assert_int_equal(found->next, kept->next);
    assert_int_equal(found->trades, kept->trades);
    assert_true(found->mean_r == kept->mean_r || (isnan(found->mean_r) && isnan(kept->mean_r)));
    assert_true(found->low == kept->low || (isnan(found->low) && isnan(kept->low)));
    assert_true(found->high == kept->high || (isnan(found->high) && isnan(kept->high)));
    assert_string_equal(found->opening, kept->opening);
}

static void kept_as_they_were(void **state)
{
    (void)state;
    static char low[] = "low", other[] = "other", reeds[] = "reeds", none[] = "";
    static char opening[] = "It gained.\nIt may be \"luck\".\n", body[] = "<p>\xC3\xA9</p>";
    static char moved[] = "exit.targets.1.r,entry.bars";
    const struct kept_answer kept[] = {
        {0,     1700000000, ANSWER_STUDY, low, none, none, "aa",     "",    "bb",    INT64_MAX, 1,
         10000, none,       300,          50,  30,   0.1,  -1.0 / 3, 1e300, opening, body},
        {0,          1700000001, ANSWER_COMPARISON,
         low,        other,      reeds,
         "aa",       "cc",       "bb",
         1600000000, -5,         2000,
         none,       0,          100,
         0,          NAN,        NAN,
         NAN,        none,       none},
        {0,         1700000002, ANSWER_SENSITIVITY,
         low,       none,       reeds,
         "aa",      "",         "bb",
         INT64_MIN, 9,          200,
         moved,     0,          100,
         0,         NAN,        NAN,
         NAN,       opening,    body},
        {0,   1700000003, ANSWER_FORWARD, low, none, reeds, "aa", "",  "bb", 0,
         1,   10000,      none,           1,   0,    1,     -1,   NAN, NAN,  opening,
         body},
    };
    enum { COUNT = sizeof kept / sizeof kept[0] };
    struct book *book = open_book();
    struct error error;
    int64_t ids[COUNT];
    for (size_t i = 0; i < COUNT; i++)
        ids[i] = add(book, &kept[i]);
    for (size_t i = 0; i < COUNT; i++) {
        struct kept_answer found;
        bool there = false;
        assert_int_equal(answer_store_find(book, ids[i], &found, &there, &error), ERROR_NONE);
        assert_true(there);
        compare(&found, &kept[i]);
        assert_string_equal(found.body, kept[i].body);
        kept_answer_clear(&found);
    }
    struct kept_answer *list = NULL;
    size_t count = 0;
    assert_int_equal(answer_store_all(book, &list, &count, &error), ERROR_NONE);
    assert_int_equal(count, COUNT);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(list[i].id, ids[COUNT - 1 - i]);
        assert_null(list[i].body);
        compare(&list[i], &kept[COUNT - 1 - i]);
    }
    kept_answers_free(list, count);
    bool there = true;
    struct kept_answer missing;
    assert_int_equal(answer_store_find(book, 999, &missing, &there, &error), ERROR_NONE);
    assert_false(there);
    assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
    assert_int_not_equal(book_run(book, "UPDATE answer SET mean_r = 2", &error), ERROR_NONE);
    assert_non_null(strstr(error.text, "never changed"));
    book_rollback(book);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(kept_as_they_were, make_folder, drop_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
