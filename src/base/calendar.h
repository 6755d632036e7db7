/* Dates of the proleptic Gregorian calendar and UTC times, as seconds since
 * 1970-01-01T00:00:00Z. Time zones are the market layer's business (ICU). */
#ifndef RUSHLIGHT_BASE_CALENDAR_H
#define RUSHLIGHT_BASE_CALENDAR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { CALENDAR_TEXT_SIZE = 32, SECONDS_PER_DAY = 86400 };

struct civil_time {
    int year;   /* 1 to 9999 */
    int month;  /* 1 to 12 */
    int day;    /* 1 to the month's length */
    int hour;   /* 0 to 23 */
    int minute; /* 0 to 59 */
    int second; /* 0 to 59; leap seconds do not exist here */
};

bool civil_time_valid(const struct civil_time *civil);
/* Seconds since the epoch; civil must be valid. */
int64_t civil_to_time(const struct civil_time *civil);
void civil_from_time(struct civil_time *civil, int64_t time);

/* Days since the epoch, rounded down, and the day of the week (0 = Monday). */
int64_t day_of_time(int64_t time);
int weekday_of_day(int64_t day);

/* Writes `YYYY-MM-DD` where date_only, else `YYYY-MM-DDTHH:MM:SSZ` (ISO 8601). */
void time_format(char text[CALENDAR_TEXT_SIZE], int64_t time, bool date_only);
/* Reads either of these two forms from the whole of bytes[0..length), setting
 * *date_only; false if it is anything else. */
bool time_parse(const char *bytes, size_t length, int64_t *time, bool *date_only);

#endif
