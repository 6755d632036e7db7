/* What is written reads back as the same setup: random setups of the grammar
 * with titles that YAML 1.2 (5.1, 5.4, 5.7) has its own ideas about, and their
 * mirrors; and names at the limit. */
#include "base/random.h"
#include "random_setup.h"
#include "setup/setup.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { SETUPS = 400, PIECES = 6 };

static const char *const pieces[] = {"~",
                                     "null",
                                     "a",
                                     "Ein Fall",
                                     ": ",
                                     " #",
                                     "\x7f",
                                     "\x1b",
                                     "\xe2\x80\xa8",
                                     "\xe2\x80\xa9",
                                     "\xc2\x85",
                                     "\xe2\x80\xae",
                                     "'",
                                     "\"",
                                     "\\",
                                     "- ",
                                     "? ",
                                     "\n",
                                     "\t",
                                     " ",
                                     "%",
                                     "@",
                                     "`",
                                     "{",
                                     "]",
                                     "é",
                                     "\xef\xbb\xbf",
                                     "\xf0\x9f\x95\xaf",
                                     "\xef\xbf\xbe",
                                     "true",
                                     "*",
                                     "!x",
                                     "|",
                                     ">",
                                     "\r",
                                     "..."};

static char *random_title(struct random_stream *stream)
{
    struct text text;
    text_init(&text);
    for (uint64_t i = 1 + random_below(stream, PIECES); i > 0; i--)
        text_append(&text, pieces[random_below(stream, sizeof pieces / sizeof pieces[0])]);
    return text_take(&text);
}

static void read_written(const struct setup *setup, struct setup *again, struct text *written)
{
    struct error error = {0};
    text_clear(written);
    setup_write(setup, written);
    assert_false(text_failed(written));
    if (setup_read(again, "written.yaml", written->bytes, written->length, &error) != ERROR_NONE)
        fail_msg("%s\n%s", error.text, written->bytes);
}

static void assert_reads_back(const struct setup *setup)
{
    struct setup again;
    struct text first;
    struct text second;
    text_init(&first);
    text_init(&second);
    read_written(setup, &again, &first);
    setup_write(&again, &second);
    assert_string_equal(first.bytes, second.bytes);
    assert_string_equal(setup->title, again.title);
    assert_string_equal(setup->name, again.name);
    setup_free(&again);
    text_free(&first);
    text_free(&second);
}

static void what_is_written_reads_back(void **state)
{
    (void)state;
    struct random_stream stream;
    random_start(&stream, 20260713, 0);
    for (unsigned i = 0; i < SETUPS; i++) {
        struct setup setup;
        struct text text;
        struct text before;
        struct text after;
        struct error error = {0};
        text_init(&text);
        text_init(&before);
        text_init(&after);
        random_setup(&text, &stream, (struct interval){INTERVAL_DAY, 1}, i);
        assert_int_equal(setup_read(&setup, "random.yaml", text.bytes, text.length, &error),
                         ERROR_NONE);
        free(setup.title);
        setup.title = random_title(&stream);
        assert_non_null(setup.title);
        assert_reads_back(&setup);
        setup_write(&setup, &before);
        assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
        assert_reads_back(&setup);
        assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
        setup_write(&setup, &after);
        assert_string_equal(before.bytes, after.bytes);
        setup_free(&setup);
        text_free(&text);
        text_free(&before);
        text_free(&after);
    }
}

static int read_named(struct setup *setup, const char *name)
{
    struct error error = {0};
    struct text text;
    text_init(&text);
    text_append_format(&text,
                       "setup: %s\nside: long\ncandle: {shape: any}\nentry: {on: next_open}\n"
                       "stop: {at: atr, times: 1}\nexit: {time_stop: 2}\n",
                       name);
    int code = setup_read(setup, "named.yaml", text.bytes, text.length, &error);
    text_free(&text);
    return code;
}

/* 60, the longest name, and what its mirror is called. */
static void names_at_the_limit(void **state)
{
    (void)state;
    static const char longest[] = "a23456789-b23456789-c23456789-d23456789-e23456789-f23456789-";
    struct setup setup;
    struct error error = {0};
    char longer[80];
    assert_int_equal(strlen(longest), 60);
    snprintf(longer, sizeof longer, "%sx", longest);
    assert_int_equal(read_named(&setup, longer), ERROR_INPUT);
    snprintf(longer, sizeof longer, "%sx-mirrored", longest);
    assert_int_equal(read_named(&setup, longer), ERROR_INPUT);
    assert_int_equal(read_named(&setup, longest), ERROR_NONE);
    assert_int_equal(setup_mirror(&setup, &error), ERROR_NONE);
    assert_reads_back(&setup);
    assert_int_equal(strlen(setup.name), 69);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_reads_back),
        cmocka_unit_test(names_at_the_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
