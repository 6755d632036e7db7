/* Time zones by their IANA names (ICU). */
#ifndef RUSHLIGHT_MARKET_ZONE_H
#define RUSHLIGHT_MARKET_ZONE_H

#include <stdbool.h>
#include <stdint.h>

/* The clock in a zone at a UTC second, as if it were UTC: 14:30 in a zone two
 * hours ahead at 12:30 UTC. A NULL or empty zone, or "UTC", is UTC. False if
 * ICU does not know the zone or fails. */
bool time_to_local(int64_t time, const char *zone, int64_t *local);

#endif
