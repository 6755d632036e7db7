/* Longer bars from shorter ones (docs/method.md 1). Pure: bars in, bars out. */
#ifndef RUSHLIGHT_MARKET_LONGER_H
#define RUSHLIGHT_MARKET_LONGER_H

#include "market/bars.h"
#include "market/session.h"

struct longer {
    struct bars bars; /* last_is_partial where the last bucket may still receive bars */
    int64_t *known;   /* of each bar: the UTC time from which on it is known */
    size_t capacity;  /* of `known` */
};

/* Whether bars of `to` can be made from bars of `from`: `to` is a whole number
 * of them, and weeks do not make months. */
bool longer_possible(struct interval from, struct interval to);

/* Open of the first, highest high, lowest low, close of the last, sum of
 * volume (NaN where one is not known) over the session's calendar buckets; an
 * empty bucket gives no bar. A bar is known at its bucket's end; the last is
 * partial unless the last of the shorter bars, itself whole, reaches that end.
 * The prefix of the shorter bars decides a prefix of the longer ones.
 * ERROR_INPUT where longer_possible is false. The caller frees with
 * longer_free, also after an error. */
int longer_make(struct longer *longer, const struct bars *bars, struct interval to,
                struct session *session, struct error *error);
void longer_free(struct longer *longer);

/* The UTC time at which a bar of this interval and start is known: its end. */
int64_t bar_known(struct session *session, struct interval interval, int64_t time);

/* The number of leading bars of `longer` that are known at `time`: 0 for none.
 * A partial bar is never among them. */
size_t longer_known(const struct longer *longer, int64_t time);

/* The same for a session that begins at midnight of a zone (NULL: UTC) and
 * trades every day: `longer` and *known_at become the caller's to free. */
int longer_bars(struct bars *longer, int64_t **known_at, const struct bars *bars,
                struct interval interval, const char *zone, struct error *error);
int64_t bar_known_at(const struct bars *bars, size_t index, const char *zone);

#endif
