/* Time zones: the clock on the wall and UTC (ICU's data of the IANA zones). */
#ifndef RUSHLIGHT_MARKET_WALL_CLOCK_H
#define RUSHLIGHT_MARKET_WALL_CLOCK_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>

/* A zone with a small memory of where its clock last stood: one per thread. */
struct wall_clock {
    void *calendar; /* ICU's; NULL for UTC and fixed offsets */
    int64_t from;   /* the offset holds for from <= time < to */
    int64_t to;
    int offset; /* seconds east of UTC */
};

/* Opens an IANA name such as Europe/Paris, or an offset such as +02:00; an
 * empty name and UTC are UTC. ERROR_INPUT for a name that is not known. Close
 * it also after an error. */
int wall_clock_open(struct wall_clock *clock, const char *name, struct error *error);
void wall_clock_close(struct wall_clock *clock);

/* Seconds that the wall clock is ahead of UTC at this time. */
int wall_clock_offset(struct wall_clock *clock, int64_t time);
/* The time at which the wall clock shows `wall` (seconds since 1970-01-01 as
 * read off that clock). Of a wall time that comes twice the first; one that is
 * skipped is read with the offset before the change. */
int64_t wall_clock_time(struct wall_clock *clock, int64_t wall);
/* After how many seconds the wall clock shows the same a second time, where the
 * clock is put back; 0 where it does not. */
int64_t wall_clock_repeat(struct wall_clock *clock, int64_t time);

#endif
