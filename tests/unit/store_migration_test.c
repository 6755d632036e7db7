/* Books of every earlier version of the schema (tests/data/books) are brought
 * to the present one: the same tables as a new book, and nothing lost. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/text.h"
#include "store/book.h"
#include "store/schema.h"

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
    strcpy(folder, "/tmp/rushlight-books-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    char command[512];
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static char *read_file(const char *name)
{
    char *bytes = calloc(1, 1 << 16);
    FILE *file = fopen(name, "rb");
    assert_non_null(file);
    size_t length = fread(bytes, 1, (1 << 16) - 1, file);
    assert_true(length > 0 && length < (1 << 16) - 1);
    fclose(file);
    return bytes;
}

/* A book made from a dump, without our own code. */
static void make_book(int version)
{
    char name[512];
    sqlite3 *handle;
    snprintf(name, sizeof name, TEST_DATA "/books/version-%d.sql", version);
    char *sql = read_file(name);
    remove(path);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    if (sqlite3_exec(handle, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%s: %s", name, sqlite3_errmsg(handle));
    sqlite3_close(handle);
    free(sql);
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

static void ask(sqlite3 *handle, const char *sql, struct text *text)
{
    if (sqlite3_exec(handle, sql, append_row, text, NULL) != SQLITE_OK)
        fail_msg("%s: %s", sql, sqlite3_errmsg(handle));
}

/* Columns, keys and indexes of every table, whatever the words that made them. */
static const char shape[] =
    "SELECT m.name, x.name, x.type, x.\"notnull\", x.dflt_value, x.pk FROM sqlite_schema m, "
    "pragma_table_info(m.name) x WHERE m.type = 'table' ORDER BY 1, 2;"
    "SELECT m.name, m.tbl_name, x.name FROM sqlite_schema m, pragma_index_info(m.name) x "
    "WHERE m.type = 'index' AND m.sql IS NOT NULL ORDER BY 1, 3;"
    "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY 1;"
    "SELECT m.name, x.\"from\", x.\"table\", x.on_delete FROM sqlite_schema m, "
    "pragma_foreign_key_list(m.name) x WHERE m.type = 'table' ORDER BY 1, 2;"
    "PRAGMA user_version; PRAGMA application_id; PRAGMA integrity_check; PRAGMA foreign_key_check";

/* What version 1 could hold, in the words up to version 8 and since; the value
 * of a kind that is called otherwise now is what it has to become. */
#define KIND_NOW "CASE kind WHEN 'coin' THEN 'cryptocurrency' ELSE kind END"
#define INSTRUMENT(size_step)                                                                      \
    "SELECT id, name, " KIND_NOW ", point_value, currency, " size_step                             \
    ", interval, zone, session_start, session_days, first_date, last_date, ended_why "             \
    "FROM instrument ORDER BY id;"
#define BARS_AND_EVENTS                                                                            \
    "SELECT * FROM tick; SELECT * FROM series; SELECT * FROM source; SELECT * FROM set_aside;"     \
    "SELECT * FROM revision; SELECT * FROM action;"                                                \
    "SELECT id, time, dated, kind, instrument, note FROM event;"
static const char *const content[] = {
    INSTRUMENT("lot_step") BARS_AND_EVENTS
    "SELECT * FROM list; SELECT list, instrument, position FROM list_member ORDER BY 1, 2",
    INSTRUMENT("size_step") BARS_AND_EVENTS
    "SELECT * FROM watchlist;"
    "SELECT watchlist, instrument, position FROM watchlist_member ORDER BY 1, 2",
};
/* What version 2 could hold besides. */
#define TRIALS(table)                                                                              \
    "SELECT id, at, command, setup, text, hash, family, instruments, data_hash, first, last, "     \
    "seed, finished, closed, mean_r, low, high, p FROM " table "; SELECT * FROM " table            \
    "_date; SELECT * FROM seal; SELECT * FROM frozen"
static const char *const trials[] = {TRIALS("try"), TRIALS("trial")};
enum { LAST_OF_FORMER_WORDS = 8, FIRST_OF_LINES = 11, FIRST_WITH_ENDS = 18 };

static void open_and_close(void)
{
    struct book *book;
    struct error error;
    if (book_open(&book, path, BOOK_WRITE, 0, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

static char *answer(const char *sql)
{
    sqlite3 *handle;
    struct text text;
    text_init(&text);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    ask(handle, sql, &text);
    sqlite3_close(handle);
    return text_take(&text);
}

static void brings_every_version_up_to_date(void **state)
{
    (void)state;
    open_and_close();
    char *new_shape = answer(shape);
    for (int version = 1; version <= schema_version; version++) {
        struct book *book;
        struct error error;
        make_book(version);
        bool words = version > LAST_OF_FORMER_WORDS;
        char *before = answer(content[words]);
        char *trials_before = version >= 2 ? answer(trials[words]) : NULL;
        assert_true(strlen(before) > 300);
        if (version < schema_version) {
            assert_int_equal(book_open(&book, path, BOOK_READ, 0, &error), ERROR_INPUT);
            assert_non_null(strstr(error.text, "is of an older rushlight"));
        }
        open_and_close();
        char *after = answer(content[1]);
        char *now = answer(shape);
        assert_string_equal(after, before);
        assert_string_equal(now, new_shape);
        if (version >= FIRST_OF_LINES) {
            /* Its newest bar, of 1990-01-04, was kept by its beginning before version 18. */
            char *since = answer("SELECT since FROM own_line WHERE id = 1");
            assert_non_null(strstr(since, "631497599"));
            free(since);
        }
        if (trials_before != NULL) {
            char *trials_after = answer(trials[1]);
            assert_string_equal(trials_after, trials_before);
            free(trials_after);
        }
        free(trials_before);
        free(before);
        free(after);
        free(now);
    }
    free(new_shape);
}

/* Where a line counts from, and until when it did, was kept before version 18 by the
 * beginning of the newest bar. UTC; the seconds are those of `date -u -d`. */
static const struct {
    const char *name;
    const char *series[2]; /* what its bars are of; NULL: none */
    int64_t begins;
    int64_t ends;
} kept_by_beginning[] = {
    {"an hour", {"1h"}, 1705323600 /* 2024-01-15 13:00 */, 1705327199},
    {"the hour of midnight", {"1h"}, 1705276800 /* 2024-01-15 */, 1705280399},
    {"five minutes", {"5m"}, 1705323900, 1705324199},
    {"a day", {"1d"}, 1705276800, 1705363199 /* 2024-01-15 23:59:59 */},
    {"an hour of a day", {"1h", "1d"}, 1705323600, 1705363199},
    {"a week", {"1w"}, 1705276800 /* a Monday */, 1705881599 /* Sunday the 21st */},
    {"a month of the 2nd", {"1mo"}, 1706832000 /* 2024-02-02 */, 1709251199 /* the 29th */},
    {"a month by its word now", {"1month"}, 1706745600 /* 2024-02-01 */, 1709251199},
    {"a quarter", {"3mo"}, 1704067200 /* 2024-01-01 */, 1711929599 /* 2024-03-31 */},
    {"bars of no length", {""}, 1705323607, 1705323607},
    {"no bars", {NULL}, 1705323607, 1705323607},
    {"its end already", {"1d"}, 1705363199, 1705363199},
};
enum { KEPT_SO = sizeof kept_by_beginning / sizeof kept_by_beginning[0], FIRST_SO = 100 };

/* Of each case an instrument with a line drawn and withdrawn at the same newest bar, one
 * drawn before any bar was there, at its own moment, one dated back, and one withdrawn
 * before any bar was there. */
static void keep_lines_by_beginning(void)
{
    struct text sql;
    sqlite3 *handle;
    text_init(&sql);
    for (int i = 0; i < KEPT_SO; i++) {
        int id = FIRST_SO + i;
        long long at = kept_by_beginning[i].begins;
        text_append_format(&sql, "INSERT INTO instrument(id, name) VALUES(%d, 'so%d');", id, id);
        for (int k = 0; k < 2 && kept_by_beginning[i].series[k] != NULL; k++)
            text_append_format(&sql, "INSERT INTO series(instrument, interval) VALUES(%d, '%s');",
                               id, kept_by_beginning[i].series[k]);
        for (int line = 0; line < 4; line++)
            text_append_format(&sql,
                               "INSERT INTO own_line VALUES(%d, %d, 'level', 0, 1.0, 0, 1.0, 0.0, "
                               "'', %lld, %lld, %d);",
                               10 * id + line, id, line == 1 ? at : 1800000000LL, at, line == 2);
        text_append_format(&sql, "INSERT INTO own_line_withdrawn VALUES(%d, 1800000001, %lld);",
                           10 * id, at);
        text_append_format(&sql,
                           "INSERT INTO own_line_withdrawn VALUES(%d, 1800000001, "
                           "-9223372036854775807 - 1);",
                           10 * id + 3);
    }
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    char *bytes = text_take(&sql);
    if (sqlite3_exec(handle, bytes, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%s", sqlite3_errmsg(handle));
    sqlite3_close(handle);
    free(bytes);
}

static void lines_count_once_their_bar_is_over(void **state)
{
    (void)state;
    make_book(FIRST_WITH_ENDS - 1);
    keep_lines_by_beginning();
    open_and_close();
    for (int i = 0; i < KEPT_SO; i++) {
        char sql[256], expected[256];
        long long begins = kept_by_beginning[i].begins;
        long long ends = kept_by_beginning[i].ends;
        snprintf(sql, sizeof sql,
                 "SELECT since, newest FROM own_line l LEFT JOIN own_line_withdrawn w ON w.line = "
                 "l.id WHERE instrument = %d ORDER BY l.id",
                 FIRST_SO + i);
        snprintf(expected, sizeof expected,
                 "%lld|%lld|\n%lld|null|\n%lld|null|\n%lld|-9223372036854775808|\n", ends, ends,
                 begins, begins, ends);
        char *found = answer(sql);
        if (strcmp(found, expected) != 0)
            fail_msg("%s: found\n%sexpected\n%s", kept_by_beginning[i].name, found, expected);
        free(found);
    }
}

/* A step that cannot be done leaves the book as it was. */
static void changes_nothing_where_a_step_fails(void **state)
{
    (void)state;
    sqlite3 *handle;
    struct book *book;
    struct error error;
    make_book(1);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    assert_int_equal(sqlite3_exec(handle, "CREATE TABLE frozen(a)", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(handle);
    char *before = answer("SELECT * FROM sqlite_schema; PRAGMA user_version");
    assert_int_not_equal(book_open(&book, path, BOOK_WRITE, 0, &error), ERROR_NONE);
    char *after = answer("SELECT * FROM sqlite_schema; PRAGMA user_version");
    assert_string_equal(after, before);
    free(before);
    free(after);
}

static void refuses(enum book_mode mode, const char *message)
{
    struct book *book;
    struct error error;
    assert_int_equal(book_open(&book, path, mode, 0, &error), ERROR_INPUT);
    if (strstr(error.text, message) == NULL)
        fail_msg("'%s' is not in '%s'", message, error.text);
}

static void knows_folders_and_empty_files(void **state)
{
    (void)state;
    remove(path);
    assert_int_equal(mkdir(path, 0777), 0);
    refuses(BOOK_READ, "is a folder; a book is one file");
    refuses(BOOK_WRITE, "is a folder; a book is one file");
    assert_int_equal(rmdir(path), 0);
    fclose(fopen(path, "w"));
    refuses(BOOK_READ, "is an empty book");
    open_and_close();
    struct book *book;
    struct error error;
    assert_int_equal(book_open(&book, path, BOOK_READ, 0, &error), ERROR_NONE);
    assert_int_equal(book_close(book, &error), ERROR_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(brings_every_version_up_to_date),
        cmocka_unit_test(lines_count_once_their_bar_is_over),
        cmocka_unit_test(changes_nothing_where_a_step_fails),
        cmocka_unit_test(knows_folders_and_empty_files),
    };
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
