/* Invented markets for tests: walks, falls, gaps and flat bars on a coarse
 * tick, so that ties and boundary cases are common. */
#ifndef RUSHLIGHT_TESTS_RANDOM_MARKET_H
#define RUSHLIGHT_TESTS_RANDOM_MARKET_H

#include "base/number.h"
#include "base/random.h"
#include "market/bars.h"
#include "setup/conditions.h"

#include <stdbool.h>
#include <stddef.h>

enum { RANDOM_EVENTS = 6, RANDOM_MARKS = 5 };
/* The name of the other instrument of every market. */
#define RANDOM_OTHER "OTHER"

struct random_market {
    struct bars bars;  /* 60 to `most` of them; some without volume */
    struct bars finer; /* the bars that `bars` were made from, a few missing; empty: none */
    struct tick tick;
    bool ended; /* the instrument has ended at its last bar */
    struct setup_event events[RANDOM_EVENTS];
    struct own_mark marks[RANDOM_MARKS];
    struct bars other; /* of RANDOM_OTHER, of the same length; other days may be missing */
    struct instrument other_instrument;
    struct other_bars others[1];
    struct surroundings around; /* points into this struct: do not copy it */
};

/* Draws a market of 60 to `most` bars; false without memory. Free it with
 * random_market_free. */
bool random_market_init(struct random_market *market, struct random_stream *stream, size_t most);
void random_market_free(struct random_market *market);

/* A whole number least .. most. */
int64_t random_between(struct random_stream *stream, int64_t least, int64_t most);
/* True in so many of a hundred draws. */
bool random_percent(struct random_stream *stream, unsigned percent);

#endif
