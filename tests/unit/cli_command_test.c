/* Options as numbers, whole numbers and dates; the words of the command line
 * itself are golden cases (tests/cli). */
#define _POSIX_C_SOURCE 200809L /* open_memstream */
#include "cli/command.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const char *const colours[] = {"red", "green", NULL};
static const struct option_row rows[] = {
    {.name = "width", .kind = OPTION_NUMBER, .missing = 0.25, .most = 1},
    {.name = "count",
     .kind = OPTION_WHOLE,
     .missing = 3,
     .least = 1,
     .most = 12,
     .beside = "all",
     .missing_beside = 7},
    {.name = "day", .kind = OPTION_TIME},
    {.name = "colour", .kind = OPTION_CHOICE, .choices = colours, .missing_words = "green"},
    {.name = NULL},
};
static const struct option_row other_rows[] = {{.name = "all"},
                                               {.name = "bars", .kind = OPTION_INTERVAL},
                                               {.name = NULL}};
static const struct option_group group = {"Options", rows};
static const struct option_group other = {"Others", other_rows};
static const struct command command = {.name = "trial", .options = {&group, &other}};

enum { WIDTH, COUNT, DAY, COLOUR, ALL, BARS };

static struct call with(int option, const char *text)
{
    struct call call = {.command = &command};
    call.values[option] = text;
    return call;
}

/* Each text is refused with a message that names the option and the text. */
static void refuses(int option, const char *const *texts)
{
    const struct option_row *row = option_at(command.options, (size_t)option);
    for (size_t i = 0; texts[i] != NULL; i++) {
        struct error error = {0};
        assert_int_equal(option_check(row, texts[i], &error), ERROR_USAGE);
        assert_non_null(strstr(error.text, row->name));
        assert_non_null(strstr(error.text, texts[i]));
    }
}

static void allows(int option, const char *text)
{
    struct error error = {0};
    assert_int_equal(option_check(option_at(command.options, (size_t)option), text, &error),
                     ERROR_NONE);
}

static void says(int option, const char *text, const char *message)
{
    struct error error = {0};
    assert_int_equal(option_check(option_at(command.options, (size_t)option), text, &error),
                     ERROR_USAGE);
    assert_string_equal(error.text, message);
}

static void numbers_have_limits(void **state)
{
    (void)state;
    static const char *const wrong[] = {"1.01", "-0.01", "", "x", "nan", "1e999", NULL};
    struct call call = with(WIDTH, NULL);
    assert_true(call_number(&call, "width") == 0.25);
    call = with(WIDTH, "1");
    assert_true(call_number(&call, "width") == 1);
    allows(WIDTH, "0");
    allows(WIDTH, "1");
    refuses(WIDTH, wrong);
}

static void whole_numbers_have_limits(void **state)
{
    (void)state;
    static const char *const wrong[] = {"13", "0", "1.5", NULL};
    struct call call = with(COUNT, "12");
    assert_int_equal(call_whole(&call, "count"), 12);
    allows(COUNT, "12");
    refuses(COUNT, wrong);
    says(COUNT, "1.5", "--count: found '1.5'; a whole number from 1 to 12 is allowed");
}

static void a_default_may_depend_on_another_option(void **state)
{
    (void)state;
    struct call call = with(COUNT, NULL);
    assert_int_equal(call_whole(&call, "count"), 3);
    call.values[ALL] = "all";
    assert_int_equal(call_whole(&call, "count"), 7);
    call.values[COUNT] = "4";
    assert_int_equal(call_whole(&call, "count"), 4);
}

static void dates_are_read(void **state)
{
    (void)state;
    static const char *const wrong[] = {"yesterday", "1970-02-30", NULL};
    struct call call = with(DAY, "1970-01-02");
    assert_int_equal(call_time(&call, "day", -7), 86400);
    assert_int_equal(call_time_end(&call, "day", -7), 2 * 86400 - 1);
    call = with(DAY, "1970-01-02T00:00:00Z");
    assert_int_equal(call_time_end(&call, "day", -7), 86400);
    call = with(DAY, NULL);
    assert_int_equal(call_time(&call, "day", -7), -7);
    refuses(DAY, wrong);
}

