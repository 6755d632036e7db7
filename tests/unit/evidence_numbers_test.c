/* The name of each number of a setup is its path in the setup as it is written:
 * what differs, by the two texts alone (setup/difference.h), when that one number
 * is moved. Every shipped setup, and one with everything twice. */
#include "evidence/sensitivity.h"
#include "setup/difference.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const char twice
    [] = "setup: twice\nside: long\n"
         "candle: {any_of: [hammer, doji]}\n"
         "place:\n"
         "  - lowest_low: {bars: 7}\n"
         "  - any: [{lowest_low: {bars: 5}}, {downtrend: {bars: 10, fall_atr: 1}}]\n"
         "  - lowest_low: {bars: 8}\n"
         "confirm: {of: [rsi_below: {length: 14, level: 30}, rsi_below: {length: 5, level: 20}]}\n"
         "entry: {on: break_of_high, valid: 2}\n"
         "stop: {at: lower_of, of: [{at: candle_low}, {at: atr, times: 2}]}\n"
         "exit: {targets: [{r: 2, share: 0.5}, {r: 3, share: 0.5}], time_stop: 40}\n";

static const char
    compared[] = "setup: compared\nside: long\ncandle: {shape: any}\n"
                 "place:\n"
                 "  - compare: {value: close, above: {average: {bars: 20}}, by_atr: 0.5}\n"
                 "  - compare: {value: {rsi: {length: 5}}, below: 30}\n"
                 "  - compare: {value: {macd_histogram: {}}, below: -0.25}\n"
                 "  - compare: {value: close, below: 90}\n"
                 "confirm: {of: [compare: {value: close, falls_for: 3}, "
                 "compare: {value: {average: {bars: 9}}, crosses_above: close}]}\n"
                 "entry: {on: next_open}\nstop: {at: candle_low}\n"
                 "exit: {targets: [{r: 2, share: 1}]}\n";

struct differing {
    char part[NUMBER_NAME_SIZE];
    size_t count;
};

static int take(void *context, const char *part, const char *first, const char *second,
                struct error *error)
{
    struct differing *differing = context;
    (void)first;
    (void)second;
    (void)error;
    snprintf(differing->part, sizeof differing->part, "%s", part);
    differing->count++;
    return ERROR_NONE;
}

static size_t check_numbers(const struct setup *setup)
{
    static struct named_number numbers[NUMBER_LIMIT];
    size_t count = setup_numbers(setup, numbers);
    struct error error;
    struct text before;
    text_init(&before);
    setup_write(setup, &before);
    for (size_t i = 0; i < count; i++) {
        const struct named_number *number = &numbers[i];
        double moved = number->value + (number->whole ? 1 : number->value / 8);
        struct differing differing = {.count = 0};
        struct setup copy;
        struct text after;
        text_init(&after);
        assert_int_equal(setup_with(&copy, setup, &number, &moved, 1, &error), ERROR_NONE);
        setup_write(&copy, &after);
        assert_int_equal(setup_differences(before.bytes, after.bytes, take, &differing, &error),
                         ERROR_NONE);
        assert_int_equal(differing.count, 1);
        assert_string_equal(differing.part, number->name);
        text_free(&after);
        setup_free(&copy);
    }
    text_free(&before);
    return count;
}

static void shipped_setups(void **state)
{
    (void)state;
    DIR *folder = opendir(SHIPPED_SETUPS);
    struct dirent *entry;
    size_t count = 0;
    assert_non_null(folder);
    while ((entry = readdir(folder)) != NULL) {
        char path[512];
        struct setup setup;
        struct error error;
        if (strstr(entry->d_name, ".yaml") == NULL)
            continue;
        snprintf(path, sizeof path, "%s/%s", SHIPPED_SETUPS, entry->d_name);
        if (setup_read_file(&setup, path, &error) != ERROR_NONE)
            fail_msg("%s", error.text);
        count += check_numbers(&setup);
        setup_free(&setup);
    }
    closedir(folder);
    assert_true(count > 100);
}

static void everything_twice(void **state)
{
    (void)state;
    struct setup setup;
    struct error error;
    if (setup_read(&setup, "twice", twice, strlen(twice), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    assert_true(check_numbers(&setup) >= 15);
    setup_free(&setup);
}

/* A number that is written as 30 is moved to half and twice of what the rule holds, and
 * shown as it is written; negative ones are tried in ascending order, too. */
static void comparisons(void **state)
{
    static const struct {
        const char *name;
        double written;
    } expected[] = {{"place.compare.above.average.bars", 20},
                    {"place.compare.by_atr", 0.5},
                    {"place.compare.2.value.rsi.length", 5},
                    {"place.compare.2.below", 30},
                    {"place.compare.3.below", -0.25},
                    {"place.compare.4.below", 90},
                    {"confirm.of.compare.falls_for", 3},
                    {"confirm.of.compare.2.value.average.bars", 9}};
    static struct named_number numbers[NUMBER_LIMIT];
    struct setup setup;
    struct error error;
    (void)state;
    if (setup_read(&setup, "compared", compared, strlen(compared), &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    size_t count = check_numbers(&setup);
    setup_numbers(&setup, numbers);
    for (size_t e = 0; e < sizeof expected / sizeof expected[0]; e++) {
        size_t i = 0;
        double values[SWEEP_LIMIT];
        while (i < count && strcmp(numbers[i].name, expected[e].name) != 0)
            i++;
        if (i == count)
            fail_msg("no %s", expected[e].name);
        assert_float_equal(number_as_written(&numbers[i], numbers[i].value), expected[e].written,
                           1e-12);
        size_t tried = sweep_values(&numbers[i], values);
        assert_true(tried >= 4);
        if (expected[e].written == 30) {
            assert_float_equal(number_as_written(&numbers[i], values[0]), 15, 1e-12);
            assert_float_equal(number_as_written(&numbers[i], values[tried - 1]), 60, 1e-12);
        }
        for (size_t v = 1; v < tried; v++)
            assert_true(values[v] > values[v - 1]);
    }
    setup_free(&setup);
}

/* A setup from a time at which nobody said that two of its criteria never hold together:
 * what a file of it is refused for does not stop its numbers from being moved. */
static void one_kept_with_contradictions(void **state)
{
    static const char never[] = "setup: never\nside: long\ncandle: {shape: any}\n"
                                "place: [{rsi_below: {length: 14, level: 30}}, "
                                "{rsi_above: {length: 14, level: 70}}]\n"
                                "entry: {on: next_open}\nstop: {at: candle_low}\n"
                                "exit: {time_stop: 5}\n";
    struct setup setup;
    struct error error;
    (void)state;
    assert_int_equal(setup_read(&setup, "never", never, strlen(never), &error), ERROR_INPUT);
    assert_int_equal(setup_read_kept(&setup, "never", never, &error), ERROR_NONE);
    assert_int_equal(check_numbers(&setup), 5);
    setup_free(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shipped_setups),
        cmocka_unit_test(everything_twice),
        cmocka_unit_test(comparisons),
        cmocka_unit_test(one_kept_with_contradictions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
