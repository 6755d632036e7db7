/* Conditions of a setup: each is one row of a table, with its mirror, and one
 * function (docs/method.md 4 and docs/setup-file.md). */
#ifndef RUSHLIGHT_SETUP_CONDITIONS_H
#define RUSHLIGHT_SETUP_CONDITIONS_H

#include "base/parameter.h"
#include "base/reading.h"
#include "market/instrument.h"
#include "measures/sheet.h"

#include <stddef.h>
#include <stdint.h>

/* A dated event that a condition can keep away from. */
struct setup_event {
    int64_t time;
    const char *kind;
};

/* A price level that a person marked. It counts for candles whose first bar
 * begins after it was made; one made while the newest bar was D counts after D. */
struct own_mark {
    double price;
    int64_t made;
    bool dated_back; /* brought in later, with a date that nobody saw pass */
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

struct condition {
    const char *name;        /* NULL ends the table */
    const char *mirror_name; /* NULL: its own mirror */
    struct parameter parameters[PARAMETER_LIMIT];
    const char *help;
    const char *mirror_help;
    const char *source;
    /* Reads one criterion; an undefined input gives TRUTH_UNDEFINED. */
    struct reading (*read)(const struct condition_view *view);
    /* The measure it reads first, whose parameters are the condition's own
     * first ones; NULL: none. Lets many instruments be measured together. */
    const struct measure *measure;
};

/* The table of all conditions. */
extern const struct condition conditions[];
/* Whether the row asks for more than prices: events, own levels or volume. */
bool condition_asks_beyond_prices(const struct condition *condition);
/* Whether it asks for levels of one's own. */
bool condition_asks_for_levels(const struct condition *condition);
/* Whether it asks for events. */
bool condition_asks_for_events(const struct condition *condition);
/* Whether it reads bars before the candle however far back, and not only as far as
 * its lengths together. */
bool condition_reads_far(const struct condition *condition);
/* The row `compare`, whose rule stands beside the criterion. */
bool condition_is_compare(const struct condition *condition);

/* What a condition is about, where a figure has something to draw for it. */
enum condition_about {
    ABOUT_OTHER,
    ABOUT_FITTED_LINE, /* through the closes before the candle */
    ABOUT_FALL,        /* from the extreme before it */
    ABOUT_SWINGS,
    ABOUT_TREND_LINE,
    ABOUT_ZONES,
    ABOUT_RSI,
    ABOUT_RSI_AVERAGE,
    ABOUT_MACD_TURN,
    ABOUT_MACD_SIGNAL,
    ABOUT_DIVERGENCE
};
enum condition_about condition_about(const struct condition *condition);
/* The row that is about this, not ABOUT_OTHER; its defaults hold in a figure
 * where a setup has no such rule. */
const struct condition *condition_that_is_about(enum condition_about about);

/* The row of this name or mirror name; NULL if there is none. */
const struct condition *condition_find(const char *name, bool *mirrored);
const char *condition_name(const struct condition *condition, bool mirrored);

#endif
