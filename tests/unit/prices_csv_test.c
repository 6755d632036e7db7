/* Plain price files: what is kept, what is set aside and why, what is refused. */
#define _POSIX_C_SOURCE 200809L /* mkstemp, fdopen */
#include "prices/csv.h"

#include "base/calendar.h"
#include "base/random.h"
#include "base/text.h"
#include "prices/file_hash.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cmocka.h>

struct taken {
    struct bars bars;
    struct text faults; /* `line: reason | text` lines */
    struct csv_summary summary;
    struct error error;
    int code;
};

static int take_bars(void *context, const struct bars *block, struct error *error)
{
    struct taken *taken = context;
    for (size_t i = 0; i < block->count; i++) {
        struct bar bar = bars_at(block, i);
        int code = bars_append(&taken->bars, &bar, error);
        if (code != ERROR_NONE)
            return code;
    }
    return ERROR_NONE;
}

static int take_fault(void *context, const struct csv_fault *fault, struct error *error)
{
    (void)error;
    struct taken *taken = context;
    text_append_format(&taken->faults, "%llu: %s | %s\n", (unsigned long long)fault->line,
                       fault->reason, fault->text);
    return ERROR_NONE;
}

static struct taken read_bytes(const char *bytes, size_t length)
{
    struct taken taken = {.code = 0};
    struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    struct csv_sink sink = {.context = &taken, .bars = take_bars, .set_aside = take_fault};
    bars_init(&taken.bars);
    text_init(&taken.faults);
    taken.code = csv_read_memory(bytes, length, "x.csv", &options, &sink, &taken.summary,
                                 &taken.error);
    return taken;
}

static struct taken read_string(const char *text)
{
    return read_bytes(text, strlen(text));
}

static void drop(struct taken *taken)
{
    bars_free(&taken->bars);
    text_free(&taken->faults);
}

static void reads_a_daily_file(void **state)
{
    (void)state;
    struct taken t = read_string("Date,Open,High,Low,Close,Volume\n"
                                 "2004-08-19,50,51.5,49,50.5,100\n"
                                 "2004-08-20,50.5,52,-3,51,\n");
    assert_int_equal(t.code, ERROR_NONE);
    assert_int_equal(t.bars.count, 2);
    assert_int_equal(t.bars.time[0], 1092873600);
    assert_true(t.bars.low[1] == -3 && t.bars.high[0] == 51.5);
    assert_true(t.bars.volume[0] == 100 && isnan(t.bars.volume[1]));
    assert_int_equal(t.summary.facts.interval.unit, INTERVAL_DAY);
    assert_string_equal(t.faults.bytes, "");
    drop(&t);
}

static void reads_an_intraday_file_in_any_column_order(void **state)
{
    (void)state;
    struct taken t = read_string("close;low;high;open;time;other\r\n"
                                 "2;1;3;2;2020-01-02T09:30:00Z;x\r\n"
                                 "2;1;3;2;2020-01-02 10:00;x\r\n\r\n"
                                 "2;1;3;2;2020-01-02T10:30:00;x");
    assert_int_equal(t.code, ERROR_NONE);
    assert_int_equal(t.bars.count, 3);
    assert_int_equal(t.bars.time[2] - t.bars.time[0], 3600);
    assert_int_equal(t.summary.facts.interval.unit, INTERVAL_MINUTE);
    assert_int_equal(t.summary.facts.interval.count, 30);
    drop(&t);
}

