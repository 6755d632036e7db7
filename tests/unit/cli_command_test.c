/* Options as numbers, whole numbers and dates; the words of the command line
 * itself are golden cases (tests/cli). */
#define _POSIX_C_SOURCE 200809L /* open_memstream */
#include "cli/command.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const struct option_row options[] = {{"width", "N", ""}, {"all", NULL, ""}, {0}};
static const struct command command = {.name = "try", .options = options};

static struct call with_width(const char *text)
{
    return (struct call){.command = &command, .values = {text}};
}

static void numbers_have_limits(void **state)
{
    (void)state;
    struct error error = {0};
    double value = 0;
    struct call call = with_width(NULL);
    assert_int_equal(call_number(&call, "width", 0, 1, 0.25, &value, &error), ERROR_NONE);
    assert_true(value == 0.25);
    call = with_width("1");
    assert_int_equal(call_number(&call, "width", 0, 1, 0.25, &value, &error), ERROR_NONE);
    assert_true(value == 1);
    static const char *const wrong[] = {"1.01", "-0.01", "", "x", "nan", "1e999"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        call = with_width(wrong[i]);
        assert_int_equal(call_number(&call, "width", 0, 1, 0.25, &value, &error), ERROR_USAGE);
        assert_non_null(strstr(error.text, "--width"));
        assert_non_null(strstr(error.text, wrong[i]));
    }
}

static void whole_numbers_have_limits(void **state)
{
    (void)state;
    struct error error = {0};
    int64_t value = 0;
    struct call call = with_width("12");
    assert_int_equal(call_integer(&call, "width", 1, 12, 3, &value, &error), ERROR_NONE);
    assert_int_equal(value, 12);
    call = with_width("13");
    assert_int_equal(call_integer(&call, "width", 1, 12, 3, &value, &error), ERROR_USAGE);
    call = with_width("1.5");
    assert_int_equal(call_integer(&call, "width", 1, 12, 3, &value, &error), ERROR_USAGE);
    assert_string_equal(error.text, "--width: found '1.5'; a whole number from 1 to 12 is allowed");
}

static void dates_are_read(void **state)
{
    (void)state;
    struct error error = {0};
    int64_t time = 0;
    struct call call = with_width("1970-01-02");
    assert_int_equal(call_time(&call, "width", -7, &time, &error), ERROR_NONE);
    assert_int_equal(time, 86400);
    call = with_width(NULL);
    assert_int_equal(call_time(&call, "width", -7, &time, &error), ERROR_NONE);
    assert_int_equal(time, -7);
    call = with_width("yesterday");
    assert_int_equal(call_time(&call, "width", -7, &time, &error), ERROR_USAGE);
}

static void messages_are_one_line_and_can_be_silenced(void **state)
{
    (void)state;
    char *said = NULL;
    size_t size = 0;
    struct call call = with_width(NULL);
    call.messages = open_memstream(&said, &size);
    assert_non_null(call.messages);
    call_say(&call, "%s:%d: set aside", "a.csv", 3);
    call.quiet = true;
    call_say(&call, "not this");
    fclose(call.messages);
    assert_string_equal(said, "rushlight: a.csv:3: set aside\n");
    free(said);
}

/* Every row of the table keeps the promises that the help is made from. */
static void each_command_is_complete(void **state)
{
    (void)state;
    for (const struct command *row = commands; row->name != NULL; row++) {
        size_t count = 0;
        assert_non_null(row->run);
        assert_non_null(row->arguments);
        assert_true(row->help != NULL && row->help[0] != '\0');
        assert_true(row->least_arguments <= row->most_arguments);
        for (; row->options != NULL && row->options[count].name != NULL; count++)
            assert_true(row->options[count].help != NULL && row->options[count].help[0] != '\0');
        assert_true(count <= OPTION_LIMIT);
        for (const struct command *other = commands; other < row; other++)
            assert_string_not_equal(other->name, row->name);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_have_limits),
        cmocka_unit_test(whole_numbers_have_limits),
        cmocka_unit_test(dates_are_read),
        cmocka_unit_test(messages_are_one_line_and_can_be_silenced),
        cmocka_unit_test(each_command_is_complete),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
