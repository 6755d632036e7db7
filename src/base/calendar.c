#define _DEFAULT_SOURCE /* timegm */
#include "base/calendar.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

static int month_length(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (month == 2 && leap);
}

bool civil_time_valid(const struct civil_time *c)
{
    return c->year >= 1 && c->year <= 9999 && c->month >= 1 && c->month <= 12 && c->day >= 1 &&
           c->day <= month_length(c->year, c->month) && c->hour >= 0 && c->hour <= 23 &&
           c->minute >= 0 && c->minute <= 59 && c->second >= 0 && c->second <= 59;
}

int64_t civil_to_time(const struct civil_time *civil)
{
    struct tm tm = {.tm_year = civil->year - 1900,
                    .tm_mon = civil->month - 1,
                    .tm_mday = civil->day,
                    .tm_hour = civil->hour,
                    .tm_min = civil->minute,
                    .tm_sec = civil->second};
    return timegm(&tm);
}

void civil_from_time(struct civil_time *civil, int64_t time)
{
    time_t seconds = time;
    struct tm tm = {0};
    gmtime_r(&seconds, &tm);
    *civil = (struct civil_time){tm.tm_year + 1900, tm.tm_mon + 1, tm.tm_mday,
                                 tm.tm_hour,        tm.tm_min,     tm.tm_sec};
}

int64_t day_of_time(int64_t time)
{
    return time / SECONDS_PER_DAY - (time % SECONDS_PER_DAY < 0);
}

int weekday_of_day(int64_t day)
{
    /* 1970-01-01 was a Thursday. */
    return (int)(((day + 3) % 7 + 7) % 7);
}

void time_format(char text[CALENDAR_TEXT_SIZE], int64_t time, bool date_only)
{
    struct civil_time c;
    civil_from_time(&c, time);
    int used = snprintf(text, CALENDAR_TEXT_SIZE, "%04d-%02d-%02d", c.year, c.month, c.day);
    if (!date_only && used > 0 && used < CALENDAR_TEXT_SIZE)
        snprintf(text + used, (size_t)(CALENDAR_TEXT_SIZE - used), "T%02d:%02d:%02dZ", c.hour,
                 c.minute, c.second);
}

/* Reads text of a fixed picture: each 0 is a digit, the rest stands for itself. */
static bool matches(const char *bytes, size_t length, const char *picture, int *fields)
{
    if (length != strlen(picture))
        return false;
    int field = 0;
    int value = 0;
    for (size_t i = 0; i < length; i++) {
        if (picture[i] == '0') {
            if (bytes[i] < '0' || bytes[i] > '9')
                return false;
            value = value * 10 + (bytes[i] - '0');
            if (i + 1 == length || picture[i + 1] != '0') {
                fields[field++] = value;
                value = 0;
            }
        } else if (bytes[i] != picture[i]) {
            return false;
        }
    }
    return true;
}

bool time_parse(const char *bytes, size_t length, int64_t *time, bool *date_only)
{
    int f[6] = {0};
    bool date = matches(bytes, length, "0000-00-00", f);
    if (!date && !matches(bytes, length, "0000-00-00T00:00:00Z", f))
        return false;
    struct civil_time civil = {f[0], f[1], f[2], f[3], f[4], f[5]};
    if (!civil_time_valid(&civil))
        return false;
    *time = civil_to_time(&civil);
    *date_only = date;
    return true;
}
