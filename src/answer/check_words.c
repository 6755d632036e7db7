#include "answer/check_words.h"

#include "base/words.h"
#include "draw/ticks.h"

#include <math.h>

/* From here on four digits would be written with an exponent. */
static const double four_digits = 9999.5;

static void number_words(struct text *text, double number)
{
    const char *sign = number < 0 ? "\xE2\x88\x92" : "";
    double size = fabs(number);
    if (isinf(number)) /* shadows of a body without length */
        text_append_format(text, "%s\xE2\x88\x9E", sign);
    else
        text_append_format(text, size < four_digits ? "%s%.4g" : "%s%.0f", sign, size);
}

static bool on_grid(double value, int decimals)
{
    double steps = value * pow(10, decimals);
    return fabs(steps - round(steps)) < 1e-6;
}

void reading_value_words(struct text *text, int decimals, const struct reading *reading,
                         double value)
{
    char digits[TICK_TEXT_SIZE];
    if (isnan(value))
        return;
    if (reading->kind != READING_PRICE) {
        number_words(text, value);
        return;
    }
    number_text(value, decimals + (on_grid(value, decimals) ? 0 : 2), digits);
    text_append(text, digits);
}

void check_name_words(struct text *text, const struct check *check)
{
    char name[READING_NAME_SIZE];
    const struct reading *reading = &check->reading;
    text_append(text, check->negated ? "not: " : "");
    text_append(text, reading->name != NULL ? reading_name(reading, name) : check->rule);
}

void reading_limit_words(struct text *text, int decimals, const struct reading *reading,
                         size_t within)
{
    bool numbers = !isnan(reading->limit);
    if (numbers) {
        text_append_format(text, "%s ", comparison_words(reading->comparison));
        reading_value_words(text, decimals, reading, reading->limit);
        text_append_format(text, "%s%s", reading->unit[0] != '\0' ? " " : "",
                           reading_unit(reading));
    }
    if (within > 0)
        text_append_format(text, "%swithin %zu %s", numbers ? ", " : "", within,
                           count_word(within, "bar", "bars"));
}

void check_limit_words(struct text *text, int decimals, const struct check *check)
{
    reading_limit_words(text, decimals, &check->reading,
                        check->part != NULL ? check->part->within : 0);
}

void reading_measured_words(struct text *text, int decimals, const struct reading *reading)
{
    char digits[TICK_TEXT_SIZE];
    double size = fabs(reading->value);
    if (reading->kind == READING_PRICE || !(size < four_digits)) {
        reading_value_words(text, decimals, reading, reading->value);
        return;
    }
    number_text(reading->value, reading_decimals(reading), digits);
    text_append(text, digits);
}

void check_measured_words(struct text *text, int decimals, const struct check *check)
{
    reading_measured_words(text, decimals, &check->reading);
}

const char *check_answer_words(const struct check *check)
{
    static const char *const words[] =
        {[TRUTH_NO] = "not met", [TRUTH_YES] = "met", [TRUTH_UNDEFINED] = "cannot be told"};
    return words[check->holds];
}

void check_missed_words(struct text *text, const struct check *check, double missed_by)
{
    if (!isfinite(missed_by))
        return;
    if (check->reading.kind == READING_PRICE)
        text_append_format(text, missed_by < 0.005 ? "under 0.01 ATR" : "%.2f ATR", missed_by);
    else if (missed_by < 0.095)
        text_append_format(text, "%.1f %% of the limit", 100 * missed_by);
    else
        text_append_format(text, "%.0f %% of the limit", 100 * missed_by);
}
