/* Bars in the book: what goes in comes out, bit for bit; merging against a
 * plain model. */
#define _POSIX_C_SOURCE 200809L /* mkdtemp */
#include "book/bars_pack.h"
#include "book/bars_store.h"

#include "base/random.h"

#include <math.h>
#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[64];
static char path[512];

static int make_folder(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/rushlight-store-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a/book.sqlite", folder);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    char command[512];
    snprintf(command, sizeof command, "chmod -R u+w %s; rm -rf %s", folder, folder);
    return system(command);
}

static struct book *open_book(enum book_mode mode)
{
    struct book *book;
    struct error error = {0};
    if (book_open(&book, path, mode, 0, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return book;
}

static void close_book(struct book *book)
{
    struct error error;
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

static int64_t add_instrument(struct book *book)
{
    struct error error;
    assert_int_equal(book_run(book, "INSERT INTO instrument(name) VALUES('x')", &error), 0);
    return book_last_row(book);
}

static void same_bars(const struct bars *a, const struct bars *b)
{
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++) {
        struct bar x = bars_at(a, i);
        struct bar y = bars_at(b, i);
        if (isnan(x.volume) && isnan(y.volume))
            x.volume = y.volume = 0;
        assert_memory_equal(&x, &y, sizeof x);
    }
}

/* Every kind of column: cents, eighths, raw doubles, negative, huge, NaN. */
static void packs_exactly(void **state)
{
    (void)state;
    struct random_stream random;
    struct error error;
    random_start(&random, 7, 1);
    for (int kind = 0; kind < 400; kind++) {
        static unsigned char bytes[PACK_ROOM];
        struct bars bars;
        struct bars back;
        bars_init(&bars);
        bars_init(&back);
        size_t count = 1 + random_below(&random, PACK_MOST);
        int64_t step[] = {1, 60, 1800, 86400};
        int64_t time = (int64_t)random_below(&random, 4000000000u) - 2000000000;
        time -= time % step[kind % 4];
        for (size_t i = 0; i < count; i++) {
            double p[4];
            for (int j = 0; j < 4; j++) {
                double whole = (double)random_below(&random, 1000000) - 500000;
                p[j] = kind % 5 == 0   ? whole / 100
                       : kind % 5 == 1 ? whole / 8
                       : kind % 5 == 2 ? random_normal(&random) * 1e90
                       : kind % 5 == 3 ? whole * 1e9
                                       : 1.5;
            }
            double volume = kind % 3 == 0              ? NAN
                            : kind % 3 == 1            ? (double)random_below(&random, 99)
                            : random_below(&random, 2) ? NAN
                                                       : 3.25;
            bars_append(&bars, &(struct bar){time, p[0], p[1], p[2], p[3], volume}, &error);
            time += step[kind % 4] * (int64_t)(1 + random_below(&random, 3));
        }
        size_t length = bars_pack(&bars, 0, count, bytes);
        assert_int_equal(bars_unpack(&back, bytes, length, count, &error), ERROR_NONE);
        same_bars(&bars, &back);
        /* Cut or changed bytes are an error or other bars, never a crash. */
        for (int i = 0; i < 20; i++) {
            back.count = 0;
            bytes[random_below(&random, length)] ^= (unsigned char)(1 + random_below(&random, 255));
            bars_unpack(&back, bytes, random_below(&random, length + 1), count, &error);
        }
        bars_free(&bars);
        bars_free(&back);
    }
}

enum { TIMES = 6000 };

/* Random blocks into the book and into an array by time. */
static void merges_as_a_plain_model_does(void **state)
{
    (void)state;
    struct random_stream random;
    struct error error = {0};
    static double model[TIMES]; /* close by time; NaN for none */
    struct book *book = open_book(BOOK_WRITE);
    random_start(&random, 3, 1);
    for (int round = 0; round < 12; round++) {
        assert_int_equal(book_begin(book, "test", &error), ERROR_NONE);
        book_run(book, "DELETE FROM instrument", &error);
        struct bars_writer writer = {.book = book, .replace = round % 2};
        uint64_t added = 0;
        uint64_t contradicted = 0;
        int64_t instrument = add_instrument(book);
        assert_int_equal(bars_store_find(book, instrument, (struct interval){INTERVAL_DAY, 1}, true,
                                         &writer.series, &error),
                         0);
        assert_int_equal(bars_writer_begin(&writer, &error), ERROR_NONE);
        for (int i = 0; i < TIMES; i++)
            model[i] = NAN;
        for (int piece = 0; piece < 12; piece++) {
            struct bars block;
            bars_init(&block);
            size_t at = random_below(&random, TIMES);
            size_t end = at + 1 + random_below(&random, 3000);
            for (; at < end && at < TIMES;
                 at += 1 + random_below(&random, 2 + (uint64_t)piece % 3)) {
                double close = 1 + (double)random_below(&random, 2);
                bars_append(&block, &(struct bar){(int64_t)at * 86400, 1, 3, 0, close, 1}, &error);
                added += isnan(model[at]) ? 1 : 0;
                contradicted += !isnan(model[at]) && model[at] != close;
                if (isnan(model[at]) || writer.replace)
                    model[at] = close;
            }
            assert_int_equal(bars_writer_merge(&writer, &block, &error), ERROR_NONE);
            bars_free(&block);
        }
        assert_int_equal(writer.added, added);
        assert_int_equal(writer.replaced + writer.kept_out, contradicted);
        bars_writer_finish(&writer);
        assert_int_equal(book_commit(book, &error), ERROR_NONE);
        struct bars stored;
        struct stored_series series;
        bars_init(&stored);
        assert_int_equal(bars_store_find(book, instrument, (struct interval){INTERVAL_DAY, 1},
                                         false, &series, &error),
                         0);
        assert_int_equal(bars_store_load(book, &series, INT64_MIN, INT64_MAX, &stored, &error), 0);
        assert_int_equal(series.count, stored.count);
        size_t n = 0;
        for (int i = 0; i < TIMES; i++) {
            if (isnan(model[i]))
                continue;
            assert_int_equal(stored.time[n], (int64_t)i * 86400);
            assert_true(stored.close[n++] == model[i]);
        }
        assert_int_equal(stored.count, n);
        bars_free(&stored);
    }
    close_book(book);
}

static void guards_what_is_written(void **state)
{
    (void)state;
    struct error error;
    struct statement statement;
    struct book *book = open_book(BOOK_WRITE);
    assert_int_equal(statement_prepare(&statement, book, "INSERT INTO watchlist(name) VALUES('a')",
                                       &error),
                     0);
    assert_int_equal(statement_run(&statement, &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "a write outside a transaction"));
    assert_int_equal(book_begin(book, "the first", &error), ERROR_NONE);
    assert_int_equal(book_begin(book, "the second", &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "'the second' cannot begin while 'the first' is under way"));
    assert_int_equal(book_close(book, &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "a statement was not finished: INSERT INTO watchlist"));
    sqlite3_finalize(statement.handle); /* the book is gone, and with it its count */
}

static void refuses(enum book_mode mode, int code, const char *message)
{
    struct book *book;
    struct error error = {0};
    assert_int_equal(book_open(&book, path, mode, 0, &error), code);
    assert_null(book);
    if (strstr(error.text, message) == NULL)
        fail_msg("'%s' is not in '%s'", message, error.text);
}

static void write_file(const char *bytes, size_t length)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fwrite(bytes, 1, length, file);
    fclose(file);
}

static void says_what_is_wrong_with_a_book(void **state)
{
    (void)state;
    struct error error;
    refuses(BOOK_READ, ERROR_INPUT, "there is no book yet");
    struct book *book = open_book(BOOK_WRITE);
    book_begin(book, "test", &error);
    add_instrument(book);
    book_commit(book, &error);
    /* In use: another holds the write lock. */
    struct book *other = open_book(BOOK_WRITE);
    assert_int_equal(book_begin(book, "holding", &error), ERROR_NONE);
    assert_int_equal(book_begin(other, "waiting", &error), ERROR_MACHINE);
    assert_non_null(strstr(error.text, "in use by another process"));
    book_rollback(book);
    close_book(other);
    /* Newer: left as it is. */
    assert_int_equal(book_run(book, "PRAGMA user_version = 9999", &error), ERROR_NONE);
    close_book(book);
    refuses(BOOK_WRITE, ERROR_INPUT, "newer rushlight (version 9999");
    refuses(BOOK_READ, ERROR_INPUT, "newer rushlight");
    /* Another program's, and none at all. */
    write_file("SQLite format 3", 16);
    refuses(BOOK_WRITE, ERROR_INPUT, "no book");
    write_file("just text, long enough to be looked at by anybody", 49);
    refuses(BOOK_WRITE, ERROR_INPUT, "no book");
    char command[2048];
    snprintf(command, sizeof command, "rm %s; sqlite3 %s 'create table t(a)' 2>/dev/null", path,
             path);
    if (system(command) == 0)
        refuses(BOOK_WRITE, ERROR_INPUT, "the file of another program");
}

/* A page of zeroes in the middle: said, not served. */
static void says_that_a_book_is_damaged(void **state)
{
    (void)state;
    struct error error;
    struct book *book = open_book(BOOK_WRITE);
    close_book(book);
    FILE *file = fopen(path, "r+b");
    char zeroes[4096] = {0};
    fseek(file, 100, SEEK_SET);
    fwrite(zeroes, 1, 3000, file);
    fclose(file);
    struct book *opened = NULL;
    assert_int_equal(book_open(&opened, path, BOOK_READ, 0, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "the book is damaged; go back to a backup"));
}

static void reads_in_a_folder_that_cannot_be_written(void **state)
{
    (void)state;
    struct error error;
    char above[512];
    struct book *book = open_book(BOOK_WRITE);
    book_begin(book, "test", &error);
    add_instrument(book);
    book_commit(book, &error);
    close_book(book);
    if (geteuid() == 0)
        skip(); /* nothing is forbidden to root */
    snprintf(above, sizeof above, "%s/a", folder);
    assert_int_equal(chmod(above, 0555), 0);
    book = open_book(BOOK_READ);
    close_book(book);
    refuses(BOOK_WRITE, ERROR_MACHINE, "permissions");
}

static void copies_a_book_in_use(void **state)
{
    (void)state;
    struct error error;
    char copy[512];
    struct book *book = open_book(BOOK_WRITE);
    struct book *other = open_book(BOOK_WRITE);
    book_begin(book, "test", &error);
    add_instrument(book);
    book_commit(book, &error);
    /* Another is in the middle of writing; the copy is of what was committed. */
    assert_int_equal(book_begin(other, "other", &error), ERROR_NONE);
    assert_int_equal(book_run(other, "INSERT INTO instrument(name) VALUES('y')", &error), 0);
    snprintf(copy, sizeof copy, "%s/copy.sqlite", folder);
    assert_int_equal(book_backup(book, copy, &error), ERROR_NONE);
    assert_int_equal(book_backup(book, copy, &error), ERROR_INPUT);
    close_book(other);
    close_book(book);
    strcpy(path, copy);
    book = open_book(BOOK_READ);
    struct statement statement;
    bool row;
    assert_int_equal(statement_prepare(&statement, book,
                                       "SELECT group_concat(name) FROM instrument", &error),
                     0);
    assert_int_equal(statement_step(&statement, &row, &error), 0);
    assert_string_equal(statement_text(&statement, 0), "x");
    statement_finish(&statement);
    close_book(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(packs_exactly),
        cmocka_unit_test_setup_teardown(merges_as_a_plain_model_does, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(guards_what_is_written, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(says_what_is_wrong_with_a_book, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(says_that_a_book_is_damaged, make_folder, drop_folder),
        cmocka_unit_test_setup_teardown(reads_in_a_folder_that_cannot_be_written, make_folder,
                                        drop_folder),
        cmocka_unit_test_setup_teardown(copies_a_book_in_use, make_folder, drop_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
