#include "market/zone.h"

#include <string.h>
#include <unicode/ucal.h>
#include <unicode/ustring.h>

static bool is_utc(const char *zone)
{
    return zone == NULL || zone[0] == '\0' || strcmp(zone, "UTC") == 0;
}

/* ICU takes an unknown name for UTC in silence; this tells. */
static bool is_known(const UChar *name)
{
    UChar canonical[128];
    UErrorCode status = U_ZERO_ERROR;
    ucal_getCanonicalTimeZoneID(name, -1, canonical, 128, NULL, &status);
    return U_SUCCESS(status);
}

bool time_to_local(int64_t time, const char *zone, int64_t *local)
{
    if (is_utc(zone)) {
        *local = time;
        return true;
    }
    UErrorCode status = U_ZERO_ERROR;
    UChar name[128];
    u_strFromUTF8(name, 128, NULL, zone, -1, &status);
    if (U_FAILURE(status) || !is_known(name))
        return false;
    UCalendar *calendar = ucal_open(name, -1, "", UCAL_GREGORIAN, &status);
    if (U_FAILURE(status))
        return false;
    ucal_setMillis(calendar, (UDate)time * 1000, &status);
    int32_t offset = ucal_get(calendar, UCAL_ZONE_OFFSET, &status) +
                     ucal_get(calendar, UCAL_DST_OFFSET, &status);
    ucal_close(calendar);
    *local = time + offset / 1000;
    return U_SUCCESS(status);
}
