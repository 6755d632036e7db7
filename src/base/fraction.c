#include "base/fraction.h"

#include "base/number.h"

#include <math.h>
#include <string.h>

static const struct fraction failed = {0, 0};

/* 10^18, twice. */
static const wide largest = (wide)1000000000000000000 * 1000000000000000000;

bool fraction_failed(struct fraction fraction)
{
    return fraction.bottom == 0;
}

static wide absolute(wide number)
{
    return number < 0 ? -number : number;
}

static wide common_divisor(wide a, wide b)
{
    a = absolute(a);
    while (b != 0) {
        wide rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

static bool holds(wide number)
{
    return number <= largest && number >= -largest;
}

/* In lowest terms; both parts have been checked for overflow of 128 bits. */
static struct fraction reduced(wide top, wide bottom)
{
    wide divisor = common_divisor(top, bottom);
    if (divisor > 1) {
        top /= divisor;
        bottom /= divisor;
    }
    return holds(top) && holds(bottom) ? (struct fraction){top, bottom} : failed;
}

struct fraction fraction_of(int64_t top, int64_t bottom)
{
    return bottom < 0 ? reduced(-(wide)top, -(wide)bottom) : reduced(top, bottom);
}

/* --- reading ----------------------------------------------------------------------- */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* value * 10^power */
static struct fraction scaled(wide value, int64_t power)
{
    wide bottom = 1;
    for (; power > 0 && value != 0; power--) {
        if (!holds(value))
            return failed;
        value *= 10;
    }
    for (; power < 0 && value != 0; power++) {
        if (value % 10 == 0) {
            value /= 10;
            continue;
        }
        if (bottom >= largest)
            return failed;
        bottom *= 10;
    }
    return reduced(value, bottom);
}

bool fraction_read(const char *bytes, size_t length, struct fraction *fraction)
{
    double checked;
    if (!number_parse(bytes, length, &checked))
        return false;
    size_t i = bytes[0] == '-' || bytes[0] == '+';
    wide value = 0;
    int64_t power = 0;
    int64_t exponent = 0;
    bool point = false;
    bool too_long = false;
    for (; i < length && (is_digit(bytes[i]) || bytes[i] == '.'); i++) {
        if (bytes[i] == '.') {
            point = true;
            continue;
        }
        too_long = too_long || value > largest / 10;
        if (!too_long)
            value = value * 10 + (bytes[i] - '0');
        power -= point;
    }
    if (i < length)
        too_long = !number_parse_integer(bytes + i + 1, length - i - 1, &exponent) ||
                   exponent > 1000 || exponent < -1000 || too_long;
    *fraction = too_long ? failed : scaled(bytes[0] == '-' ? -value : value, power + exponent);
    return true;
}

struct fraction fraction_of_number(double value)
{
    char text[NUMBER_TEXT_SIZE];
    struct fraction fraction = failed;
    number_format(text, value);
    fraction_read(text, strlen(text), &fraction);
    return fraction;
}

/* --- arithmetic ---------------------------------------------------------------------- */

static bool times(wide a, wide b, wide *product)
{
    return !__builtin_mul_overflow(a, b, product);
}

struct fraction fraction_add(struct fraction a, struct fraction b)
{
    wide left, right, top, bottom;
    if (fraction_failed(a) || fraction_failed(b))
        return failed;
    wide divisor = common_divisor(a.bottom, b.bottom);
    if (!times(a.top, b.bottom / divisor, &left) || !times(b.top, a.bottom / divisor, &right) ||
        __builtin_add_overflow(left, right, &top) || !times(a.bottom / divisor, b.bottom, &bottom))
        return failed;
    return reduced(top, bottom);
}

struct fraction fraction_subtract(struct fraction a, struct fraction b)
{
    return fraction_add(a, (struct fraction){-b.top, b.bottom});
}

struct fraction fraction_multiply(struct fraction a, struct fraction b)
{
    wide top, bottom;
    if (fraction_failed(a) || fraction_failed(b))
        return failed;
    /* Cancelled crosswise first, so that nothing grows that need not. */
    struct fraction first = reduced(a.top, b.bottom);
    struct fraction second = reduced(b.top, a.bottom);
    if (!times(first.top, second.top, &top) || !times(first.bottom, second.bottom, &bottom) ||
        !holds(top) || !holds(bottom))
        return failed;
    return (struct fraction){top, bottom};
}

struct fraction fraction_divide(struct fraction a, struct fraction b)
{
    if (fraction_failed(b) || b.top == 0)
        return failed;
    struct fraction turned = b.top < 0 ? (struct fraction){-b.bottom, -b.top}
                                       : (struct fraction){b.bottom, b.top};
    return fraction_multiply(a, turned);
}

struct fraction fraction_absolute(struct fraction fraction)
{
    return (struct fraction){absolute(fraction.top), fraction.bottom};
}

int fraction_sign(struct fraction fraction)
{
    return (fraction.top > 0) - (fraction.top < 0);
}

static wide floor_of(wide top, wide bottom)
{
    return top / bottom - (top % bottom < 0);
}

int fraction_compare(struct fraction a, struct fraction b)
{
    /* Whole parts, then what is left turned over, as in Euclid's algorithm: no
     * product that could be too large. */
    for (int sign = 1;; sign = -sign) {
        wide whole_a = floor_of(a.top, a.bottom);
        wide whole_b = floor_of(b.top, b.bottom);
        if (whole_a != whole_b)
            return whole_a < whole_b ? -sign : sign;
        wide rest_a = a.top - whole_a * a.bottom;
        wide rest_b = b.top - whole_b * b.bottom;
        if (rest_a == 0 || rest_b == 0)
            return sign * ((rest_a > 0) - (rest_b > 0));
        a = (struct fraction){a.bottom, rest_a};
        b = (struct fraction){b.bottom, rest_b};
    }
}

static bool fits(wide number, int64_t *whole)
{
    if (number < INT64_MIN || number > INT64_MAX)
        return false;
    *whole = (int64_t)number;
    return true;
}

bool fraction_floor(struct fraction fraction, int64_t *whole)
{
    return !fraction_failed(fraction) && fits(floor_of(fraction.top, fraction.bottom), whole);
}

bool fraction_ceiling(struct fraction fraction, int64_t *whole)
{
    return !fraction_failed(fraction) && fits(-floor_of(-fraction.top, fraction.bottom), whole);
}

/* --- writing ------------------------------------------------------------------------- */

/* The digits of a number that is not negative, written backwards from the end. */
static char *digits_before(char *end, wide number)
{
    do {
        *--end = (char)('0' + (int)(number % 10));
        number /= 10;
    } while (number > 0);
    return end;
}

/* Adds one to the last of the decimal digits [first, end); true where it carries. */
static bool round_up(char *first, char *end)
{
    while (end > first) {
        if (*--end != '9') {
            ++*end;
            return false;
        }
        *end = '0';
    }
    return true;
}

void fraction_format(char text[FRACTION_TEXT_SIZE], struct fraction fraction, int least, int most)
{
    char places[FRACTION_PLACES];
    char room[FRACTION_TEXT_SIZE];
    int count = 0;
    text[0] = '\0';
    if (fraction_failed(fraction))
        return;
    wide top = absolute(fraction.top);
    wide whole = top / fraction.bottom;
    wide rest = top % fraction.bottom;
    for (; count < most && (rest > 0 || count < least); count++) {
        rest *= 10;
        places[count] = (char)('0' + (int)(rest / fraction.bottom));
        rest %= fraction.bottom;
    }
    if (rest * 2 >= fraction.bottom && round_up(places, places + count))
        whole++;
    while (count > least && places[count - 1] == '0')
        count--;
    bool zero = whole == 0;
    for (int i = 0; i < count; i++)
        zero = zero && places[i] == '0';
    char *digits = digits_before(room + sizeof room, whole);
    size_t length = (size_t)(room + sizeof room - digits);
    char *at = text;
    if (fraction.top < 0 && !zero)
        *at++ = '-';
    memcpy(at, digits, length);
    at += length;
    if (count > 0)
        *at++ = '.';
    memcpy(at, places, (size_t)count);
    at[count] = '\0';
}

double fraction_number(struct fraction fraction)
{
    char text[FRACTION_TEXT_SIZE];
    double number = NAN;
    int places = 0;
    /* Twenty digits behind the first that is not 0 are more than a double holds. */
    for (wide top = absolute(fraction.top); top != 0 && top < fraction.bottom && places < 20;
         top *= 10)
        places++;
    fraction_format(text, fraction, 0, places + 20);
    number_parse(text, strlen(text), &number);
    return number;
}
