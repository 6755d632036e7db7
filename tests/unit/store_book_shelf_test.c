#define _XOPEN_SOURCE 700 /* mkdtemp */
/* Books that wait open between one piece of work and the next.
 * No source outside the project. */
#include "store/book_shelf.h"

#include <pthread.h>
#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[] = "/tmp/rushlight-shelf-XXXXXX";
static char path[64];
static char aside[64];

static int make_folder(void **state)
{
    (void)state;
    if (mkdtemp(folder) == NULL)
        return 1;
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    snprintf(aside, sizeof aside, "%s/aside.sqlite", folder);
    return 0;
}

static void remove_book(const char *book)
{
    static const char *const endings[] = {"", "-wal", "-shm"};
    for (size_t i = 0; i < 3; i++) {
        char file[80];
        snprintf(file, sizeof file, "%s%s", book, endings[i]);
        unlink(file);
    }
}

static int remove_folder(void **state)
{
    (void)state;
    remove_book(path);
    remove_book(aside);
    return rmdir(folder);
}

static void write_book(const char *sql)
{
    struct book *book;
    struct error error;
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 1, &error), ERROR_NONE);
    assert_int_equal(book_begin(book, "a test", &error), ERROR_NONE);
    assert_int_equal(book_run(book, sql, &error), ERROR_NONE);
    assert_int_equal(book_done(book, book_commit(book, &error), &error), ERROR_NONE);
}

static void begin(struct book_shelf **shelf)
{
    struct error error;
    remove_book(path);
    remove_book(aside);
    write_book("INSERT INTO instrument(name) VALUES ('first')");
    assert_int_equal(book_shelf_new(shelf, path, &error), ERROR_NONE);
}

static struct book *take(struct book_shelf *shelf)
{
    struct book *book = NULL;
    struct error error = {0};
    if (book_shelf_take(shelf, &book, 1, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return book;
}

static void put_back(struct book *book)
{
    struct error error;
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

static int64_t instruments(struct book *book)
{
    struct statement statement;
    struct error error;
    bool row;
    assert_int_equal(statement_prepare(&statement, book, "SELECT count(*) FROM instrument", &error),
                     ERROR_NONE);
    assert_int_equal(statement_step(&statement, &row, &error), ERROR_NONE);
    int64_t count = statement_integer(&statement, 0);
    statement_finish(&statement);
    return count;
}

static void lends_the_same_again_and_sees_what_was_written(void **state)
{
    struct book_shelf *shelf;
    (void)state;
    begin(&shelf);
    struct book *first = take(shelf);
    struct book *second = take(shelf);
    assert_ptr_not_equal(first, second);
    assert_int_equal(instruments(first), 1);
    put_back(first);
    write_book("INSERT INTO instrument(name) VALUES ('second')");
    assert_ptr_equal(take(shelf), first);
    assert_int_equal(instruments(first), 2);
    put_back(first);
    put_back(second);
    book_shelf_free(shelf);
}

static void lets_go_of_what_is_not_at_rest(void **state)
{
    struct book_shelf *shelf;
    struct statement statement;
    struct error error;
    bool row;
    (void)state;
    begin(&shelf);
    struct book *book = take(shelf);
    assert_int_equal(statement_prepare(&statement, book, "SELECT name FROM instrument", &error),
                     ERROR_NONE);
    assert_int_equal(statement_step(&statement, &row, &error), ERROR_NONE);
    assert_int_equal(book_close(book, &error), ERROR_MACHINE); /* and it is closed */
    sqlite3_finalize(statement.handle);
    book_shelf_free(shelf);
}

static void does_not_lend_another_file(void **state)
{
    struct book_shelf *shelf;
    (void)state;
    begin(&shelf);
    struct book *waiting = take(shelf);
    struct book *lent = take(shelf);
    put_back(waiting);
    assert_int_equal(rename(path, aside), 0);
    write_book("INSERT INTO instrument(name) VALUES ('x'), ('y'), ('z')");
    put_back(lent); /* of the file that is gone: closed */
    struct book *book = take(shelf);
    assert_int_equal(instruments(book), 3);
    put_back(book);
    book_shelf_free(shelf);
}

static void does_not_lend_another_schema(void **state)
{
    struct book_shelf *shelf;
    struct book *book;
    struct error error;
    (void)state;
    begin(&shelf);
    put_back(take(shelf));
    write_book("PRAGMA user_version = 9999");
    assert_int_equal(book_shelf_take(shelf, &book, 1, &error), ERROR_INPUT);
    assert_null(book);
    book_shelf_free(shelf);
}

enum { WORKERS = 8, ROUNDS = 60 };

static void *work(void *context)
{
    struct book_shelf *shelf = context;
    for (int i = 0; i < ROUNDS; i++) {
        struct book *book = take(shelf);
        if (instruments(book) != 1)
            return shelf;
        put_back(book);
    }
    return NULL;
}

static void lends_to_many_threads(void **state)
{
    pthread_t threads[WORKERS];
    struct book_shelf *shelf;
    (void)state;
    begin(&shelf);
    for (int i = 0; i < WORKERS; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, work, shelf), 0);
    for (int i = 0; i < WORKERS; i++) {
        void *failed;
        pthread_join(threads[i], &failed);
        assert_null(failed);
    }
    book_shelf_free(shelf);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lends_the_same_again_and_sees_what_was_written),
        cmocka_unit_test(lets_go_of_what_is_not_at_rest),
        cmocka_unit_test(does_not_lend_another_file),
        cmocka_unit_test(does_not_lend_another_schema),
        cmocka_unit_test(lends_to_many_threads),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
