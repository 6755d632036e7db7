/* Plain price files: what is kept, what is set aside and why, what is refused. */
#define _POSIX_C_SOURCE 200809L /* mkstemp, fdopen */
#include "market/csv.h"

#include "base/text.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
        "5: time goes back from 2020-01-01 to 2019-12-31 | 2019-12-31,1,2,0,1,5\n"
        "6: high 1e+308 is beyond 1e100 in size | 2020-01-03,1,1e308,0,1,5\n"
        "7: high 'inf' is not a number | 2020-01-03,1,inf,0,1,5\n"
        "8: high is missing | 2020-01-03,1,NaN,0,1,5\n"
        "9: high is missing | 2020-01-03,1,,0,1,5\n"
        "10: 4 fields where the header has 6 | 2020-01-03,1,2,0\n"
        "11: '2020-02-30' is no date that is known here | 2020-02-30,1,2,0,1,5\n"
        "12: volume -5 is negative | 2020-01-03,1,2,0,1,-5\n"
        "13: a quote is never closed | \"2020-01-03,1,2,0,1,5\n");
    assert_int_equal(t.summary.lines, 13);
    assert_int_equal(t.summary.bars + t.summary.set_aside, 13);
    drop(&t);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_a_daily_file),
        cmocka_unit_test(reads_an_intraday_file_in_any_column_order),
        cmocka_unit_test(sets_lines_aside_with_number_text_and_reason),
        cmocka_unit_test(refuses_what_is_no_price_file),
        cmocka_unit_test(refuses_a_folder_and_a_missing_file),
        cmocka_unit_test(sets_a_line_of_30_megabytes_aside),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
