/* Numbers: read as the C library reads them (glibc's strtod is correctly
 * rounded), written so that they read back the same. */
#include "base/number.h"

#include "base/random.h"

#include <float.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void assert_same(double found, double expected, const char *text)
{
    if (memcmp(&found, &expected, sizeof found) != 0)
        fail_msg("'%s' read as %a, not %a", text, found, expected);
}

static double parsed(const char *text)
{
    double value = NAN;
    if (!number_parse(text, strlen(text), &value))
        fail_msg("'%s' is no number", text);
    return value;
}

/* Inputs near the middle of two doubles: the difficult ones of Clinger, "How
 * to read floating point numbers accurately" (1990), and Paxson's test
 * program for decimal-binary conversion (1991), from memory; the doubles are
 * the C library's. */
static void hard_cases_read_as_the_library_reads_them(void **state)
{
    (void)state;
    static const char *const texts[] = {"5e125",
                                        "69e267",
                                        "999e-26",
                                        "7861e-34",
                                        "75569e-254",
                                        "928609e-261",
                                        "9210917e80",
                                        "84863171e114",
                                        "653777767e273",
                                        "5232604057e-298",
                                        "9e-265",
                                        "85e-37",
                                        "623e100",
                                        "3571e263",
                                        "81661e153",
                                        "920657e-23",
                                        "4603285e-24",
                                        "87575437e-309",
                                        "245540327e122",
                                        "6138508175e120",
                                        "1e23",
                                        "8.5e22",
                                        "2.2250738585072011e-308",
                                        "0.000001",
                                        "123456.789e3",
                                        "1.00000000000000011102230246251565404236316680908203125",
                                        "1.00000000000000011102230246251565404236316680908203124",
                                        "1.00000000000000011102230246251565404236316680908203126",
                                        "179769313486231580793728971405301e276",
                                        "0.1e1",
                                        "00000000000000000000.1",
                                        "100000000000000016777215",
                                        "100000000000000016777216",
                                        "9007199254740993.00000000001"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        assert_same(parsed(texts[i]), strtod(texts[i], NULL), texts[i]);
}

/* Edges of IEEE 754 binary64, whose hexadecimal forms follow from the format:
 * 53 bits, exponents -1022 to 1023, ties to even. */
static void edges_of_the_format(void **state)
{
    (void)state;
    assert_same(parsed("9007199254740993"), 0x1p53, "2^53 + 1: tie to even");
    assert_same(parsed("9007199254740995"), 0x1.0000000000002p53, "2^53 + 3: tie to even");
    assert_same(parsed("1.7976931348623157e308"), 0x1.fffffffffffffp1023, "largest");
    assert_same(parsed("1.7976931348623159e308"), INFINITY, "beyond the largest");
    assert_same(parsed("-1e400"), -INFINITY, "-1e400");
    assert_same(parsed("1e99999999999999999999"), INFINITY, "huge exponent");
    assert_same(parsed("1e-99999999999999999999"), 0, "tiny exponent");
    assert_same(parsed("2.2250738585072014e-308"), 0x1p-1022, "smallest normal");
    assert_same(parsed("2.2250738585072011e-308"), 0x0.fffffffffffffp-1022, "largest subnormal");
    assert_same(parsed("4.9406564584124654e-324"), 0x1p-1074, "smallest");
    assert_same(parsed("2.4703282292062328e-324"), 0x1p-1074, "above half of the smallest");
    assert_same(parsed("2.4703282292062327e-324"), 0, "below half of the smallest");
    assert_same(parsed("-0"), -0.0, "-0");
    assert_same(parsed("+.5"), 0.5, "+.5");
    assert_same(parsed("5."), 5, "5.");
}

static void what_is_no_number(void **state)
{
    (void)state;
    static const char *const texts[] =
        {"",    ".",   "+",   "-",     "e5",  "1e",   "1e+",   "1 ",  " 1",           "1,5",
         "0x1", "nan", "inf", "1.2.3", "--1", "1e5.", "1_000", "1d5", "\xef\xbc\x91", "1\n"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        double value = 17;
        if (number_parse(texts[i], strlen(texts[i]), &value))
            fail_msg("'%s' was taken for a number", texts[i]);
        assert_true(value == 17);
    }
    char zeros[NUMBER_LONGEST + 1];
    double value = 17;
    memset(zeros, '0', sizeof zeros);
    assert_true(number_parse(zeros, NUMBER_LONGEST, &value));
    assert_false(number_parse(zeros, NUMBER_LONGEST + 1, &value));
    assert_false(number_parse("1\0", 2, &value));
}

/* A decimal of random length, point and exponent. */
static void random_decimal(struct random_stream *stream, char *text, size_t size)
{
    size_t digits = 1 + random_below(stream, random_below(stream, 4) == 0 ? 40 : 17);
    size_t point = random_below(stream, digits + 1);
    size_t used = 0;
    if (random_below(stream, 4) == 0)
        text[used++] = '-';
    for (size_t i = 0; i < digits; i++) {
        if (i == point)
            text[used++] = '.';
        text[used++] = (char)('0' + random_below(stream, 10));
    }
    text[used] = '\0';
    int widest = random_below(stream, 2) == 0 ? 25 : 330;
    if (random_below(stream, 2) == 0)
        snprintf(text + used, size - used, "e%d",
                 (int)random_below(stream, (uint64_t)(2 * widest)) - widest);
}

static void a_million_decimals_read_as_the_library_reads_them(void **state)
{
    (void)state;
    struct random_stream stream;
    random_start(&stream, 20240229, 1);
    for (int i = 0; i < 1000000; i++) {
        char text[80];
        random_decimal(&stream, text, sizeof text);
        assert_same(parsed(text), strtod(text, NULL), text);
    }
}

static void a_million_doubles_read_back_the_same(void **state)
{
    (void)state;
    struct random_stream stream;
    random_start(&stream, 20240229, 2);
    for (int i = 0; i < 1000000; i++) {
        uint64_t bits = random_bits(&stream);
        double value = 0;
        char text[NUMBER_TEXT_SIZE];
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value) || value == 0)
            continue;
        number_format(text, value);
        assert_same(parsed(text), value, text);
    }
}

