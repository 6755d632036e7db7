/* What the function of a condition looks at. */
#ifndef RUSHLIGHT_SETUP_CONDITION_VIEW_H
#define RUSHLIGHT_SETUP_CONDITION_VIEW_H

#include "base/reading.h"
#include "market/instrument.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A dated event that a condition can keep away from. */
struct setup_event {
    int64_t time;
    const char *kind;
    bool known_later; /* it counts from the bar that holds `known` on, else for all: of bars of
                       * any length for those that end after it */
    int64_t known;    /* UTC */
};

/* A price level or straight line that a person marked. It counts for candles whose
 * first bar has a time after `made`; one made while the newest bar was D counts from
 * the first bar that begins after D is over. One withdrawn while the newest bar was E
 * counts for candles up to E. Both are such as the times of the bars can be held
 * against: a date where those are dates. */
struct own_mark {
    double price; /* at the bar of position `bar`; `slope` more on each bar behind it */
    int64_t made;
    bool dated_back; /* brought in later, with a date that nobody saw pass */
    double slope;    /* 0: a level */
    double bar;      /* counted from the first of the bars looked at, 0, with parts of a bar */
    bool withdrawn;
    int64_t until; /* withdrawn: the newest bar then */
};

/* Bars of another instrument of the book. */
struct other_bars {
    const struct bars *bars;
    const struct instrument *instrument;
};

/* What conditions may ask for beside the bars. All of it may be empty; what asks
 * for it then cannot be told. Of a kind of event those between its first and its
 * last are taken to be known. */
struct surroundings {
    const char *zone; /* of the session, for clock times; NULL: UTC */
    const struct setup_event *events;
    size_t event_count;
    const struct own_mark *marks;
    size_t mark_count;
    size_t begins; /* the first of the bars looked at, among those from which marks count */
    const struct other_bars *others; /* those that the setup names (setup_others) */
    size_t other_count;
    const struct tick *tick; /* of the traded prices, for distances in ticks; NULL: not known */
    const struct dated_tick *ticks; /* where it changed, in order of time */
    size_t tick_count;
};

struct compare_rule;

/* What a condition's function looks at. Conditions of place read the candle
 * first..at: falls, lower swings and trend lines end before `first`. Measures
 * are read at `at`. */
struct condition_view {
    struct sheet *sheet;  /* of the row's own side */
    bool sheet_is_mirror; /* prices on it are negated */
    size_t first;
    size_t at;
    double tolerance;
    const double *values;
    const char *word;
    const struct compare_rule *compare; /* of the condition `compare`, else NULL */
    const struct surroundings *around;
};

#endif
