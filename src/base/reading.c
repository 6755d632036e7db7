#include "base/reading.h"

#include <math.h>
#include <string.h>

int reading_decimals(const struct reading *reading)
{
    enum { USUAL = 2, MOST = 8 };
    double size = fabs(reading->value);
    int decimals = strncmp(reading->unit, "bars", 4) == 0 ? 0 : USUAL;
    double steps = decimals == 0 ? 1 : 100; /* of the last decimal in 1 */
    while (decimals < MOST) {
        bool few = decimals > 0 && size > 0 && size * steps < 9.5;
        bool taken_for_limit = reading->value != reading->limit &&
                               round(reading->value * steps) == round(reading->limit * steps);
        if (!few && !taken_for_limit)
            break;
        decimals++;
        steps *= 10;
    }
    return decimals;
}

const char *reading_unit(const struct reading *reading)
{
    return reading->limit == 1 && strcmp(reading->unit, "bodies") == 0 ? "body" : reading->unit;
}

const char *comparison_words(enum comparison comparison)
{
    static const char *const words[] = {"at least", "at most", "above", "below"};
    return words[comparison];
}

static const enum comparison turned[] = {
    [COMPARE_AT_LEAST] = COMPARE_AT_MOST,
    [COMPARE_AT_MOST] = COMPARE_AT_LEAST,
    [COMPARE_ABOVE] = COMPARE_BELOW,
    [COMPARE_BELOW] = COMPARE_ABOVE,
};

/* Words that change places when a chart is turned upside down. */
static const char *const opposite_words[][2] = {
    {"high", "low"},           {"highs", "lows"},     {"highest", "lowest"},
    {"above", "below"},        {"upper", "lower"},    {"top", "bottom"},
    {"support", "resistance"}, {"falling", "rising"}, {"fall", "rise"},
};

static const char *opposite_word(const char *word, size_t length)
{
    for (size_t i = 0; i < sizeof opposite_words / sizeof opposite_words[0]; i++)
        for (int side = 0; side < 2; side++) {
            const char *known = opposite_words[i][side];
            if (strlen(known) == length && memcmp(known, word, length) == 0)
                return opposite_words[i][!side];
        }
    return NULL;
}

static bool is_letter(char c)
{
    return c >= 'a' && c <= 'z';
}

const char *reading_name(const struct reading *reading, char name[READING_NAME_SIZE])
{
    size_t used = 0;
    bool quoted = false; /* the name of an instrument stays as it is */
    for (const char *from = reading->name; *from != '\0' && used + 1 < READING_NAME_SIZE;) {
        size_t length = 1;
        while (is_letter(from[0]) && is_letter(from[length]))
            length++;
        quoted = quoted != (*from == '\'');
        const char *word = reading->mirrored && !quoted ? opposite_word(from, length) : NULL;
        const char *bytes = word != NULL ? word : from;
        size_t room = READING_NAME_SIZE - 1 - used;
        size_t taken = word != NULL ? strlen(word) : length;
        taken = taken < room ? taken : room;
        memcpy(name + used, bytes, taken);
        used += taken;
        from += length;
    }
    name[used] = '\0';
    return name;
}

struct reading reading_mirrored(struct reading reading)
{
    reading.mirrored = !reading.mirrored;
    if (reading.kind == READING_PLAIN)
        return reading;
    double zero = reading.kind == READING_PRICE ? 0 : 100;
    reading.value = zero - reading.value;
    reading.limit = zero - reading.limit;
    reading.comparison = turned[reading.comparison];
    return reading;
}

static enum truth truth(bool defined, bool holds)
{
    return !defined ? TRUTH_UNDEFINED : holds ? TRUTH_YES : TRUTH_NO;
}

static bool defined(double a, double b, double tolerance)
{
    return !isnan(a) && !isnan(b) && !isnan(tolerance);
}

enum truth at_least(double a, double b, double tolerance)
{
    return truth(defined(a, b, tolerance), a - b >= -tolerance);
}

enum truth at_most(double a, double b, double tolerance)
{
    return truth(defined(a, b, tolerance), a - b <= tolerance);
}

enum truth above(double a, double b, double tolerance)
{
    return truth(defined(a, b, tolerance), a - b > tolerance);
}

enum truth below(double a, double b, double tolerance)
{
    return truth(defined(a, b, tolerance), a - b < -tolerance);
}

enum truth truth_and(enum truth a, enum truth b)
{
    if (a == TRUTH_NO || b == TRUTH_NO)
        return TRUTH_NO;
    return a == TRUTH_UNDEFINED || b == TRUTH_UNDEFINED ? TRUTH_UNDEFINED : TRUTH_YES;
}

enum truth truth_or(enum truth a, enum truth b)
{
    if (a == TRUTH_YES || b == TRUTH_YES)
        return TRUTH_YES;
    return a == TRUTH_UNDEFINED || b == TRUTH_UNDEFINED ? TRUTH_UNDEFINED : TRUTH_NO;
}

enum truth truth_not(enum truth a)
{
    return a == TRUTH_UNDEFINED ? TRUTH_UNDEFINED : a == TRUTH_YES ? TRUTH_NO : TRUTH_YES;
}
