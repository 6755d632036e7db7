/* Bars as a table, asked by SQLite, against the bars that were stored. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "base/calendar.h"
#include "base/random.h"
#include "book/bars_store.h"
#include "book/instrument_store.h"
#include "book/query_store.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

enum { INSTRUMENTS = 3, DAYS = 2500 };

static char folder[64];
static char path[128];
static struct bars stored[INSTRUMENTS][2]; /* days, hours */

static void fill_series(struct book *book, int64_t instrument, struct bars *bars,
                        struct random_stream *random)
{
    struct error error;
    int64_t step = interval_is_dated(bars->interval) ? SECONDS_PER_DAY : 3600;
    struct bars_writer writer = {.book = book};
    for (int i = 0; i < DAYS; i++) {
        double close = 100 + (double)random_below(random, 1000) / 100;
        double volume = random_below(random, 5) == 0 ? NAN : (double)random_below(random, 1000);
        if (random_below(random, 4) > 0)
            bars_append(bars,
                        &(struct bar){1000000800 / step * step + i * step, close, close + 1,
                                      close - 1, close, volume},
                        &error);
    }
    assert_int_equal(bars_store_find(book, instrument, bars->interval, true, &writer.series,
                                     &error),
                     0);
    assert_int_equal(bars_writer_begin(&writer, &error), 0);
    assert_int_equal(bars_writer_merge(&writer, bars, &error), 0);
    bars_writer_finish(&writer);
}

static int fill_book(void **state)
{
    (void)state;
    struct book *book;
    struct error error;
    struct random_stream random;
    random_start(&random, 11, 1);
    strcpy(folder, "/tmp/rushlight-query-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/book.sqlite", folder);
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), 0);
    assert_int_equal(book_begin(book, "test", &error), 0);
    for (int n = 0; n < INSTRUMENTS; n++) {
        struct instrument instrument;
        char name[16];
        snprintf(name, sizeof name, "name-%d", n);
        assert_true(instrument_init(&instrument, name));
        assert_int_equal(instrument_store_save(book, &instrument, &error), 0);
        for (int k = 0; k < 2; k++) {
            bars_init(&stored[n][k]);
            stored[n][k].interval = (struct interval){k == 0 ? INTERVAL_DAY : INTERVAL_HOUR, 1};
            /* The second has no bars by the hour. */
            if (n != 1 || k == 0)
                fill_series(book, instrument.id, &stored[n][k], &random);
        }
    }
    assert_int_equal(book_commit(book, &error), 0);
    assert_int_equal(book_close(book, &error), 0);
    return 0;
}

