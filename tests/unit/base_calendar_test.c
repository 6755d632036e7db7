/* Dates against published day numbers. */
#include "base/calendar.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

/* R.D. 719163, the fixed day number of 1970-01-01. */
enum { EPOCH_RD = 719163, MONDAY = 0, SUNDAY = 6 };

/* Reingold & Dershowitz, Calendrical Calculations, appendix C: fixed day (R.D.),
 * day of the week and Gregorian date; value from memory. */
static const struct {
    int64_t fixed;
    int weekday;
    const char *date;
} published[] = {{25469, 2, "0070-09-24"},  {49217, 6, "0135-10-02"},  {171307, 2, "0470-01-08"},
                 {210155, 0, "0576-05-20"}, {253427, 5, "0694-11-10"}, {369740, 6, "1013-04-25"},
                 {400085, 6, "1096-05-24"}, {434355, 4, "1190-03-23"}, {452605, 5, "1240-03-10"},
                 {470160, 4, "1288-04-02"}, {473837, 6, "1298-04-27"}, {507850, 6, "1391-06-12"},
                 {524156, 2, "1436-02-03"}, {544676, 5, "1492-04-09"}, {567118, 5, "1553-09-19"},
                 {569477, 5, "1560-03-05"}, {601716, 2, "1648-06-10"}, {613424, 6, "1680-06-30"},
                 {626596, 4, "1716-07-24"}, {645554, 6, "1768-06-19"}, {664224, 0, "1819-08-02"},
                 {671401, 2, "1839-03-27"}, {694799, 6, "1903-04-19"}, {704424, 6, "1929-08-25"},
                 {708842, 0, "1941-09-29"}, {709409, 0, "1943-04-19"}, {709580, 3, "1943-10-07"},
                 {727274, 1, "1992-03-17"}, {728714, 6, "1996-02-25"}, {744313, 2, "2038-11-10"},
                 {764652, 6, "2094-07-18"}};

static void published_day_numbers(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        int64_t time = 0;
        bool date_only = false;
        char text[CALENDAR_TEXT_SIZE];
        assert_true(time_parse(published[i].date, 10, &time, &date_only));
        assert_true(date_only);
        assert_int_equal(day_of_time(time), published[i].fixed - EPOCH_RD);
        assert_int_equal(time % SECONDS_PER_DAY, 0);
        assert_int_equal(weekday_of_day(day_of_time(time)), published[i].weekday);
        time_format(text, time, true);
        assert_string_equal(text, published[i].date);
    }
}

/* POSIX.1-2017, 4.16 "Seconds since the Epoch": the worked values of 2038 and
 * 2001 are widely published. */
static void published_seconds(void **state)
{
    (void)state;
    static const struct {
        int64_t time;
        const char *text;
    } cases[] = {{0, "1970-01-01T00:00:00Z"},           {2147483647, "2038-01-19T03:14:07Z"},
                 {-2147483648, "1901-12-13T20:45:52Z"}, {1000000000, "2001-09-09T01:46:40Z"},
                 {951782400, "2000-02-29T00:00:00Z"},   {-1, "1969-12-31T23:59:59Z"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int64_t time = 0;
        bool date_only = true;
        char text[CALENDAR_TEXT_SIZE];
        assert_true(time_parse(cases[i].text, strlen(cases[i].text), &time, &date_only));
        assert_false(date_only);
        assert_int_equal(time, cases[i].time);
        time_format(text, time, false);
        assert_string_equal(text, cases[i].text);
    }
}

/* Every day of the years 1 to 9999 follows the one before: 3,652,059 days,
 * 1 of January of year 1 being R.D. 1, a Monday. */
static void the_days_follow_each_other(void **state)
{
    (void)state;
    static const int longest[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int64_t expected = 1 - EPOCH_RD;
    for (int year = 1; year <= 9999; year++) {
        for (int month = 1; month <= 12; month++) {
            for (int day = 1; day <= longest[month - 1]; day++) {
                struct civil_time civil = {year, month, day, 23, 59, 59};
                if (!civil_time_valid(&civil))
                    continue;
                int64_t time = civil_to_time(&civil);
                struct civil_time back;
                civil_from_time(&back, time);
                if (day_of_time(time) != expected || back.year != year || back.month != month ||
                    back.day != day || back.hour != 23 || back.second != 59)
                    fail_msg("%04d-%02d-%02d", year, month, day);
                expected++;
            }
        }
    }
    assert_int_equal(expected + EPOCH_RD - 1, 3652059);
    assert_int_equal(weekday_of_day(1 - EPOCH_RD), MONDAY);
    assert_int_equal(weekday_of_day(0 - EPOCH_RD), SUNDAY);
}

static void days_round_down(void **state)
{
    (void)state;
    assert_int_equal(day_of_time(0), 0);
    assert_int_equal(day_of_time(86399), 0);
    assert_int_equal(day_of_time(86400), 1);
    assert_int_equal(day_of_time(-1), -1);
    assert_int_equal(day_of_time(-86400), -1);
    assert_int_equal(day_of_time(-86401), -2);
}

/* ISO 8601: neither what the standard forbids nor its other pictures. */
static void what_is_no_date(void **state)
{
    (void)state;
    static const char *const texts[] = {"",
                                        "2024",
                                        "2024-1-1",
                                        "2024-01-1",
                                        "24-01-01",
                                        "2024/01/01",
                                        "20240101",
                                        "2024-13-01",
                                        "2024-00-10",
                                        "2024-01-32",
                                        "2024-01-00",
                                        "2023-02-29",
                                        "1900-02-29",
                                        "2100-02-29",
                                        "2024-04-31",
                                        "0000-01-01",
                                        "2024-W01-1",
                                        "-2024-01-01",
                                        "2024-01-01 ",
                                        " 2024-01-01",
                                        "2024-01-01T00:00:00",
                                        "2024-01-01T24:00:00Z",
                                        "2024-01-01T23:60:00Z",
                                        "2016-12-31T23:59:60Z",
                                        "2024-01-01T00:00:00+00:00",
                                        "2024-01-01 00:00:00Z",
                                        "2024-01-01T00:00Z",
                                        "2024-01-01T00:00:00z",
                                        "\xd9\xa2"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        int64_t time = 17;
        bool date_only = false;
        if (time_parse(texts[i], strlen(texts[i]), &time, &date_only))
            fail_msg("'%s' was taken for a date", texts[i]);
        assert_int_equal(time, 17);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_day_numbers),
        cmocka_unit_test(published_seconds),
        cmocka_unit_test(the_days_follow_each_other),
        cmocka_unit_test(days_round_down),
        cmocka_unit_test(what_is_no_date),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
