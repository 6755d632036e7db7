#include "prices/csv_time.h"

#include "base/calendar.h"

#include <string.h>

/* Reads along a text. */
struct cursor {
    const char *at;
    const char *end;
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static void skip(struct cursor *cursor, const char *any)
{
    while (cursor->at < cursor->end && *cursor->at != '\0' && strchr(any, *cursor->at) != NULL)
        cursor->at++;
}

/* Up to nine digits; returns how many, 0 for none, -1 for more. */
static int take_digits(struct cursor *cursor, int *value)
{
    int count = 0;
    *value = 0;
    while (cursor->at < cursor->end && is_digit(*cursor->at)) {
        if (++count > 9)
            return -1;
        *value = *value * 10 + (*cursor->at++ - '0');
    }
    return count;
}

/* Whether the next letters begin with this word of three; takes all letters. */
static int take_name(struct cursor *cursor, const char *const *names, int count)
{
    char word[4] = {0};
    int length = 0;
    const char *at = cursor->at;
    for (; at < cursor->end && is_letter(*at); at++)
        if (length < 3)
            word[length++] = (char)(*at | 0x20);
    for (int i = 0; i < count && length == 3; i++) {
        if (strcmp(word, names[i]) == 0) {
            cursor->at = at;
            return i;
        }
    }
    return -1;
}

static int take_month(struct cursor *cursor)
{
    static const char *const names[] = {"jan", "feb", "mar", "apr", "may", "jun",
                                        "jul", "aug", "sep", "oct", "nov", "dec"};
    return take_name(cursor, names, 12) + 1;
}

static void skip_weekday(struct cursor *cursor)
{
    static const char *const names[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    if (take_name(cursor, names, 7) >= 0)
        skip(cursor, " ,.");
}

static int full_year(int year, int digits)
{
    return digits > 2 ? year : year + (year >= 69 ? 1900 : 2000);
}

/* `Z`, `UTC`, `+02:00`, `-0500`: false if something else follows. */
static bool take_offset(struct cursor *cursor, struct csv_moment *moment)
{
    skip(cursor, " ");
    if (cursor->at == cursor->end)
        return true;
    size_t left = (size_t)(cursor->end - cursor->at);
    if ((left == 1 && *cursor->at == 'Z') ||
        (left == 3 && (memcmp(cursor->at, "UTC", 3) == 0 || memcmp(cursor->at, "GMT", 3) == 0))) {
        moment->utc = true;
        return true;
    }
    if (*cursor->at != '+' && *cursor->at != '-')
        return false;
    int sign = *cursor->at++ == '-' ? -1 : 1;
    int hours;
    int minutes = 0;
    int count = take_digits(cursor, &hours);
    if (count == 4) {
        minutes = hours % 100;
        hours /= 100;
    } else if (count == 2 && cursor->at < cursor->end && *cursor->at == ':') {
        cursor->at++;
        if (take_digits(cursor, &minutes) != 2)
            return false;
    } else if (count != 2) {
        return false;
    }
    if (cursor->at != cursor->end || hours > 14 || minutes > 59)
        return false;
    moment->seconds -= sign * (hours * 3600 + minutes * 60);
    moment->utc = true;
    return true;
}

/* Midday and midnight are 12 PM and 12 AM. */
static bool take_half_day(struct cursor *cursor, int *hour)
{
    const char *at = cursor->at;
    while (at < cursor->end && *at == ' ')
        at++;
    if (cursor->end - at < 2 || (at[1] | 0x20) != 'm' ||
        ((at[0] | 0x20) != 'a' && (at[0] | 0x20) != 'p'))
        return true;
    if (*hour < 1 || *hour > 12)
        return false;
    *hour = *hour % 12 + ((at[0] | 0x20) == 'p' ? 12 : 0);
    cursor->at = at + 2;
    return true;
}

static bool take_clock(struct cursor *cursor, struct csv_moment *moment)
{
    int hour;
    int minute = 0;
    int second = 0;
    int count = take_digits(cursor, &hour);
    if (count >= 3 && count <= 6) {
        /* 930, 0930, 93000, 093000 */
        second = count > 4 ? hour % 100 : 0;
        hour = count > 4 ? hour / 100 : hour;
        minute = hour % 100;
        hour /= 100;
    } else if (count == 1 || count == 2) {
        if (cursor->at == cursor->end || *cursor->at++ != ':' || take_digits(cursor, &minute) != 2)
            return false;
        if (cursor->at < cursor->end && *cursor->at == ':') {
            cursor->at++;
            if (take_digits(cursor, &second) != 2)
                return false;
        }
    } else {
        return false;
    }
    if (cursor->at < cursor->end && (*cursor->at == '.' || *cursor->at == ',')) {
        int fraction;
        cursor->at++;
        if (take_digits(cursor, &fraction) < 1)
            return false;
    }
    if (!take_half_day(cursor, &hour) || hour > 23 || minute > 59 || second > 59)
        return false;
    moment->has_clock = true;
    moment->seconds += hour * 3600 + minute * 60 + second;
    return take_offset(cursor, moment);
}

static bool set_date(struct csv_moment *moment, int year, int month, int day)
{
    struct civil_time civil = {.year = year, .month = month, .day = day};
    if (!civil_time_valid(&civil))
        return false;
    moment->seconds = civil_to_time(&civil);
    return true;
}

/* Two numbers and a year behind them: which is the day? */
static bool settle_order(struct csv_moment *moment, int a, int b, int year, enum csv_dates order)
{
    moment->first_number = a;
    moment->second_number = b;
    bool day_first = order == CSV_DATES_DMY || (order == CSV_DATES_ANY && a > 12);
    moment->ambiguous = order == CSV_DATES_ANY && a <= 12 && b <= 12 && a != b;
    return day_first ? set_date(moment, year, b, a) : set_date(moment, year, a, b);
}

/* The date at the start of the text, whatever stands between its parts. */
static bool take_date(struct cursor *cursor, enum csv_dates order, struct csv_moment *moment)
{
    int numbers[3] = {0};
    int digits[3] = {0};
    int month_at = -1;
    int month = 0;
    skip_weekday(cursor);
    for (int part = 0; part < 3; part++) {
        if (cursor->at == cursor->end)
            return false;
        if (is_letter(*cursor->at)) {
            month = take_month(cursor);
            if (month == 0 || month_at >= 0)
                return false;
            month_at = part;
        } else {
            digits[part] = take_digits(cursor, &numbers[part]);
            if (digits[part] < 1 || digits[part] > 4 || digits[part] == 3)
                return false;
        }
        if (part < 2)
            skip(cursor, "-/. ,");
    }
    if (month_at == 0)
        return set_date(moment, full_year(numbers[2], digits[2]), month, numbers[1]);
    if (digits[0] == 4 || (order == CSV_DATES_YMD && digits[0] == 2))
        return set_date(moment, full_year(numbers[0], digits[0]),
                        month_at == 1 ? month : numbers[1], numbers[2]);
    if (month_at == 1)
        return set_date(moment, full_year(numbers[2], digits[2]), month, numbers[0]);
    if (month_at == 2 || digits[1] > 2)
        return false;
    return settle_order(moment, numbers[0], numbers[1], full_year(numbers[2], digits[2]), order);
}

/* Nothing but digits: a date without marks, or a count since 1970. */
static bool read_bare(struct csv_field field, struct csv_moment *moment)
{
    int64_t value = 0;
    size_t length = field.length;
    bool negative = length > 1 && field.bytes[0] == '-';
    if (length - negative > 19)
        return false;
    for (size_t i = negative; i < length; i++)
        value = value * 10 + (field.bytes[i] - '0');
    if (length == 8)
        return set_date(moment, (int)(value / 10000), (int)(value / 100 % 100), (int)(value % 100));
    if (length == 14 || (length == 12 && value >= 180001010000 && value < 210001010000)) {
        if (length == 12)
            value *= 100;
        int clock = (int)(value % 1000000);
        int64_t date = value / 1000000;
        if (!set_date(moment, (int)(date / 10000), (int)(date / 100 % 100), (int)(date % 100)) ||
            clock / 10000 > 23 || clock / 100 % 100 > 59 || clock % 100 > 59)
            return false;
        moment->has_clock = true;
        moment->seconds += clock / 10000 * 3600 + clock / 100 % 100 * 60 + clock % 100;
        return true;
    }
    if (length - negative > 11)
        value /= length - negative > 17 ? 1000000000 : length - negative > 14 ? 1000000 : 1000;
    moment->seconds = negative ? -value : value;
    moment->has_clock = moment->utc = true;
    return length - negative >= 9 || value == 0;
}

static bool is_bare(struct csv_field *field)
{
    size_t i = field->length > 1 && field->bytes[0] == '-';
    while (i < field->length && is_digit(field->bytes[i]))
        i++;
    /* Seconds with a fraction. */
    if (i >= 9 && i < field->length && field->bytes[i] == '.') {
        size_t whole = i++;
        while (i < field->length && is_digit(field->bytes[i]))
            i++;
        if (i == field->length)
            field->length = i = whole;
    }
    return i == field->length && i > 0;
}

bool csv_moment_read(struct csv_field date, struct csv_field clock, enum csv_dates order,
                     struct csv_moment *moment)
{
    *moment = (struct csv_moment){.seconds = 0};
    struct cursor cursor = {date.bytes, date.bytes + date.length};
    if (is_bare(&date)) {
        if (!read_bare(date, moment))
            return false;
        cursor.at = cursor.end;
    } else {
        /* 20040819 in front of a time of day has no marks in it either. */
        struct csv_field head = {date.bytes, date.length < 8 ? date.length : 8};
        bool bare = date.length > 9 && is_bare(&head) && head.length == 8 &&
                    !is_digit(date.bytes[8]);
        if (bare ? !read_bare(head, moment) : !take_date(&cursor, order, moment))
            return false;
        if (bare)
            cursor.at += 8;
    }
    if (cursor.at < cursor.end) {
        skip(&cursor, *cursor.at == 'T' ? "T" : " ,;");
        if (cursor.at < cursor.end && !take_clock(&cursor, moment))
            return false;
    }
    if (clock.length == 0)
        return true;
    cursor = (struct cursor){clock.bytes, clock.bytes + clock.length};
    return !moment->has_clock && take_clock(&cursor, moment);
}
