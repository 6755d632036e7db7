#include "market/zone.h"

#include "market/wall_clock.h"

#include <stddef.h>

bool time_to_local(int64_t time, const char *zone, int64_t *local)
{
    struct wall_clock clock;
    struct error ignored;
    bool known = wall_clock_open(&clock, zone != NULL ? zone : "", &ignored) == ERROR_NONE;
    if (known)
        *local = time + wall_clock_offset(&clock, time);
    wall_clock_close(&clock);
    return known;
}