/* method.md 1.2 and 1.3. */
static void sets_lines_aside_with_number_text_and_reason(void **state)
{
    (void)state;
    struct taken t = read_string("date,open,high,low,close,volume\n"
                                 "2020-01-01,1,2,0,1,5\n"
                                 "2020-01-02,9.4,9.2,9,9.4,5\n"
                                 "2020-01-01,1,2,0,1,5\n"
                                 "2019-12-31,1,2,0,1,5\n"
                                 "2020-01-03,1,1e308,0,1,5\n"
                                 "2020-01-03,1,inf,0,1,5\n"
                                 "2020-01-03,1,NaN,0,1,5\n"
                                 "2020-01-03,1,,0,1,5\n"
                                 "2020-01-03,1,2,0\n"
                                 "2020-02-30,1,2,0,1,5\n"
                                 "2020-01-03,1,2,0,1,-5\n"
                                 "\"2020-01-03,1,2,0,1,5\n"
                                 "2020-01-04,-1,-1,-2,-1.5,0\n");
    assert_int_equal(t.code, ERROR_NONE);
    assert_int_equal(t.bars.count, 2);
    assert_true(t.bars.close[1] == -1.5);
    assert_string_equal(
        t.faults.bytes,
        "3: high 9.2 is below open 9.4 | 2020-01-02,9.4,9.2,9,9.4,5\n"
        "4: time 2020-01-01 is the same as in the bar before | 2020-01-01,1,2,0,1,5\n"
        "6: high 1e+308 is beyond 1e100 in size | 2020-01-03,1,1e308,0,1,5\n"
        "7: high 'inf' is not a number | 2020-01-03,1,inf,0,1,5\n"
        "8: high is missing | 2020-01-03,1,NaN,0,1,5\n"
        "9: high is missing | 2020-01-03,1,,0,1,5\n"
        "10: 4 fields where the header has 6 | 2020-01-03,1,2,0\n"
        "11: '2020-02-30' is no date that is known here | 2020-02-30,1,2,0,1,5\n"
        "12: volume -5 is negative | 2020-01-03,1,2,0,1,-5\n"
        "13: a quote is never closed | \"2020-01-03,1,2,0,1,5\n"
        /* Known when a line behind goes on from the one before. */
        "5: time goes back from 2020-01-01 to 2019-12-31 | 2019-12-31,1,2,0,1,5\n");
    assert_int_equal(t.summary.lines, 13);
    assert_int_equal(t.summary.bars + t.summary.set_aside, 13);
    drop(&t);
}

/* Far behind the start of the file, which is looked at as a whole; also where the
 * line would be read the fast way. */
static void a_nul_ends_nothing_unseen(void **state)
{
    (void)state;
    struct text file;
    text_init(&file);
    text_append(&file, "date,open,high,low,close,note,volume\n");
    for (int i = 0; i < 365; i++) {
        char date[CALENDAR_TEXT_SIZE];
        time_format(date, (18262 + (int64_t)i) * 86400, true);
        text_append_format(&file, "%s,1,2,0,1,kept,5\n", date);
    }
    assert_true(file.length > 4096);
    static const char odd[][40] = {"2021-01-04,1,2,0,1,no\0te,5\n", "2021-01-05\0,1,2,0,1,note,5\n",
                                   "2021-01-06,1,2\0,0,1,note,5\n"};
    for (size_t i = 0; i < 3; i++)
        text_append_bytes(&file, odd[i], 27);
    text_append(&file, "2021-01-07,1,2,0,1,kept,5\n");
    struct taken t = read_bytes(file.bytes, file.length);
    assert_int_equal(t.code, ERROR_NONE);
    assert_string_equal(t.faults.bytes,
                        "367: a NUL character stands in the line | 2021-01-04,1,2,0,1,no te,5\n"
                        "368: a NUL character stands in the line | 2021-01-05 ,1,2,0,1,note,5\n"
                        "369: a NUL character stands in the line | 2021-01-06,1,2 ,0,1,note,5\n");
    assert_int_equal(t.bars.count, 366);
    text_free(&file);
    drop(&t);
}

/* Daily lines, one of them on another day than its own: in the file's order, by
 * the fast way (plain) or not (quoted), as bars or as observations. */
struct odd_file {
    int lines;
    int odd;     /* the line that is wrong, from 0; -1: none */
    int odd_day; /* instead of its own */
    bool newest_first;
    bool quoted;
    bool observations;
};

static struct taken read_odd(const struct odd_file *f)
{
    struct taken taken = {.code = 0};
    const struct csv_options options = {.interval = {INTERVAL_DAY, 1}};
    struct csv_sink sink = {.context = &taken, .bars = take_bars, .set_aside = take_fault};
    struct text text;
    text_init(&text);
    text_append(&text, f->observations ? "time,price\n" : "time,open,high,low,close\n");
    for (int i = 0; i < f->lines; i++) {
        char date[CALENDAR_TEXT_SIZE];
        int day = 18000 + (f->newest_first ? f->lines - 1 - i : i);
        time_format(date, (i == f->odd ? f->odd_day : day) * (int64_t)SECONDS_PER_DAY, true);
        text_append_format(&text, f->quoted ? "\"%s\"" : "%s", date);
        text_append(&text, f->observations ? ",5\n" : ",5,6,4,5\n");
    }
    bars_init(&taken.bars);
    text_init(&taken.faults);
    taken.code = csv_read_memory(text.bytes, text.length, "x.csv", &options, &sink, &taken.summary,
                                 &taken.error);
    text_free(&text);
    return taken;
}

