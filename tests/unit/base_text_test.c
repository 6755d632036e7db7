/* Texts and what they are escaped to, against the standards' own examples and
 * against general libraries (ICU, Jansson). */
#include "base/text.h"

#include "base/array.h"
#include "base/error.h"
#include "base/random.h"

#include <jansson.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unicode/ustring.h>

#include <cmocka.h>

typedef void append_function(struct text *text, const char *string);

static void assert_appends(append_function *append, const char *string, const char *expected)
{
    struct text text;
    text_init(&text);
    append(&text, string);
    assert_string_equal(text.bytes, expected);
    assert_int_equal(text.length, strlen(expected));
    text_free(&text);
}

static void texts_grow(void **state)
{
    (void)state;
    struct text text;
    text_init(&text);
    assert_string_equal(text.bytes, "");
    for (int i = 0; i < 10000; i++)
        text_append_format(&text, "%d,", i % 10);
    assert_int_equal(text.length, 20000);
    assert_false(text_failed(&text));
    assert_memory_equal(text.bytes + 19998, "9,", 3);
    text_clear(&text);
    text_append_integer(&text, INT64_MIN);
    text_append_char(&text, ' ');
    text_append_number(&text, 0.1);
    assert_string_equal(text.bytes, "-9223372036854775808 0.1");
    char *taken = text_take(&text);
    assert_string_equal(taken, "-9223372036854775808 0.1");
    free(taken);
    taken = text_take(&text);
    assert_string_equal(taken, "");
    free(taken);
}

static void a_failed_text_says_so_once(void **state)
{
    (void)state;
    struct text text;
    text_init(&text);
    text_append(&text, "before");
    text_append_bytes(&text, "", SIZE_MAX);
    text_append(&text, "after");
    assert_true(text_failed(&text));
    assert_string_equal(text.bytes, "before");
    assert_null(text_take(&text));
    assert_false(text_failed(&text));
    text_free(&text);
}

/* What a spreadsheet would reckon with is shown to it as text, by the apostrophe
 * that spreadsheets themselves take for that (common practice, no source). */
static void csv_cells_that_look_like_formulas(void **state)
{
    (void)state;
    assert_appends(text_append_csv, "=1+1", "'=1+1");
    assert_appends(text_append_csv, "@x,y", "\"'@x,y\"");
    assert_appends(text_append_csv, "-rising", "'-rising");
    assert_appends(text_append_csv, "+", "'+");
    assert_appends(text_append_csv, "-0.5", "\"-0.5\"");
    assert_appends(text_append_csv, "a=1", "a=1");
    assert_appends(text_append_csv_exact, "-rising", "\"-rising\"");
    assert_appends(text_append_csv_exact, "\x1b[2J", "\x1b[2J");
}

/* Controls by their pictures (The Unicode Standard, Control Pictures), marks of
 * direction (UAX 9) by their numbers; ECMA-48 sequences begin with ESC or U+009B. */
static void what_a_terminal_must_not_meet(void **state)
{
    (void)state;
    assert_appends(text_append_shown, "a\x1b[31mb\x7f\n",
                   "a\xe2\x90\x9b[31mb\xe2\x90\xa1\xe2\x90\x8a");
    assert_appends(text_append_shown,
                   "\xc2\x9b"
                   "2J\xe2\x80\xae",
                   "[U+009B]2J[U+202E]");
    assert_appends(text_append_shown, "h\xc3\xa9 \x9b", "h\xc3\xa9 \xef\xbf\xbd");
    assert_appends(text_append_csv, "a\x1b[2J", "a\xe2\x90\x9b[2J");
    assert_appends(text_append_json, "\x7f\xc2\x9b\xe2\x80\xae", "\"\\u007f\\u009b\\u202e\"");
    assert_true(text_is_shown("Sn\xc3\xb8hvit & Co."));
    assert_false(text_is_shown("a\tb"));
    assert_false(text_is_shown("a\xe2\x80\xa8"
                               "b"));
    struct error error;
    error_set(&error, ERROR_INPUT, "%s",
              "a\x1b[2J\xc2\x9b"
              "1m\xe2\x80\xae\xff"
              "b");
    assert_string_equal(error.text, "a [2J?1m??b");
}

/* RFC 4180, section 2, rules 5 to 7, with its examples. */
static void csv_cells(void **state)
{
    (void)state;
    assert_appends(text_append_csv, "aaa", "aaa");
    assert_appends(text_append_csv, "", "");
    assert_appends(text_append_csv, "b\r\nbb", "\"b\r\nbb\"");
    assert_appends(text_append_csv, "b\"bb", "\"b\"\"bb\"");
    assert_appends(text_append_csv, "a,b", "\"a,b\"");
    assert_appends(text_append_csv_exact, "=1+1", "\"=1+1\"");
    assert_appends(text_append_csv, "h\xc3\xa9", "h\xc3\xa9");
}

