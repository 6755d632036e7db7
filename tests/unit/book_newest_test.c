/* The plain table of the newest bars, read by SQLite and none of our code, is
 * after every import what the packed bars end with. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "base/random.h"
#include "base/text.h"
#include "book/import.h"
#include "book/instrument_store.h"
#include "book/newest_store.h"

#include <math.h>
#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static char folder[64];
static char path[128];
static char file[128];
static struct book *book;

static int make_book(void **state)
{
    (void)state;
    struct error error;
    strcpy(folder, "/tmp/rushlight-newest-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    snprintf(file, sizeof file, "%s/prices.csv", folder);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), 0);
    return 0;
}

static int drop_book(void **state)
{
    (void)state;
    char command[160];
    struct error error;
    assert_int_equal(book_close(book, &error), 0);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

/* Days (or quarters of an hour) first .. last-1, `shift` dearer than usual; every
 * seventh has no volume, unless `volumes`. */
static void write_file(bool dated, int first, int last, double shift, bool volumes)
{
    char time[CALENDAR_TEXT_SIZE];
    FILE *out = fopen(file, "w");
    assert_non_null(out);
    fprintf(out, "time,open,high,low,close,volume\n");
    for (int i = first; i < last; i++) {
        double price = 100 + (i * 37 % 101) / 4.0 + shift;
        time_format(time,
                    1000000800 / SECONDS_PER_DAY * SECONDS_PER_DAY +
                        (int64_t)i * (dated ? SECONDS_PER_DAY : 900),
                    dated);
        fprintf(out, "%s,%g,%g,%g,%g,", time, price, price + 1, price - 1, price);
        fprintf(out, i % 7 == 0 && !volumes ? "\n" : "%d\n", i);
    }
    fclose(out);
}

static int import(const char *name, bool replace, struct error *error)
{
    struct import_result result;
    const struct import_watch watch = {NULL, NULL, NULL, NULL};
    const struct import_options options = {.instrument = name, .replace = replace};
    return import_file(book, file, &options, &watch, &result, error);
}

static int append_row(void *text, int columns, char **values, char **names)
{
    (void)names;
    for (int i = 0; i < columns; i++)
        text_append_format(text, "%s|", values[i] != NULL ? values[i] : "null");
    text_append_char(text, '\n');
    return 0;
}

/* All rows, as another program reads them. */
static char *table_rows(void)
{
    sqlite3 *handle;
    struct text text;
    text_init(&text);
    assert_int_equal(sqlite3_open_v2(path, &handle, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_exec(handle,
                                  "SELECT instrument, interval, time, printf('%.17g', open), "
                                  "printf('%.17g', high), printf('%.17g', low), "
                                  "printf('%.17g', close), printf('%g', volume), volume IS NULL "
                                  "FROM newest_bars ORDER BY instrument, interval, time",
                                  append_row, &text, NULL),
                     SQLITE_OK);
    sqlite3_close(handle);
    return text_take(&text);
}

static void append_series(struct text *text, const struct instrument *instrument,
                          const struct stored_series *series)
{
    struct bars bars;
    struct error error;
    char interval[INTERVAL_TEXT_SIZE];
    char time[CALENDAR_TEXT_SIZE];
    bars_init(&bars);
    interval_format(interval, series->interval);
    assert_int_equal(bars_store_load(book, series, INT64_MIN, INT64_MAX, &bars, &error), 0);
    for (size_t i = bars.count > 300 ? bars.count - 300 : 0; i < bars.count; i++) {
        bool unknown = isnan(bars.volume[i]);
        time_format(time, bars.time[i], interval_is_dated(bars.interval));
        text_append_format(text, "%s|%s|%s|%.17g|%.17g|%.17g|%.17g|%g|%d|\n", instrument->name,
                           interval, time, bars.open[i], bars.high[i], bars.low[i], bars.close[i],
                           unknown ? 0 : bars.volume[i], unknown);
    }
    bars_free(&bars);
}

/* What the table has to hold, from the packed bars. */
static char *packed_rows(void)
{
    struct text text;
    struct error error;
    struct instrument *instruments = NULL;
    size_t count = 0;
    text_init(&text);
    assert_int_equal(instrument_store_all(book, &instruments, &count, &error), 0);
    for (size_t i = 0; i < count; i++) {
        struct stored_series *series = NULL;
        size_t series_count = 0;
        assert_int_equal(bars_store_list(book, instruments[i].id, &series, &series_count, &error),
                         0);
        /* The shorter comes first, as 15m does before 1d where SQLite sorts. */
        for (size_t k = 0; k < series_count; k++)
            append_series(&text, &instruments[i], &series[k]);
        free(series);
    }
    free(instruments);
    return text_take(&text);
}

static void assert_up_to_date(size_t rows)
{
    char *found = table_rows();
    char *expected = packed_rows();
    size_t lines = 0;
    assert_string_equal(found, expected);
    for (const char *at = found; *at != '\0'; at++)
        lines += *at == '\n';
    assert_int_equal(lines, rows);
    free(found);
    free(expected);
}

static void take(const char *name, bool replace)
{
    struct error error;
    if (import(name, replace, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
}

static void follows_every_import(void **state)
{
    (void)state;
    struct error error;
    write_file(true, 1000, 1200, 0, false);
    take("elm", false);
    assert_up_to_date(200);
    write_file(true, 1150, 3000, 0, false); /* new ones */
    take("elm", false);
    assert_up_to_date(300);
    write_file(true, 500, 1100, 0, false); /* older ones change nothing here */
    take("elm", false);
    assert_up_to_date(300);
    write_file(true, 2900, 2950, 0.5, false); /* kept out, and then not */
    take("elm", false);
    assert_up_to_date(300);
    take("elm", true);
    assert_up_to_date(300);
    write_file(true, 2800, 2990, 0, true); /* volume that was not known */
    take("elm", false);
    assert_up_to_date(300);
    write_file(false, 0, 2100, 0, false); /* another interval, another instrument */
    take("elm", false);
    write_file(true, 0, 3, 0, false);
    take("oak", false);
    assert_up_to_date(603);
    write_file(true, 3000, 3000, 0, false); /* no bar: nothing happens */
    assert_int_equal(import("oak", false, &error), ERROR_INPUT);
    assert_up_to_date(603);
}

/* A book of an older version, whose table is empty. */
static void is_filled_once(void **state)
{
    (void)state;
    struct error error;
    assert_int_equal(book_begin(book, "test", &error), 0);
    assert_int_equal(book_run(book, "DELETE FROM newest_bars", &error), 0);
    assert_int_equal(book_commit(book, &error), 0);
    assert_int_equal(newest_store_fill(book, &error), 0);
    assert_up_to_date(603);
    assert_int_equal(newest_store_fill(book, &error), 0);
    assert_up_to_date(603);
    /* The name goes with the instrument's, and the bars with the instrument. */
    assert_int_equal(book_begin(book, "test", &error), 0);
    assert_int_equal(book_run(book, "UPDATE instrument SET name = 'ash' WHERE name = 'elm'",
                              &error),
                     0);
    assert_int_equal(book_commit(book, &error), 0);
    assert_up_to_date(603);
    assert_int_equal(book_begin(book, "test", &error), 0);
    assert_int_equal(book_run(book, "DELETE FROM instrument WHERE name = 'ash'", &error), 0);
    assert_int_equal(book_commit(book, &error), 0);
    assert_up_to_date(3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(follows_every_import),
        cmocka_unit_test(is_filled_once),
    };
    return cmocka_run_group_tests(tests, make_book, drop_book);
}
