/* Names each once and in order, whatever order they come in. */
#include "base/name_set.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static void holds_each_once_in_order(void **state)
{
    struct name_set set = {0};
    char name[16];
    (void)state;
    for (int round = 0; round < 2; round++)
        for (unsigned i = 0; i < 1000; i++) {
            snprintf(name, sizeof name, "n%u", i * 617 % 1000);
            assert_int_equal(name_set_add(&set, name), round == 0 ? NAME_NEW : NAME_KNOWN);
        }
    assert_int_equal(set.count, 1000);
    for (size_t i = 1; i < set.count; i++)
        assert_true(strcmp(set.names[i - 1], set.names[i]) < 0);
    name_set_free(&set);
    assert_int_equal(set.count, 0);
}

static void takes_what_comes_first_middle_and_last(void **state)
{
    struct name_set set = {0};
    (void)state;
    assert_int_equal(name_set_add(&set, "m"), NAME_NEW);
    assert_int_equal(name_set_add(&set, "z"), NAME_NEW);
    assert_int_equal(name_set_add(&set, ""), NAME_NEW);
    assert_int_equal(name_set_add(&set, "n"), NAME_NEW);
    assert_int_equal(name_set_add(&set, "m"), NAME_KNOWN);
    assert_string_equal(set.names[0], "");
    assert_string_equal(set.names[2], "n");
    name_set_free(&set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(holds_each_once_in_order),
                                       cmocka_unit_test(takes_what_comes_first_middle_and_last)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
