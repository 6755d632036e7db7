#include "market/wall_clock.h"

#include <string.h>
#include <unicode/ucal.h>
#include <unicode/ustring.h>

enum { NAME_ROOM = 64 };

/* `+02:00`, `-0530`, `+2`: true with the offset in seconds. */
static bool read_offset(const char *name, int *offset)
{
    int digits[4] = {0};
    int count = 0;
    if (name[0] != '+' && name[0] != '-')
        return false;
    for (const char *c = name + 1; *c != '\0'; c++) {
        if (*c == ':' && count > 0 && count <= 2)
            continue;
        if (*c < '0' || *c > '9' || count == 4)
            return false;
        digits[count++] = *c - '0';
    }
    int hours = count == 1 || count == 3 ? digits[0] : digits[0] * 10 + digits[1];
    int minutes = count == 3 ? digits[1] * 10 + digits[2] : digits[2] * 10 + digits[3];
    if (count == 0 || hours > 14 || minutes > 59)
        return false;
    *offset = (hours * 3600 + minutes * 60) * (name[0] == '-' ? -1 : 1);
    return true;
}

int wall_clock_open(struct wall_clock *clock, const char *name, struct error *error)
{
    UChar wide[NAME_ROOM];
    UErrorCode status = U_ZERO_ERROR;
    *clock = (struct wall_clock){.from = INT64_MIN, .to = INT64_MAX};
    if (name[0] == '\0' || strcmp(name, "UTC") == 0 || strcmp(name, "Z") == 0 ||
        read_offset(name, &clock->offset))
        return ERROR_NONE;
    u_strFromUTF8(wide, NAME_ROOM, NULL, name, -1, &status);
    /* ICU takes any name and falls back to GMT: only a system zone will do. */
    UChar canonical[NAME_ROOM];
    UBool system = 0;
    /* A name that fills the room to the last has no end: a warning to ICU. */
    if (status == U_STRING_NOT_TERMINATED_WARNING)
        status = U_BUFFER_OVERFLOW_ERROR;
    if (U_SUCCESS(status))
        ucal_getCanonicalTimeZoneID(wide, -1, canonical, NAME_ROOM, &system, &status);
    if (U_FAILURE(status) || !system)
        return error_set(error, ERROR_INPUT,
                         "'%s' is no time zone; a name such as Europe/Paris or America/New_York, "
                         "UTC or an offset such as +02:00 is allowed",
                         name);
    clock->calendar = ucal_open(wide, -1, "en", UCAL_GREGORIAN, &status);
    if (U_FAILURE(status)) {
        clock->calendar = NULL;
        return error_memory(error);
    }
    clock->from = clock->to = 0;
    return ERROR_NONE;
}

void wall_clock_close(struct wall_clock *clock)
{
    if (clock->calendar != NULL)
        ucal_close(clock->calendar);
    *clock = (struct wall_clock){.from = INT64_MIN, .to = INT64_MAX};
}

/* Looks the offset up, and how long it holds. */
static void look_up(struct wall_clock *clock, int64_t time)
{
    UErrorCode status = U_ZERO_ERROR;
    UDate edge = 0;
    ucal_setMillis(clock->calendar, (UDate)time * 1000, &status);
    int32_t offset = ucal_get(clock->calendar, UCAL_ZONE_OFFSET, &status) +
                     ucal_get(clock->calendar, UCAL_DST_OFFSET, &status);
    clock->offset = offset / 1000;
    clock->from = INT64_MIN;
    clock->to = INT64_MAX;
    if (ucal_getTimeZoneTransitionDate(clock->calendar, UCAL_TZ_TRANSITION_PREVIOUS_INCLUSIVE,
                                       &edge, &status) &&
        U_SUCCESS(status))
        clock->from = (int64_t)(edge / 1000);
    if (ucal_getTimeZoneTransitionDate(clock->calendar, UCAL_TZ_TRANSITION_NEXT, &edge, &status) &&
        U_SUCCESS(status))
        clock->to = (int64_t)(edge / 1000);
}

int wall_clock_offset(struct wall_clock *clock, int64_t time)
{
    if (time < clock->from || time >= clock->to)
        look_up(clock, time);
    return clock->offset;
}

int64_t wall_clock_time(struct wall_clock *clock, int64_t wall)
{
    /* No clock changes twice within two days. */
    int before = wall_clock_offset(clock, wall - 86400);
    int64_t time = wall - before;
    if (wall_clock_offset(clock, time) == before)
        return time;
    int after = wall_clock_offset(clock, wall + 86400);
    /* Read with the later offset it may lie behind the change, or be skipped. */
    if (wall_clock_offset(clock, wall - after) == after)
        return wall - after;
    return time;
}

int64_t wall_clock_repeat(struct wall_clock *clock, int64_t time)
{
    int before = wall_clock_offset(clock, time);
    int after = wall_clock_offset(clock, time + 86400);
    int64_t again = time + before - after;
    return after < before && wall_clock_offset(clock, again) == after ? again - time : 0;
}
