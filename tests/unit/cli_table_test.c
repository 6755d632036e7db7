/* Tables as text, CSV and JSON; JSON is read back by Jansson. */
#define _POSIX_C_SOURCE 200809L /* open_memstream */
#include "cli/table.h"

#include "version.h"

#include <jansson.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const struct column columns[] = {
    {"name", "name", COLUMN_TEXT, 0, ""},    {"close", "close", COLUMN_NUMBER, 2, ""},
    {"bars", "bars", COLUMN_INTEGER, 0, ""}, {"met", "met", COLUMN_BOOLEAN, 0, ""},
    {"note", "note", COLUMN_TEXT, 0, ""},
};

enum { COLUMN_COUNT = sizeof columns / sizeof columns[0] };

static void add_row(struct table *table, const char *name, double close, int64_t bars, bool met,
                    const char *note)
{
    table_text(table, name);
    table_number(table, close);
    table_integer(table, bars);
    table_integer(table, met);
    table_text(table, note);
}

/* The caller frees what was printed. */
static char *print(enum output_format format, size_t rows, const char *closing)
{
    char *printed = NULL;
    size_t size = 0;
    struct error error = {0};
    struct call call = {.format = format};
    struct table table;
    call.out = open_memstream(&printed, &size);
    assert_non_null(call.out);
    table_begin(&table, &call, "rows", columns, COLUMN_COUNT);
    if (rows > 0)
        add_row(&table, "lamp \xc3\xa9tal\xc3\xb3n", 0.1 + 0.2, -5, true, NULL);
    if (rows > 1) {
        table_flush(&table);
        add_row(&table, "a,\"b\"", NAN, 1000000, false, "x");
    }
    if (rows > 2)
        add_row(&table, "inf", INFINITY, 0, false, "y");
    assert_int_equal(table_end(&table, closing, &error), ERROR_NONE);
    fclose(call.out);
    return printed;
}

static void assert_prints(enum output_format format, size_t rows, const char *closing,
                          const char *expected)
{
    char *printed = print(format, rows, closing);
    assert_string_equal(printed, expected);
    free(printed);
}

static void text_is_aligned(void **state)
{
    (void)state;
    assert_prints(FORMAT_TEXT, 2, "Two of them.",
                  "name         close     bars  met  note\n"
                  "lamp \xc3\xa9tal\xc3\xb3n   0.30       -5  yes\n"
                  "a,\"b\"               1000000   no  x\n"
                  "\nTwo of them.\n");
    assert_prints(FORMAT_TEXT, 0, "None.", "None.\n");
    assert_prints(FORMAT_TEXT, 0, NULL, "");
}

/* RFC 4180; numbers read back the same. */
static void csv_has_a_header(void **state)
{
    (void)state;
    assert_prints(FORMAT_CSV, 3, "unsaid",
                  "name,close,bars,met,note\n"
                  "lamp \xc3\xa9tal\xc3\xb3n,0.30000000000000004,-5,1,\n"
                  "\"a,\"\"b\"\"\",,1000000,0,x\n"
                  "inf,inf,0,0,y\n");
    assert_prints(FORMAT_CSV, 0, NULL, "name,close,bars,met,note\n");
}

static void json_is_one_object(void **state)
{
    (void)state;
    for (size_t rows = 0; rows <= 3; rows++) {
        char *printed = print(FORMAT_JSON, rows, "unsaid");
        json_t *object = json_loads(printed, 0, NULL);
        assert_non_null(object);
        assert_string_equal(json_string_value(json_object_get(object, "rushlight")),
                            RUSHLIGHT_VERSION);
        json_t *array = json_object_get(object, "rows");
        assert_int_equal(json_array_size(array), rows);
        if (rows > 1) {
            json_t *first = json_array_get(array, 0);
            json_t *second = json_array_get(array, 1);
            assert_true(json_real_value(json_object_get(first, "close")) == 0.1 + 0.2);
            assert_int_equal(json_integer_value(json_object_get(first, "bars")), -5);
            assert_true(json_is_true(json_object_get(first, "met")));
            assert_true(json_is_null(json_object_get(first, "note")));
            assert_true(json_is_null(json_object_get(second, "close")));
            assert_string_equal(json_string_value(json_object_get(second, "name")), "a,\"b\"");
        }
        json_decref(object);
        free(printed);
    }
}

static void a_failed_write_is_an_error(void **state)
{
    (void)state;
    struct error error = {0};
    struct call call = {.format = FORMAT_CSV, .out = fopen("/dev/full", "w")};
    struct table table;
    assert_non_null(call.out);
    table_begin(&table, &call, "rows", columns, COLUMN_COUNT);
    for (int i = 0; i < 1000; i++)
        add_row(&table, "lamp-tallow", 1, 2, true, "enough to fill the stream's own buffer");
    assert_int_equal(table_end(&table, NULL, &error), ERROR_MACHINE);
    fclose(call.out);
}

/* Half of it was passed on, and then there was an error: what is written stays,
 * nothing else comes, and nothing leaks (the sanitizers look). */
static void an_abandoned_table_says_no_more(void **state)
{
    (void)state;
    char *printed = NULL;
    size_t size = 0;
    struct table table;
    struct call call = {.format = FORMAT_CSV, .out = open_memstream(&printed, &size)};
    assert_non_null(call.out);
    table_begin(&table, &call, "rows", columns, COLUMN_COUNT);
    add_row(&table, "a", 1, 2, true, NULL);
    table_flush(&table);
    add_row(&table, "b", 1, 2, true, NULL);
    table_abandon(&table);
    fclose(call.out);
    assert_string_equal(printed, "name,close,bars,met,note\na,1,2,1,\n");
    free(printed);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_is_aligned),
        cmocka_unit_test(csv_has_a_header),
        cmocka_unit_test(json_is_one_object),
        cmocka_unit_test(a_failed_write_is_an_error),
        cmocka_unit_test(an_abandoned_table_says_no_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