static void check_odd(const struct odd_file *f)
{
    struct odd_file whole = *f;
    char start[30];
    whole.odd = -1;
    struct taken all = read_odd(&whole);
    struct taken t = read_odd(f);
    snprintf(start, sizeof start, "%d: time ", f->odd + 2);
    bool right = t.code == ERROR_NONE && t.summary.set_aside == 1 &&
                 t.bars.count + 1 == all.bars.count &&
                 strncmp(t.faults.bytes, start, strlen(start)) == 0;
    /* All days are there but that of the line. */
    int day = 18000 + (f->newest_first ? f->lines - 1 - f->odd : f->odd);
    for (size_t i = 0; right && i < t.bars.count; i++)
        right = day_of_time(t.bars.time[i]) != day && day_of_time(t.bars.time[i]) >= 18000 &&
                day_of_time(t.bars.time[i]) < 18000 + f->lines;
    if (!right)
        fail_msg("line %d of %d on day %d (newest first %d, quoted %d, observations %d): %s",
                 f->odd + 2, f->lines + 1, f->odd_day, f->newest_first, f->quoted, f->observations,
                 t.faults.bytes);
    drop(&all);
    drop(&t);
}

/* A year that lies far off, either way: wherever it can be known to be wrong,
 * that line is set aside and no other. */
static void sets_only_the_odd_time_aside(void **state)
{
    (void)state;
    enum { LINES = 12, FUTURE = 85000, PAST = 300 };
    for (int kinds = 0; kinds < 6; kinds++) {
        struct odd_file f = {.lines = LINES,
                             .newest_first = kinds % 2 != 0,
                             .quoted = kinds >= 2,
                             .observations = kinds >= 4};
        for (f.odd = 0; f.odd < LINES; f.odd++) {
            /* The last in the direction of the file, or the first against it,
             * may be right. */
            f.odd_day = f.newest_first ? PAST : FUTURE;
            if (f.odd < LINES - 1)
                check_odd(&f);
            f.odd_day = f.newest_first ? FUTURE : PAST;
            if (f.odd > 0)
                check_odd(&f);
        }
    }
}

/* The same where the file is longer than a block and than the buffer, and the
 * odd line is about their edges. */
static void sets_only_the_odd_time_aside_at_the_edges_of_blocks(void **state)
{
    (void)state;
    enum { LINES = 3 * CSV_BLOCK };
    for (int kinds = 0; kinds < 4; kinds++)
        for (int off = -3; off <= 3; off++) {
            struct odd_file f = {.lines = LINES,
                                 .odd = 2 * CSV_BLOCK + off,
                                 .newest_first = kinds % 2 != 0,
                                 .quoted = kinds >= 2};
            f.odd_day = f.newest_first ? 300 : 85000;
            check_odd(&f);
        }
}

/* Times at random: the fast way and the other set the same lines aside for the
 * same reasons. */
static void both_ways_of_reading_agree(void **state)
{
    (void)state;
    struct random_stream random;
    random_start(&random, 20260711, 0);
    for (int file = 0; file < 3000; file++) {
        struct text plain;
        struct text quoted;
        int day = 18000;
        text_init(&plain);
        text_init(&quoted);
        text_append(&plain, "time,open,high,low,close\n");
        text_append(&quoted, "time,open,high,low,close\n");
        for (uint64_t lines = 4 + random_below(&random, 12); lines > 0; lines--) {
            char date[CALENDAR_TEXT_SIZE];
            day += (int)random_below(&random, 7) - 2;
            time_format(date, day * (int64_t)SECONDS_PER_DAY, true);
            text_append_format(&plain, "%s,5,6,4,5\n", date);
            text_append_format(&quoted, "%s,\"5\",6,4,5\n", date);
        }
        struct taken a = read_string(plain.bytes);
        struct taken b = read_string(quoted.bytes);
        assert_int_equal(a.code, ERROR_NONE);
        assert_int_equal(a.bars.count, b.bars.count);
        assert_int_equal(a.summary.lines, a.summary.bars + a.summary.set_aside);
        assert_int_equal(a.summary.bars, a.bars.count);
        for (size_t i = 0; i < a.bars.count; i++)
            assert_true(a.bars.time[i] == b.bars.time[i] &&
                        (i == 0 || a.bars.time[i - 1] < a.bars.time[i]));
        /* But for the quotes in the text of a line. */
        struct text bare;
        text_init(&bare);
        for (const char *c = b.faults.bytes; *c != '\0'; c++)
            if (*c != '"')
                text_append_char(&bare, *c);
        assert_string_equal(a.faults.bytes, bare.bytes);
        text_free(&bare);
        text_free(&plain);
        text_free(&quoted);
        drop(&a);
        drop(&b);
    }
}

