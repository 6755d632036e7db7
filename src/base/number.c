#include "base/number.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Powers of ten that a double holds exactly. */
static const double exact_power[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                     1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                     1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

void number_format(char text[NUMBER_TEXT_SIZE], double value)
{
    if (isnan(value)) {
        text[0] = '\0';
        return;
    }
    if (value == 0) {
        strcpy(text, "0");
        return;
    }
    /* Every decimal of up to 15 digits survives a normal double; subnormal ones
     * hold fewer. */
    for (int digits = fabs(value) < DBL_MIN ? 1 : 15; digits <= 17; digits++) {
        snprintf(text, NUMBER_TEXT_SIZE, "%.*g", digits, value);
        if (digits == 17 || strtod(text, NULL) == value)
            return;
    }
}

/* The pieces of a decimal number: digits * 10^exponent. */
struct decimal {
    bool negative;
    uint64_t digits;
    int digit_count; /* significant digits read into `digits` */
    int64_t exponent;
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Reads an exponent; huge ones stop growing, they are infinite or zero. */
static bool read_exponent(const char *bytes, size_t length, int64_t *exponent)
{
    size_t i = 0;
    bool negative = false;
    if (i < length && (bytes[i] == '+' || bytes[i] == '-'))
        negative = bytes[i++] == '-';
    if (i == length)
        return false;
    int64_t value = 0;
    for (; i < length; i++) {
        if (!is_digit(bytes[i]))
            return false;
        if (value < 100000)
            value = value * 10 + (bytes[i] - '0');
    }
    *exponent = negative ? -value : value;
    return true;
}

static bool read_decimal(const char *bytes, size_t length, struct decimal *decimal)
{
    size_t i = 0;
    bool point = false;
    size_t seen = 0;
    *decimal = (struct decimal){0};
    if (length > 0 && (bytes[0] == '-' || bytes[0] == '+'))
        decimal->negative = bytes[i++] == '-';
    for (; i < length && (is_digit(bytes[i]) || (bytes[i] == '.' && !point)); i++) {
        if (bytes[i] == '.') {
            point = true;
            continue;
        }
        seen++;
        if (decimal->digit_count < 19) {
            decimal->digits = decimal->digits * 10 + (uint64_t)(bytes[i] - '0');
            decimal->digit_count += decimal->digits > 0;
            decimal->exponent -= point;
        } else {
            decimal->digit_count++;
            decimal->exponent += !point;
        }
    }
    if (seen == 0)
        return false;
    if (i == length)
        return true;
    int64_t exponent = 0;
    if ((bytes[i] != 'e' && bytes[i] != 'E') ||
        !read_exponent(bytes + i + 1, length - i - 1, &exponent))
        return false;
    decimal->exponent += exponent;
    return true;
}

/* The library's correctly rounded reading, for what the fast path cannot. */
static double parse_slowly(const char *bytes, size_t length)
{
    char copy[NUMBER_LONGEST + 1];
    memcpy(copy, bytes, length);
    copy[length] = '\0';
    return strtod(copy, NULL);
}

bool number_parse(const char *bytes, size_t length, double *value)
{
    struct decimal decimal;
    if (length > NUMBER_LONGEST || !read_decimal(bytes, length, &decimal))
        return false;
    /* Both factors exact, so one correctly rounded operation (Clinger 1990). */
    if (decimal.digits <= (1ULL << 53) && decimal.digit_count <= 19 && decimal.exponent >= -22 &&
        decimal.exponent <= 22) {
        double magnitude = (double)decimal.digits;
        if (decimal.exponent < 0)
            magnitude /= exact_power[-decimal.exponent];
        else
            magnitude *= exact_power[decimal.exponent];
        *value = decimal.negative ? -magnitude : magnitude;
        return true;
    }
    *value = parse_slowly(bytes, length);
    return true;
}

bool number_parse_integer(const char *bytes, size_t length, int64_t *value)
{
    size_t i = 0;
    bool negative = false;
    if (length > 0 && (bytes[0] == '-' || bytes[0] == '+'))
        negative = bytes[i++] == '-';
    if (i == length)
        return false;
    int64_t result = 0;
    for (; i < length; i++) {
        int digit = bytes[i] - '0';
        if (!is_digit(bytes[i]) || __builtin_mul_overflow(result, (int64_t)10, &result) ||
            __builtin_sub_overflow(result, (int64_t)digit, &result))
            return false;
    }
    if (!negative && result == INT64_MIN)
        return false;
    *value = negative ? result : -result;
    return true;
}

/* The decimal of the fewest places within 1e-9 of the value. */
static bool shortest_tick(struct tick *tick, double value)
{
    if (!isfinite(value) || value <= 0)
        return false;
    for (int digits = 0; digits <= 15; digits++) {
        double scaled = value * exact_power[digits];
        double whole = round(scaled);
        if (whole >= 9e15)
            return false;
        if (whole >= 1 && fabs(scaled - whole) <= 1e-9 * whole) {
            tick->mantissa = (int64_t)whole;
            tick->digits = digits;
            tick->value = whole / exact_power[digits];
            return true;
        }
    }
    return false;
}

bool tick_from_number(struct tick *tick, double value)
{
    struct tick shorter;
    if (!shortest_tick(tick, value))
        return false;
    /* The decimal found may itself have a shorter one near it. Gone on to the last,
     * a tick that is written and read again stays what it is. */
    while (shortest_tick(&shorter, tick->value) && shorter.digits < tick->digits)
        *tick = shorter;
    return true;
}

double tick_multiple(const struct tick *tick, double count)
{
    double numerator = count * (double)tick->mantissa;
    if (fabs(numerator) < 9007199254740992.0)
        return numerator / exact_power[tick->digits];
    return count * tick->value;
}

static double whole_ticks(const struct tick *tick, double price, double (*direction)(double))
{
    double quotient = price / tick->value;
    double nearest = round(quotient);
    if (!isfinite(quotient))
        return price;
    return tick_multiple(tick, fabs(quotient - nearest) <= 1e-6 ? nearest : direction(quotient));
}

double tick_round_up(const struct tick *tick, double price)
{
    return whole_ticks(tick, price, ceil);
}

double tick_round_down(const struct tick *tick, double price)
{
    return whole_ticks(tick, price, floor);
}