/* The shortest decimals that identify a double (Steele & White 1990). */
static void the_shortest_decimal_is_written(void **state)
{
    (void)state;
    static const struct {
        double value;
        const char *text;
    } cases[] = {{0.1, "0.1"},
                 {0.3, "0.3"},
                 {0.1 + 0.2, "0.30000000000000004"},
                 {1.0 / 3, "0.3333333333333333"},
                 {100, "100"},
                 {1e21, "1e+21"},
                 {1e23, "1e+23"},
                 {123456789012345, "123456789012345"},
                 {5e-324, "5e-324"},
                 {DBL_MIN, "2.2250738585072014e-308"},
                 {DBL_MAX, "1.7976931348623157e+308"},
                 {-0.0, "0"},
                 {-2.5, "-2.5"},
                 {INFINITY, "inf"},
                 {-INFINITY, "-inf"},
                 {NAN, ""}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[NUMBER_TEXT_SIZE];
        number_format(text, cases[i].value);
        assert_string_equal(text, cases[i].text);
    }
}

/* No text of fewer digits reads back, by the library's reading of each. */
static void no_shorter_text_reads_back(void **state)
{
    (void)state;
    struct random_stream stream;
    random_start(&stream, 20240229, 3);
    for (int i = 0; i < 20000; i++) {
        uint64_t bits = random_bits(&stream);
        double value = 0;
        char text[NUMBER_TEXT_SIZE];
        char shorter[NUMBER_TEXT_SIZE];
        /* Half of them decimals, as prices are. */
        memcpy(&value, &bits, sizeof value);
        if (i % 2 == 0)
            value = (double)random_below(&stream, 100000000) / pow(10, (double)(i % 9));
        if (!isfinite(value) || value == 0)
            continue;
        number_format(text, value);
        int digits = 0;
        for (const char *c = text; *c != '\0' && *c != 'e'; c++)
            digits += *c >= '0' && *c <= '9' && (digits > 0 || *c != '0');
        assert_true(strtod(text, NULL) == value);
        for (int fewer = 1; fewer < digits && fewer < 17; fewer++) {
            snprintf(shorter, sizeof shorter, "%.*g", fewer, value);
            if (strtod(shorter, NULL) == value && strlen(shorter) < strlen(text))
                fail_msg("%s is as good as %s", shorter, text);
        }
    }
}