static void refuses(const char *bytes, size_t length, const char *message)
{
    struct taken t = read_bytes(bytes, length);
    assert_int_equal(t.code, ERROR_INPUT);
    assert_non_null(strstr(t.error.text, message));
    assert_non_null(strstr(t.error.text, "x.csv: "));
    drop(&t);
}

static void refuses_what_is_no_price_file(void **state)
{
    (void)state;
    refuses("", 0, "is empty");
    refuses("\n \n", 3, "only blank lines");
    refuses("date,open,high,low,close\n", 25, "a header and no lines");
    refuses("\x7f"
            "ELF\x02\x01\x01\x00\x00",
            9, "is no text");
    refuses("\xff\xfe"
            "d\0a\0",
            6, "UTF-16");
    refuses("d\0a\0t\0e\0", 8, "UTF-16");
    refuses("a,b,c\n1,2,3\n", 12, "no column 'date' in the header 'a,b,c'");
    refuses("date,open,high,close\n1,2,3,4\n", 29, "no column 'low'");
    refuses("date,open,open,high\n", 20, "already is it");
}

static void refuses_a_folder_and_a_missing_file(void **state)
{
    (void)state;
    struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    struct csv_sink sink = {.bars = take_bars, .set_aside = take_fault};
    struct csv_summary summary;
    struct error error;
    assert_int_equal(csv_read_file("/", &options, &sink, &summary, &error), ERROR_INPUT);
    assert_string_equal(error.text, "/: is a folder; a file of prices is needed");
    assert_int_equal(csv_read_file("/no/such", &options, &sink, &summary, &error), ERROR_INPUT);
    assert_non_null(strstr(error.text, "cannot be opened"));
}

/* From a file and from memory: the start is kept, the rest passes by, the
 * lines around it are read. */
static void sets_a_line_of_30_megabytes_aside(void **state)
{
    (void)state;
    enum { LONG = 30 * 1000 * 1000 };
    struct text text;
    text_init(&text);
    text_append(&text, "date,open,high,low,close\n2020-01-01,1,2,0,1\n");
    for (int i = 0; i < LONG / 10; i++)
        text_append(&text, "0123456789");
    text_append(&text, "\n2020-01-02,1,2,0,1\n");
    for (int from_file = 0; from_file < 2; from_file++) {
        struct taken t = {.code = 0};
        if (from_file) {
            char path[] = "/tmp/rushlight-long-XXXXXX";
            FILE *file = fdopen(mkstemp(path), "w");
            fwrite(text.bytes, 1, text.length, file);
            fclose(file);
            struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
            struct csv_sink sink = {.context = &t, .bars = take_bars, .set_aside = take_fault};
            text_init(&t.faults);
            t.code = csv_read_file(path, &options, &sink, &t.summary, &t.error);
            remove(path);
        } else {
            t = read_bytes(text.bytes, text.length);
        }
        assert_int_equal(t.code, ERROR_NONE);
        assert_int_equal(t.bars.count, 2);
        assert_int_equal(t.summary.set_aside, 1);
        assert_non_null(
            strstr(t.faults.bytes,
                   "3: the line has 30000000 bytes, more than the 65536 allowed | 0123456789"));
        assert_true(t.faults.length < 400);
        drop(&t);
    }
    text_free(&text);
}

/* Wall times of Berlin around 01:00 UTC of 27 October 2024, when its clock went
 * back from 03:00 to 02:00 (Directive 2000/84/EC: the last Sunday of October,
 * 01:00 UTC), every half hour from 23:30 UTC. */
