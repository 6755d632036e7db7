/* Money and exact fractions at their limits (docs/method.md 9.9). Decimals of currencies: ISO 4217
 * (from memory). Random ones stand against Python's decimal in tests/desk. */
#include "desk/money.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static struct currency currency_of(const char *code)
{
    struct currency currency;
    struct error error;
    if (currency_find(code, &currency, &error) != ERROR_NONE)
        fail_msg("%s", error.text);
    return currency;
}

static struct fraction decimal(const char *text)
{
    struct fraction fraction;
    if (!fraction_read(text, strlen(text), &fraction))
        fail_msg("'%s' is no decimal", text);
    return fraction;
}

static void currencies_have_their_decimals(void **state)
{
    (void)state;
    static const struct currency known[] = {{"EUR", 2}, {"USD", 2}, {"GBP", 2}, {"JPY", 0},
                                            {"KRW", 0}, {"KWD", 3}, {"BHD", 3}, {"TND", 3},
                                            {"CLF", 4}, {"CHF", 2}, {"RDM", 2}};
    static const char *const none[] = {"", "EU", "EURO", "eur", "E R", "1UR"};
    struct currency found;
    struct error error;
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        assert_int_equal(currency_of(known[i].code).digits, known[i].digits);
        assert_string_equal(currency_of(known[i].code).code, known[i].code);
    }
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        assert_int_equal(currency_find(none[i], &found, &error), ERROR_INPUT);
}

static void amounts_read_and_write_alike(void **state)
{
    (void)state;
    static const struct {
        const char *code, *text;
        int64_t units;
    } amounts[] = {
        {"EUR", "25000.00", 2500000},
        {"EUR", "-0.05", -5},
        {"EUR", "0.00", 0},
        {"JPY", "-1200", -1200},
        {"KWD", "1.005", 1005},
        {"EUR", "92233720368547758.07", INT64_MAX},
        {"EUR", "-92233720368547758.08", INT64_MIN},
        {"JPY", "-9223372036854775808", INT64_MIN},
    };
    for (size_t i = 0; i < sizeof amounts / sizeof amounts[0]; i++) {
        struct currency currency = currency_of(amounts[i].code);
        struct money money;
        struct error error;
        char text[MONEY_TEXT_SIZE];
        assert_int_equal(money_read("it", amounts[i].text, &currency, &money, &error), 0);
        assert_true(money.units == amounts[i].units);
        money_format(text, &money);
        assert_string_equal(text, amounts[i].text);
    }
}

static void what_is_no_amount_is_refused(void **state)
{
    (void)state;
    static const char *const texts[] = {"",
                                        "12,5",
                                        "1 000",
                                        "0.005",
                                        "1.999",
                                        "nan",
                                        "0x10",
                                        "1e30",
                                        "92233720368547758.08",
                                        "12EUR",
                                        "1e-5",
                                        "--1",
                                        "-92233720368547758.09",
                                        "1..2",
                                        "1e999999",
                                        "1e-999999"};
    struct currency currency = currency_of("EUR");
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        struct money money = {7, currency};
        struct error error;
        assert_int_equal(money_read("it", texts[i], &currency, &money, &error), ERROR_INPUT);
        assert_true(money.units == 7);
        assert_memory_equal(error.text, "it: found ", 10);
    }
}

static void sums_that_do_not_fit_are_refused(void **state)
{
    (void)state;
    struct currency currency = currency_of("EUR");
    struct money most = {INT64_MAX, currency}, least = {INT64_MIN, currency}, one = {1, currency};
    assert_false(money_add(&most, &one));
    assert_true(most.units == INT64_MAX);
    assert_false(money_subtract(&least, &one));
    assert_true(least.units == INT64_MIN);
    assert_true(money_add(&least, &most));
    assert_true(least.units == -1);
    assert_true(money_subtract(&most, &one));
    assert_true(most.units == INT64_MAX - 1);
}

static void fractions_become_money_up_or_down(void **state)
{
    (void)state;
    struct currency currency = currency_of("EUR");
    struct money money;
    struct fraction third = fraction_of(-10, 3);
    assert_true(money_at_most(third, &currency, &money));
    assert_true(money.units == -334);
    assert_true(money_at_least(third, &currency, &money));
    assert_true(money.units == -333);
    assert_int_equal(fraction_compare(money_fraction(&money), decimal("-3.33")), 0);
    assert_false(money_at_most(decimal("92233720368547758.08"), &currency, &money));
    assert_false(money_at_most(fraction_divide(third, decimal("0")), &currency, &money));
}

/* A double stands for the decimal that it was written as, not for its bits. */
static void doubles_are_the_decimals_they_were_written_as(void **state)
{
    (void)state;
    assert_int_equal(fraction_compare(fraction_of_number(0.1), fraction_of(1, 10)), 0);
    assert_int_equal(fraction_compare(fraction_of_number(-1.1009), decimal("-1.1009")), 0);
    assert_int_equal(fraction_compare(fraction_of_number(1e-7), decimal("0.0000001")), 0);
    assert_true(fraction_failed(fraction_of_number(0.0 / 0.0)));
    assert_true(fraction_failed(fraction_of_number(1e300)));
    assert_true(fraction_failed(fraction_of_number(5e-324)));
    assert_true(fraction_number(decimal("0.3")) == 0.3);
    assert_true(fraction_number(decimal("-12345.678")) == -12345.678);
}

static void what_failed_stays_failed(void **state)
{
    (void)state;
    struct fraction large = decimal("1e36");
    struct fraction none = fraction_multiply(large, decimal("10"));
    char text[FRACTION_TEXT_SIZE];
    int64_t whole;
    assert_true(fraction_failed(none));
    assert_true(fraction_failed(fraction_subtract(none, none)));
    assert_true(fraction_failed(fraction_multiply(decimal("0"), none)));
    assert_true(fraction_failed(fraction_divide(decimal("1"), none)));
    assert_false(fraction_floor(none, &whole));
    assert_false(fraction_floor(large, &whole));
    fraction_format(text, none, 2, 2);
    assert_string_equal(text, "");
    assert_int_equal(fraction_compare(fraction_multiply(large, decimal("0.1")), decimal("1e35")),
                     0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(currencies_have_their_decimals),
        cmocka_unit_test(amounts_read_and_write_alike),
        cmocka_unit_test(what_is_no_amount_is_refused),
        cmocka_unit_test(sums_that_do_not_fit_are_refused),
        cmocka_unit_test(fractions_become_money_up_or_down),
        cmocka_unit_test(doubles_are_the_decimals_they_were_written_as),
        cmocka_unit_test(what_failed_stays_failed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
