#include "prices/csv_number.h"

#include "base/number.h"

#include <string.h>

static bool is_missing(struct csv_field field)
{
    static const char *const words[] = {"null", "nan", "na", "n/a", "none", "-"};
    char lower[8] = {0};
    if (field.length == 0)
        return true;
    if (field.length >= sizeof lower)
        return false;
    for (size_t i = 0; i < field.length; i++) {
        char c = field.bytes[i];
        lower[i] = c >= 'A' && c <= 'Z' ? (char)(c | 0x20) : c;
    }
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (strcmp(lower, words[i]) == 0)
            return true;
    return false;
}

/* Takes thousands marks out, which must stand before groups of three digits,
 * and writes the decimal sign as a point. Returns the length, 0 if the marks
 * are not where they belong. */
static size_t plain(struct csv_field field, struct csv_style style, char text[NUMBER_LONGEST])
{
    size_t used = 0;
    size_t group = 0; /* digits since the last mark */
    bool marked = false;
    bool whole = true;
    if (field.length >= NUMBER_LONGEST)
        return 0;
    for (size_t i = 0; i < field.length; i++) {
        char c = field.bytes[i];
        if (c == style.decimal) {
            if (!whole || (marked && group != 3))
                return 0;
            whole = false;
            text[used++] = '.';
        } else if (whole &&
                   ((style.thousands != '\0' && c == style.thousands) || c == ' ' || c == '\'')) {
            if (group == 0 || group > 3 || (marked && group != 3))
                return 0;
            marked = true;
            group = 0;
        } else {
            group += c >= '0' && c <= '9';
            text[used++] = c == '.' ? '?' : c;
        }
    }
    return whole && marked && group != 3 ? 0 : used;
}

enum csv_number csv_number_read(struct csv_field field, struct csv_style style, double *value)
{
    char text[NUMBER_LONGEST];
    if (style.decimal == '.' && number_parse(field.bytes, field.length, value)) {
        *value += 0.0; /* a negative zero is zero */
        return CSV_NUMBER;
    }
    if (is_missing(field))
        return CSV_MISSING;
    size_t length = plain(field, style, text);
    if (length == 0 || !number_parse(text, length, value))
        return CSV_NO_NUMBER;
    *value += 0.0;
    return CSV_NUMBER;
}

void csv_style_look(struct csv_style_votes *votes, struct csv_field field)
{
    size_t commas = 0;
    size_t points = 0;
    size_t behind = 0; /* digits behind the last mark */
    char last = '\0';
    for (size_t i = 0; i < field.length; i++) {
        char c = field.bytes[i];
        commas += c == ',';
        points += c == '.';
        if (c == ',' || c == '.') {
            last = c;
            behind = 0;
        } else if (c >= '0' && c <= '9') {
            behind++;
        } else if (c != '-' && c != '+' && c != ' ' && c != '\'') {
            return;
        }
    }
    if (commas + points == 0)
        return;
    if (commas > 0 && points > 0)
        *(last == ',' ? &votes->comma_decimal : &votes->point_decimal) += 1;
    else if (commas > 1 || (commas == 1 && behind != 3))
        *(commas > 1 ? &votes->point_decimal : &votes->comma_decimal) += 1;
    else if (points > 1 || (points == 1 && behind != 3))
        *(points > 1 ? &votes->comma_decimal : &votes->point_decimal) += 1;
    else
        *(commas == 1 ? &votes->comma_groups : &votes->point_groups) += 1;
}

struct csv_style csv_style_settle(const struct csv_style_votes *votes, char separator)
{
    static const struct csv_style comma = {',', '.'};
    static const struct csv_style point = {'.', ','};
    if (votes->comma_decimal != votes->point_decimal)
        return votes->comma_decimal > votes->point_decimal ? comma : point;
    /* Three digits behind every mark. */
    if (votes->comma_groups > votes->point_groups && separator == ';')
        return comma;
    return point;
}
