/* Longer bars from shorter ones (docs/method.md 1): open of the first, highest
 * high, lowest low, close of the last, sum of volume, over calendar buckets in
 * a time zone. An empty bucket gives no bar. Weeks begin on Monday. */
#ifndef RUSHLIGHT_MARKET_LONGER_H
#define RUSHLIGHT_MARKET_LONGER_H

#include "base/error.h"
#include "market/bars.h"

#include <stdint.h>

/* Fills `longer` (initialised here, the caller's to free) with the bars of
 * `interval` made from `bars`, and *known_at (the caller's to free) with the
 * UTC second from which each is known: the end of its bucket. The last one is
 * partial unless the bars reach that end. `zone` is that of the session, NULL
 * for UTC. ERROR_INPUT where these bars cannot make that interval: it is not
 * longer than theirs, or theirs is not known. */
int longer_bars(struct bars *longer, int64_t **known_at, const struct bars *bars,
                struct interval interval, const char *zone, struct error *error);

/* The UTC second from which bar `index` is known: the end of its own bucket. */
int64_t bar_known_at(const struct bars *bars, size_t index, const char *zone);

#endif
