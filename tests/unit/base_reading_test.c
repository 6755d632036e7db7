/* How a reading is written; common practice, no source. */
#include "base/reading.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static int decimals(double value, double limit, const char *unit)
{
    return reading_decimals(&(struct reading){.unit = unit, .value = value, .limit = limit});
}

static void test_two_decimals(void **state)
{
    (void)state;
    assert_int_equal(decimals(3.3, 2, "bodies"), 2);
    assert_int_equal(decimals(0, 0.1, "of the range"), 2);
    assert_int_equal(decimals(5.105, 2, "bodies"), 2);
    assert_int_equal(decimals(51.49, NAN, ""), 2);
    assert_int_equal(decimals(-7.25, 0, "ATR"), 2);
}

static void test_none_of_bars(void **state)
{
    (void)state;
    assert_int_equal(decimals(4, 10, "bars"), 0);
    assert_int_equal(decimals(0, 3, "bars on each side"), 0);
}

static void test_two_digits_count(void **state)
{
    (void)state;
    assert_int_equal(decimals(0.02521, 0.1, "of the range"), 3); /* 0.025 */
    assert_int_equal(decimals(0.0996, 0.2, ""), 2);              /* 0.10 */
    assert_int_equal(decimals(-0.000049, 0.000463, ""), 6);      /* 0.000049 */
    assert_int_equal(decimals(1e-300, 1, ""), 8);                /* and no more than so many */
}

/* What fails does not read as what is allowed. */
static void test_told_from_its_limit(void **state)
{
    (void)state;
    assert_int_equal(decimals(0.1004, 0.1, "of the range"), 4);
    assert_int_equal(decimals(30.004, 30, ""), 3);
    assert_int_equal(decimals(30, 30, ""), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_decimals),
        cmocka_unit_test(test_none_of_bars),
        cmocka_unit_test(test_two_digits_count),
        cmocka_unit_test(test_told_from_its_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