static void read_autumn(const char *const *walls, size_t count, bool newest_first, bool observed,
                        const int64_t *expected)
{
    struct text text;
    text_init(&text);
    text_append(&text, observed ? "time,price\n" : "time,open,high,low,close\n");
    for (size_t i = 0; i < count; i++)
        text_append_format(&text, "2024-10-27 %s,%s\n", walls[newest_first ? count - 1 - i : i],
                           observed ? "1" : "1,2,0.5,1");
    struct taken taken = {.code = 0};
    struct csv_options options = {.zone = "Europe/Berlin"};
    options.interval = observed ? (struct interval){INTERVAL_MINUTE, 30}
                                : (struct interval){INTERVAL_NONE, 0};
    struct csv_sink sink = {.context = &taken, .bars = take_bars, .set_aside = take_fault};
    bars_init(&taken.bars);
    text_init(&taken.faults);
    taken.code = csv_read_memory(text.bytes, text.length, "x.csv", &options, &sink, &taken.summary,
                                 &taken.error);
    assert_int_equal(taken.code, 0);
    assert_string_equal(taken.faults.bytes, "");
    assert_int_equal(taken.bars.count, count);
    for (size_t i = 0; i < count; i++) {
        size_t at = taken.bars.time[0] < taken.bars.time[count - 1] ? i : count - 1 - i;
        assert_int_equal(taken.bars.time[at], expected[i]);
    }
    drop(&taken);
    text_free(&text);
}

static void the_second_autumn_hour_is_told_by_the_order(void **state)
{
    (void)state;
    static const char *const walls[] = {"01:00", "01:30", "02:00", "02:30",
                                        "02:00", "02:30", "03:00", "03:30"};
    static const char *const hours[] = {"00:30", "01:30", "02:30", "02:30", "03:30", "04:30"};
    static const char *const once[] = {"00:30", "01:00", "01:30", "02:30", "03:00", "03:30"};
    const int64_t change = 1729990800; /* 2024-10-27T01:00:00Z */
    int64_t half[8];
    for (int i = 0; i < 8; i++)
        half[i] = change + (i - 4) * 1800;
    const int64_t whole[] = {change - 9000, change - 5400, change - 1800,
                             change + 1800, change + 5400, change + 9000};
    const int64_t first[] = {change - 9000, change - 7200,     change - 5400,
                             change - 1800, change + 3600 + 0, change + 5400};
    for (int newest_first = 0; newest_first < 2; newest_first++) {
        read_autumn(walls, 8, newest_first, false, half);
        read_autumn(hours, 6, newest_first, false, whole);
        /* Where it stands once nobody knows, and it is the first. */
        read_autumn(once, 6, newest_first, false, first);
    }
    read_autumn(walls, 8, false, true, half);
}

/* The machine has run out, and the file is not to blame. */
static void no_file_left_to_open_is_the_machine(void **state)
{
    (void)state;
    struct rlimit before;
    assert_int_equal(getrlimit(RLIMIT_NOFILE, &before), 0);
    const struct rlimit none = {3, before.rlim_max};
    struct csv_options options = {.interval = {INTERVAL_NONE, 0}};
    struct csv_sink sink = {.bars = take_bars, .set_aside = take_fault};
    struct csv_summary summary;
    struct error error;
    char hash[FILE_HASH_SIZE];
    uint64_t size;
    int held[16];
    int count = 0;
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &none), 0);
    while (count < 16 && (held[count] = dup(0)) >= 0)
        count++;
    int read = csv_read_file(TEST_DATA "/prices/short.csv", &options, &sink, &summary, &error);
    int hashed = file_hash(TEST_DATA "/prices/short.csv", hash, &size, &error);
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &before), 0);
    while (count > 0)
        close(held[--count]);
    assert_int_equal(read, ERROR_MACHINE);
    assert_int_equal(hashed, ERROR_MACHINE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_second_autumn_hour_is_told_by_the_order),
        cmocka_unit_test(no_file_left_to_open_is_the_machine),
        cmocka_unit_test(reads_a_daily_file),
        cmocka_unit_test(reads_an_intraday_file_in_any_column_order),
        cmocka_unit_test(sets_lines_aside_with_number_text_and_reason),
        cmocka_unit_test(a_nul_ends_nothing_unseen),
        cmocka_unit_test(sets_only_the_odd_time_aside),
        cmocka_unit_test(sets_only_the_odd_time_aside_at_the_edges_of_blocks),
        cmocka_unit_test(both_ways_of_reading_agree),
        cmocka_unit_test(refuses_what_is_no_price_file),
        cmocka_unit_test(refuses_a_folder_and_a_missing_file),
        cmocka_unit_test(sets_a_line_of_30_megabytes_aside),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