static void choices_and_lengths_are_read(void **state)
{
    (void)state;
    static const char *const wrong[] = {"blue", "", "Red", NULL};
    struct call call = with(COLOUR, NULL);
    assert_int_equal(call_choice(&call, "colour"), 1);
    assert_string_equal(call_word(&call, "colour"), "green");
    call = with(COLOUR, "red");
    assert_int_equal(call_choice(&call, "colour"), 0);
    refuses(COLOUR, wrong);
    says(COLOUR, "gren", "--colour: found 'gren' (did you mean green?); red or green is allowed");
    call = with(BARS, "4h");
    assert_int_equal(call_interval(&call, "bars").count, 4);
    call = with(BARS, NULL);
    assert_int_equal(call_interval(&call, "bars").unit, INTERVAL_NONE);
    says(BARS, "4x", "--bars: found '4x'; a length such as 1d, 1w, 1month, 4h or 30m is allowed");
}

static void help_says_the_row(void **state)
{
    (void)state;
    static const struct option_row needed = {.name = "of",
                                             .kind = OPTION_TEXT,
                                             .help = "what",
                                             .needed = "it is needed"};
    struct text text;
    text_init(&text);
    option_help_words(&(struct option_row){.name = "risk",
                                           .kind = OPTION_NUMBER,
                                           .help = "at risk",
                                           .missing = 1.5,
                                           .most = 100,
                                           .unit = "%"},
                      &text);
    assert_string_equal(text.bytes, "at risk (0 to 100 %; default: 1.5)");
    text_clear(&text);
    option_help_words(&needed, &text);
    assert_string_equal(text.bytes, "what (needed)");
    text_clear(&text);
    option_value_words(&rows[COLOUR], &text);
    assert_string_equal(text.bytes, "red|green");
    text_free(&text);
}

static void messages_are_one_line_and_can_be_silenced(void **state)
{
    (void)state;
    char *said = NULL;
    size_t size = 0;
    struct call call = with(WIDTH, NULL);
    call.messages = open_memstream(&said, &size);
    assert_non_null(call.messages);
    call_say(&call, "%s:%d: set aside", "a.csv", 3);
    call.quiet = true;
    call_say(&call, "not this");
    fclose(call.messages);
    assert_string_equal(said, "rushlight: a.csv:3: set aside\n");
    free(said);
}

/* What help, checks and completion are made from. */
static void option_is_complete(const struct option_row *row)
{
    assert_true(row->help != NULL && row->help[0] != '\0');
    assert_true(row->kind == OPTION_FLAG || row->kind == OPTION_CHOICE || row->value != NULL);
    assert_int_equal(row->kind == OPTION_CHOICE, row->choices != NULL);
    if (row->kind == OPTION_NUMBER || row->kind == OPTION_WHOLE)
        assert_true(row->least < row->most);
    if ((row->kind == OPTION_NUMBER || row->kind == OPTION_WHOLE) && !isnan(row->missing))
        assert_true(row->missing >= row->least && row->missing <= row->most);
}

/* Every row of the table keeps the promises that the help is made from. */
static void each_command_is_complete(void **state)
{
    (void)state;
    for (const struct command *row = commands; row->name != NULL; row++) {
        const struct option_row *option = NULL;
        size_t count = 0;
        assert_non_null(row->run);
        assert_non_null(row->arguments);
        assert_true(row->help != NULL && row->help[0] != '\0');
        assert_true(row->least_arguments <= row->most_arguments);
        for (; (option = option_at(row->options, count)) != NULL; count++) {
            option_is_complete(option);
            assert_int_equal(option_find(row->options, option->name), count);
        }
        assert_true(count <= OPTION_LIMIT);
        for (const struct command *earlier = commands; earlier < row; earlier++)
            assert_string_not_equal(earlier->name, row->name);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_have_limits),
        cmocka_unit_test(whole_numbers_have_limits),
        cmocka_unit_test(a_default_may_depend_on_another_option),
        cmocka_unit_test(dates_are_read),
        cmocka_unit_test(choices_and_lengths_are_read),
        cmocka_unit_test(help_says_the_row),
        cmocka_unit_test(messages_are_one_line_and_can_be_silenced),
        cmocka_unit_test(each_command_is_complete),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
