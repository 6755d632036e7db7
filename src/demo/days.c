#include "demo/days.h"

#include "base/calendar.h"

static int64_t day_number(int year, int month, int day)
{
    struct civil_time civil = {.year = year, .month = month, .day = day};
    return day_of_time(civil_to_time(&civil));
}

int64_t demo_first_day(void)
{
    return day_number(2010, 1, 4);
}

int64_t demo_last_day(void)
{
    return day_number(2024, 12, 31);
}

static struct civil_time civil_of_day(int64_t day)
{
    struct civil_time civil;
    civil_from_time(&civil, day * SECONDS_PER_DAY);
    return civil;
}

bool demo_day_open(int64_t day, bool round_the_clock)
{
    static const struct {
        int month;
        int day;
        bool currencies_too;
    } holidays[] = {{1, 1, true}, {5, 3, false}, {11, 9, false}, {12, 25, true}, {12, 26, false}};
    if (weekday_of_day(day) >= 5)
        return false;
    struct civil_time civil = civil_of_day(day);
    for (size_t i = 0; i < sizeof holidays / sizeof holidays[0]; i++)
        if (civil.month == holidays[i].month && civil.day == holidays[i].day)
            return round_the_clock && !holidays[i].currencies_too;
    bool lantern_monday = civil.month == 8 && weekday_of_day(day) == 0 && civil.day > 7 &&
                          civil.day <= 14;
    return round_the_clock || !lantern_monday;
}

bool demo_day_rolls(int64_t day)
{
    struct civil_time civil = civil_of_day(day);
    return civil.month % 3 == 0 && weekday_of_day(day) == 4 && civil.day > 14 && civil.day <= 21;
}
