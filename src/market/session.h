/* The trading day of an instrument: when it begins, by which clock, and on
 * which days of the week. It decides what a daily bar is. */
#ifndef RUSHLIGHT_MARKET_SESSION_H
#define RUSHLIGHT_MARKET_SESSION_H

#include "market/instrument.h"
#include "market/wall_clock.h"

struct session {
    struct wall_clock clock;
    int start;     /* minutes after midnight of the wall clock, -1439 to 1439; below 0: the
                    * evening before, so that -420 is a day that begins at 17:00 */
    unsigned days; /* bit 0 is Monday; 0: every day */
};

/* The session of an instrument; close it also after an error. */
int session_open(struct session *session, const struct instrument *instrument, struct error *error);
void session_close(struct session *session);

/* The trading day (days since 1970-01-01) to which a time belongs. A time on a
 * day that is not one of the session's days belongs to the next that is: the
 * hours of a Sunday evening are part of Monday. */
int64_t session_day(struct session *session, int64_t time);
/* The UTC time at which that calendar day's session begins. */
int64_t session_begins(struct session *session, int64_t day);

/* The bar of this interval that holds a time: its start as a bar's time is
 * written (method.md 1), and the UTC time at which it ends and is known.
 * Buckets of minutes and hours follow the wall clock from the session's start;
 * where the clock changes one may be shorter or longer. Weeks begin on Monday.
 * `dated`: the time given is itself a date at 00:00 UTC. */
struct bucket {
    int64_t start;
    int64_t end;
};
struct bucket session_bucket(struct session *session, struct interval interval, int64_t time,
                             bool dated);

#endif
