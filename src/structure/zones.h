/* Level zones: where swings cluster (docs/method.md 4). */
#ifndef RUSHLIGHT_STRUCTURE_ZONES_H
#define RUSHLIGHT_STRUCTURE_ZONES_H

#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>

struct zone {
    double low;
    double high;
    size_t members; /* swings in it; a swing is one member */
};

/* Bars that a zone may look back over; each bar adds at most one swing on
 * average, so as many zones are room enough. */
enum { ZONE_LIMIT = 2048 };

/* Zones at bar `at`, ascending, from all swing highs and lows(k) known there
 * with index >= at-bars+1: each price starts as its own zone; the closest pair
 * of neighbours whose gap is below width*ATR(14) and whose joined span is at
 * most twice that is joined (the lower pair, if tied), until none is left. On
 * the mirrored sheet the same gives the zones of resistance.
 *
 * Returns the number of zones with at least `touches` members, written to
 * `zones`; SIZE_MAX where ATR is undefined or memory ran out. `bars` is below
 * ZONE_LIMIT. */
size_t zones_at(struct sheet *sheet, size_t bars, size_t strength, double width_atr, size_t touches,
                size_t at, struct zone zones[ZONE_LIMIT]);

#endif