static void whole_numbers(void **state)
{
    (void)state;
    int64_t value = 17;
    assert_true(number_parse_integer("9223372036854775807", 19, &value) && value == INT64_MAX);
    assert_true(number_parse_integer("-9223372036854775808", 20, &value) && value == INT64_MIN);
    assert_true(number_parse_integer("+007", 4, &value) && value == 7);
    static const char *const texts[] = {"",
                                        "-",
                                        "1.0",
                                        "1e3",
                                        "9223372036854775808",
                                        " 1",
                                        "1 ",
                                        "-9223372036854775809",
                                        "99999999999999999999",
                                        "0x1"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        value = 17;
        if (number_parse_integer(texts[i], strlen(texts[i]), &value) || value != 17)
            fail_msg("'%s' was taken for a whole number", texts[i]);
    }
}

static void a_tick_is_a_decimal(void **state)
{
    (void)state;
    static const struct {
        double value;
        int64_t mantissa;
        int digits;
    } cases[] = {{0.01, 1, 2}, {0.25, 25, 2}, {1, 1, 0},           {5, 5, 0},     {0.0005, 5, 4},
                 {2.5, 25, 1}, {1e-8, 1, 8},  {1.0 / 32, 3125, 5}, {1e-15, 1, 15}};
    struct tick tick;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_true(tick_from_number(&tick, cases[i].value));
        assert_int_equal(tick.mantissa, cases[i].mantissa);
        assert_int_equal(tick.digits, cases[i].digits);
        assert_same(tick.value, cases[i].value, "tick");
    }
    static const double none[] = {0, -0.01, NAN, INFINITY, 1e300, 1e-300};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        assert_false(tick_from_number(&tick, none[i]));
}

/* A price off the grid goes to the multiple above or below; one on the grid
 * stays the double that its decimal reads as. */
static void prices_round_to_the_grid(void **state)
{
    (void)state;
    struct tick tick;
    char text[NUMBER_TEXT_SIZE];
    assert_true(tick_from_number(&tick, 0.01));
    for (int cents = -300000; cents <= 300000; cents++) {
        snprintf(text, sizeof text, "%s%d.%02d", cents < 0 ? "-" : "", abs(cents) / 100,
                 abs(cents) % 100);
        double price = strtod(text, NULL);
        if (tick_round_up(&tick, price) != price || tick_round_down(&tick, price) != price)
            fail_msg("%s left the grid", text);
        if (tick_round_up(&tick, price - 0.004) != price ||
            tick_round_down(&tick, price + 0.004) != price)
            fail_msg("%s is not where its neighbours round to", text);
    }
    assert_same(tick_round_up(&tick, 10.120000001), 10.12, "within 1e-6 of a tick");
    assert_same(tick_round_up(&tick, 10.1201), 10.13, "up");
    assert_same(tick_round_down(&tick, -10.1201), -10.13, "down is towards minus infinity");
    assert_true(isnan(tick_round_up(&tick, NAN)));
    assert_true(tick_round_down(&tick, INFINITY) == INFINITY);
}

/* Whatever grid a number gives, its value gives the same one. */
static void a_tick_of_a_tick_is_itself(void **state)
{
    (void)state;
    static const double values[] = {2.07777777777, 0.0123456789, 1.0 / 3, 0.01, 32.0 / 7};
    struct random_stream random;
    random_start(&random, 128, 1);
    for (size_t i = 0; i < 20000; i++) {
        double value = i < sizeof values / sizeof values[0] ? values[i]
                                                            : random_unit(&random) * 100;
        struct tick tick, again;
        if (!tick_from_number(&tick, value))
            continue;
        assert_true(tick_from_number(&again, tick.value));
        assert_int_equal(again.mantissa, tick.mantissa);
        assert_int_equal(again.digits, tick.digits);
        assert_true(fabs(tick.value - value) <= 1e-8 * value);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tick_of_a_tick_is_itself),
        cmocka_unit_test(hard_cases_read_as_the_library_reads_them),
        cmocka_unit_test(edges_of_the_format),
        cmocka_unit_test(what_is_no_number),
        cmocka_unit_test(a_million_decimals_read_as_the_library_reads_them),
        cmocka_unit_test(a_million_doubles_read_back_the_same),
        cmocka_unit_test(the_shortest_decimal_is_written),
        cmocka_unit_test(no_shorter_text_reads_back),
        cmocka_unit_test(whole_numbers),
        cmocka_unit_test(a_tick_is_a_decimal),
        cmocka_unit_test(prices_round_to_the_grid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