static int drop_book(void **state)
{
    (void)state;
    char command[128];
    for (int n = 0; n < INSTRUMENTS; n++)
        for (int k = 0; k < 2; k++)
            bars_free(&stored[n][k]);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

/* The one row of a question. */
static void ask(const char *sql, double *first, double *second)
{
    struct book *book;
    struct query query;
    struct error error;
    bool row = false;
    assert_int_equal(book_open(&book, path, BOOK_READ, 0, &error), 0);
    if (query_open(&query, book, sql, &(const struct query_limits){NULL, NULL, 0}, &error) !=
            ERROR_NONE ||
        query_step(&query, &row, &error) != ERROR_NONE)
        fail_msg("%s: %s", sql, error.text);
    assert_true(row);
    *first = statement_number(&query.statement, 0);
    *second = statement_number(&query.statement, 1);
    assert_int_equal(query_step(&query, &row, &error), 0);
    assert_false(row);
    query_close(&query);
    assert_int_equal(book_close(book, &error), 0);
}

/* Count and sum of closes and known volumes, as asked and as stored. */
static void compare(int instrument, int kind, const char *from, const char *to, int64_t first,
                    int64_t last)
{
    char sql[400];
    double count = 0;
    double sum = 0;
    double asked_count;
    double asked_sum;
    for (int n = 0; n < INSTRUMENTS; n++) {
        for (int k = 0; k < 2; k++) {
            const struct bars *bars = &stored[n][k];
            if ((instrument >= 0 && n != instrument) || (kind >= 0 && k != kind))
                continue;
            for (size_t i = 0; i < bars->count; i++) {
                if (bars->time[i] < first || bars->time[i] > last)
                    continue;
                count++;
                sum += bars->close[i] + (isnan(bars->volume[i]) ? 0 : bars->volume[i]);
            }
        }
    }
    int length = snprintf(sql, sizeof sql,
                          "SELECT count(*), total(close + coalesce(volume, 0)) FROM "
                          "bars WHERE high > low");
    if (instrument >= 0)
        length += snprintf(sql + length, sizeof sql - (size_t)length, " AND instrument = 'name-%d'",
                           instrument);
    if (kind >= 0)
        length += snprintf(sql + length, sizeof sql - (size_t)length, " AND interval = '%s'",
                           kind == 0 ? "1d" : "1h");
    if (from != NULL)
        length += snprintf(sql + length, sizeof sql - (size_t)length, " AND time >= '%s'", from);
    if (to != NULL)
        snprintf(sql + length, sizeof sql - (size_t)length, " AND time <= '%s'", to);
    ask(sql, &asked_count, &asked_sum);
    assert_true(asked_count == count);
    assert_true(fabs(asked_sum - sum) < 1e-6 * (1 + fabs(sum)));
}

static void answers_as_stored(void **state)
{
    (void)state;
    struct random_stream random;
    random_start(&random, 12, 1);
    compare(-1, -1, NULL, NULL, INT64_MIN, INT64_MAX);
    for (int i = 0; i < 60; i++) {
        char from[CALENDAR_TEXT_SIZE];
        char to[CALENDAR_TEXT_SIZE];
        int kind = (int)random_below(&random, 2);
        int instrument = (int)random_below(&random, INSTRUMENTS + 1) - 1;
        int64_t step = kind == 0 ? SECONDS_PER_DAY : 3600;
        int64_t first = (1000000800 / step + (int64_t)random_below(&random, DAYS)) * step;
        int64_t last = first + (int64_t)random_below(&random, DAYS) * step;
        time_format(from, first, kind == 0);
        time_format(to, last, kind == 0);
        compare(instrument, kind, from, to, first, last);
        compare(instrument, kind, NULL, to, INT64_MIN, last);
        compare(instrument, kind, from, NULL, first, INT64_MAX);
    }
}

static void joins_and_strange_bounds(void **state)
{
    (void)state;
    double count;
    double other;
    ask("SELECT count(*), count(DISTINCT b.instrument) FROM instrument i JOIN bars b ON "
        "b.instrument = i.name AND b.interval = '1h'",
        &count, &other);
    assert_true(count == (double)(stored[0][1].count + stored[2][1].count) && other == 2);
    ask("SELECT count(*), sum(time < '2') FROM bars WHERE time >= '200' AND time < 'x' AND "
        "instrument = 'name-0' AND interval = '1d'",
        &count, &other);
    assert_true(count == (double)stored[0][0].count);
    ask("SELECT count(*), 0 FROM bars WHERE instrument = NULL OR interval = '7x' OR time = 5",
        &count, &other);
    assert_true(count == 0);
    ask("SELECT count(*), 0 FROM bars WHERE instrument IN ('name-1', 'name-2', 'none')", &count,
        &other);
    assert_true(count == (double)(stored[1][0].count + stored[2][0].count + stored[2][1].count));
}

/* Three months of one instrument, in a book of their own. */
static void fill_months(void)
{
    struct book *book;
    struct error error;
    struct instrument instrument;
    struct bars bars;
    bars_init(&bars);
    bars.interval = (struct interval){INTERVAL_MONTH, 1};
    for (int month = 1; month <= 3; month++) {
        const int64_t time = civil_to_time(&(const struct civil_time){2024, month, 1, 0, 0, 0});
        assert_int_equal(bars_append(&bars, &(const struct bar){time, 2, 3, 1, 2, 5}, &error), 0);
    }
    assert_int_equal(book_open(&book, path, BOOK_WRITE, 0, &error), 0);
    struct bars_writer writer = {.book = book};
    assert_int_equal(book_begin(book, "test", &error), 0);
    assert_true(instrument_init(&instrument, "monthly"));
    assert_int_equal(instrument_store_save(book, &instrument, &error), 0);
    assert_int_equal(bars_store_find(book, instrument.id, bars.interval, true, &writer.series,
                                     &error),
                     0);
    assert_int_equal(bars_writer_begin(&writer, &error), 0);
    assert_int_equal(bars_writer_merge(&writer, &bars, &error), 0);
    bars_writer_finish(&writer);
    assert_int_equal(book_commit(book, &error), 0);
    assert_int_equal(book_close(book, &error), 0);
    bars_free(&bars);
}

/* A book calls the month `mo`, as it did from the first; whoever asks may say either. */
static void months_are_found_by_either_word(void **state)
{
    static const char *const conditions[] = {
        "bars b WHERE interval = '1mo'",
        "bars b WHERE interval = '1month'",
        "bars b WHERE interval IN ('1w', '1month') AND instrument = 'monthly'",
        "bars b JOIN instrument i ON i.name = b.instrument JOIN series s ON s.instrument = i.id "
        "AND s.interval = b.interval",
    };
    char others[sizeof path];
    double count, kept;
    (void)state;
    strcpy(others, path);
    snprintf(path, sizeof path, "%s/months.sqlite", folder);
    fill_months();
    for (size_t i = 0; i < sizeof conditions / sizeof conditions[0]; i++) {
        char sql[300];
        snprintf(sql, sizeof sql, "SELECT count(*), sum(b.interval = '1mo') FROM %s",
                 conditions[i]);
        ask(sql, &count, &kept);
        assert_true(count == 3 && kept == 3);
    }
    strcpy(path, others);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_as_stored),
        cmocka_unit_test(joins_and_strange_bounds),
        cmocka_unit_test(months_are_found_by_either_word),
    };
    return cmocka_run_group_tests(tests, fill_book, drop_book);
}