/* RFC 8259, section 7. */
static void json_strings(void **state)
{
    (void)state;
    assert_appends(text_append_json, "", "\"\"");
    assert_appends(text_append_json, "a\"b\\c/", "\"a\\\"b\\\\c/\"");
    assert_appends(text_append_json, "\n\t\x01\x1f\x7f", "\"\\n\\u0009\\u0001\\u001f\\u007f\"");
    assert_appends(text_append_json, "\xf0\x9d\x84\x9e", "\"\xf0\x9d\x84\x9e\"");
    assert_appends(text_append_json, "a\xff\x62", "\"a\xef\xbf\xbd\x62\"");
    assert_appends(text_append_json, "\xe2\x82", "\"\xef\xbf\xbd\xef\xbf\xbd\"");
}

/* XML 1.0, 2.2 and 2.4. */
static void xml_text(void **state)
{
    (void)state;
    assert_appends(text_append_xml, "<a b=\"c\">'&'", "&lt;a b=&quot;c&quot;&gt;&#39;&amp;&#39;");
    assert_appends(text_append_xml, "\t\n\r", "\t\n\r");
    assert_appends(text_append_xml, "\x01\x0b", "\xef\xbf\xbd\xef\xbf\xbd");
    assert_appends(text_append_xml, "\xed\xa0\x80", "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd");
    /* U+FFFE and U+FFFF are no characters of XML. */
    assert_appends(text_append_xml, "\xef\xbf\xbe\xef\xbf\xbf", "\xef\xbf\xbd\xef\xbf\xbd");
}

/* Unicode standard, table 3-7: the first and last well-formed sequence of each
 * row, and what lies just outside. */
