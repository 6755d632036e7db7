/* The ground when memory runs out: each allocation in turn fails, nothing
 * crashes, nothing is lost, and what failed says so. */
#include "allocation.h"

#include "base/array.h"
#include "base/error.h"
#include "base/text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* Builds a text and an array; true if all of it is there. */
static bool build(void)
{
    struct text text;
    size_t capacity = 0;
    int *items = NULL;
    bool whole = true;
    text_init(&text);
    for (int i = 0; i < 500; i++) {
        text_append_format(&text, "%d ", i);
        int *more = array_reserve(items, &capacity, (size_t)i + 1, sizeof *items);
        if (more == NULL) {
            whole = false;
            break;
        }
        items = more;
        items[i] = i;
    }
    char **strings = NULL;
    size_t count = 0;
    size_t room = 0;
    for (int i = 0; i < 20; i++)
        whole = strings_add(&strings, &count, &room, "one of several") && whole;
    while (count > 0)
        free(strings[--count]);
    free(strings);
    char *copy = string_copy("a copy");
    char *taken = text_take(&text);
    whole = whole && copy != NULL && taken != NULL && strlen(taken) == 1890;
    free(taken);
    free(copy);
    free(items);
    text_free(&text);
    return whole;
}

static void each_allocation_may_fail(void **state)
{
    (void)state;
    for (int how = FAIL_ONCE; how <= FAIL_FROM_THEN_ON; how++) {
        struct allocation_report report = {.failed = true};
        long n = 0;
        while (report.failed) {
            allocation_arm(++n, (enum allocation_failure)how);
            bool whole = build();
            report = allocation_disarm();
            assert_int_equal(report.held, 0);
            assert_int_equal(whole, !report.failed);
        }
        assert_true(n > 10);
    }
}

/* A block that is not given back is counted, however it was moved about. */
static void what_is_lost_is_counted(void **state)
{
    (void)state;
    char *before = malloc(10);
    assert_non_null(before);
    allocation_arm(0, FAIL_ONCE);
    char *kept = malloc(10);
    char *moved = realloc(calloc(1, 10), 100000);
    char *longer = realloc(before, 100000);
    struct allocation_report report = allocation_disarm();
    assert_int_equal(report.held, 2);
    assert_int_equal(report.count, 4);
    assert_false(report.failed);
    free(kept);
    free(moved);
    free(longer);
}

static void errors_need_no_memory(void **state)
{
    (void)state;
    struct error error = {0};
    allocation_arm(1, FAIL_FROM_THEN_ON);
    error_set(&error, ERROR_INPUT, "%s:%d", "a.csv", 3);
    error_context(&error, "line %d", 7);
    struct allocation_report report = allocation_disarm();
    assert_int_equal(report.count, 0);
    assert_string_equal(error.text, "line 7: a.csv:3");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_allocation_may_fail),
        cmocka_unit_test(what_is_lost_is_counted),
        cmocka_unit_test(errors_need_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