static void utf8_rows_of_the_standard(void **state)
{
    (void)state;
    static const char *const good[] = {"\x01",
                                       "\x7f",
                                       "\xc2\x80",
                                       "\xdf\xbf",
                                       "\xe0\xa0\x80",
                                       "\xe0\xbf\xbf",
                                       "\xe1\x80\x80",
                                       "\xec\xbf\xbf",
                                       "\xed\x80\x80",
                                       "\xed\x9f\xbf",
                                       "\xee\x80\x80",
                                       "\xef\xbf\xbf",
                                       "\xf0\x90\x80\x80",
                                       "\xf0\xbf\xbf\xbf",
                                       "\xf1\x80\x80\x80",
                                       "\xf3\xbf\xbf\xbf",
                                       "\xf4\x80\x80\x80",
                                       "\xf4\x8f\xbf\xbf"};
    static const char *const bad[] = {"\x80",
                                      "\xbf",
                                      "\xc0\x80",
                                      "\xc1\xbf",
                                      "\xc2",
                                      "\xc2\x7f",
                                      "\xc2\xc0",
                                      "\xe0\x9f\xbf",
                                      "\xe0\xa0",
                                      "\xed\xa0\x80",
                                      "\xed\xbf\xbf",
                                      "\xf0\x8f\xbf\xbf",
                                      "\xf0\x90\x80",
                                      "\xf4\x90\x80\x80",
                                      "\xf5\x80\x80\x80",
                                      "\xff",
                                      "\xfe",
                                      "\xe1\x80\x7f"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        assert_true(text_is_utf8(good[i], strlen(good[i])));
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        assert_false(text_is_utf8(bad[i], strlen(bad[i])));
    assert_true(text_is_utf8("", 0));
    assert_true(text_is_utf8("a\0b", 3));
    assert_false(text_is_utf8("\xe2\x82\xac", 2));
}

/* Bytes that are likely to be leads and trails. */
static size_t random_bytes(struct random_stream *stream, char bytes[8])
{
    static const unsigned char likely[] = {0x41, 0x80, 0x8f, 0x90, 0x9f, 0xa0, 0xbf, 0xc1, 0xc2,
                                           0xdf, 0xe0, 0xe1, 0xed, 0xef, 0xf0, 0xf3, 0xf4, 0xf5};
    size_t length = 1 + random_below(stream, 4);
    for (size_t i = 0; i < length; i++)
        bytes[i] = (char)(random_below(stream, 4) > 0 ? likely[random_below(stream, sizeof likely)]
                                                      : 1 + random_below(stream, 255));
    bytes[length] = '\0';
    return length;
}

static bool utf8_by_icu(const char *bytes, size_t length)
{
    UErrorCode status = U_ZERO_ERROR;
    u_strFromUTF8(NULL, 0, NULL, bytes, (int32_t)length, &status);
    return status != U_INVALID_CHAR_FOUND;
}

/* ICU says what is UTF-8, Jansson reads the JSON string: the same text where
 * it was well-formed, and always one that it takes. */
static void random_bytes_as_the_libraries_read_them(void **state)
{
    (void)state;
    struct random_stream stream;
    struct text text;
    text_init(&text);
    random_start(&stream, 3, 0);
    size_t well_formed = 0;
    for (int n = 0; n < 200000; n++) {
        char bytes[8];
        size_t length = random_bytes(&stream, bytes);
        bool is_utf8 = utf8_by_icu(bytes, length);
        assert_int_equal(text_is_utf8(bytes, length), is_utf8);
        well_formed += is_utf8;
        text_clear(&text);
        text_append_json(&text, bytes);
        json_t *read = json_loadb(text.bytes, text.length, JSON_DECODE_ANY, NULL);
        assert_non_null(read);
        if (is_utf8)
            assert_string_equal(json_string_value(read), bytes);
        json_decref(read);
    }
    text_free(&text);
    assert_true(well_formed > 10000 && well_formed < 100000);
}

static void errors_are_one_line(void **state)
{
    (void)state;
    struct error error = {0};
    assert_int_equal(error_set(&error, ERROR_INPUT, "line %d\nis \x1b[31mred", 7), ERROR_INPUT);
    assert_string_equal(error.text, "line 7 is  [31mred");
    assert_int_equal(error_context(&error, "%s:%d", "a.csv", 3), ERROR_INPUT);
    assert_string_equal(error.text, "a.csv:3: line 7 is  [31mred");
    error_clear(&error);
    assert_int_equal(error.code, ERROR_NONE);
    assert_string_equal(error.text, "");
    assert_int_equal(error_memory(&error), ERROR_MACHINE);
}

/* A message that is too long is cut between two characters. */
static void long_errors_are_cut_at_a_character(void **state)
{
    (void)state;
    for (int before = 0; before < 4; before++) {
        struct text long_one;
        struct error error = {0};
        text_init(&long_one);
        for (int i = 0; i < before; i++)
            text_append_char(&long_one, 'a');
        for (int i = 0; i < ERROR_TEXT_SIZE; i++)
            text_append(&long_one, "\xe2\x82\xac");
        error_set(&error, ERROR_INPUT, "%s", long_one.bytes);
        size_t length = strlen(error.text);
        assert_true(length >= ERROR_TEXT_SIZE - 4);
        assert_true(text_is_utf8(error.text, length));
        error_context(&error, "%s", "file");
        assert_true(text_is_utf8(error.text, strlen(error.text)));
        assert_memory_equal(error.text, "file: ", 6);
        text_free(&long_one);
    }
}

static void arrays_refuse_what_does_not_fit(void **state)
{
    (void)state;
    size_t capacity = 0;
    double *items = array_reserve(NULL, &capacity, 3, sizeof *items);
    assert_non_null(items);
    assert_true(capacity >= 3);
    items[2] = 5;
    assert_null(array_reserve(items, &capacity, SIZE_MAX / 4, sizeof *items));
    assert_null(array_reserve(items, &capacity, SIZE_MAX, sizeof *items));
    assert_true(items[2] == 5);
    items = array_reserve(items, &capacity, 1000, sizeof *items);
    assert_non_null(items);
    assert_true(items[2] == 5 && capacity >= 1000);
    free(items);
    assert_null(array_new(SIZE_MAX / 2, 8));
    void *nothing = array_new(0, 8);
    assert_non_null(nothing);
    free(nothing);
    char *copy = string_copy("abc");
    assert_string_equal(copy, "abc");
    free(copy);
}

static void strings_are_added_behind_the_last(void **state)
{
    (void)state;
    char **strings = NULL;
    size_t count = 0;
    size_t capacity = 0;
    char text[16];
    for (int i = 0; i < 100; i++) {
        snprintf(text, sizeof text, "string %d", i);
        assert_true(strings_add(&strings, &count, &capacity, text));
    }
    assert_true(count == 100 && capacity >= 100);
    for (int i = 0; i < 100; i++) {
        snprintf(text, sizeof text, "string %d", i);
        assert_string_equal(strings[i], text);
        free(strings[i]);
    }
    free(strings);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_grow),
        cmocka_unit_test(a_failed_text_says_so_once),
        cmocka_unit_test(csv_cells),
        cmocka_unit_test(csv_cells_that_look_like_formulas),
        cmocka_unit_test(what_a_terminal_must_not_meet),
        cmocka_unit_test(json_strings),
        cmocka_unit_test(xml_text),
        cmocka_unit_test(utf8_rows_of_the_standard),
        cmocka_unit_test(random_bytes_as_the_libraries_read_them),
        cmocka_unit_test(errors_are_one_line),
        cmocka_unit_test(long_errors_are_cut_at_a_character),
        cmocka_unit_test(arrays_refuse_what_does_not_fit),
        cmocka_unit_test(strings_are_added_behind_the_last),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
