/* Conditions of a setup: each is one row of a table, with its mirror, and one
 * function (docs/method.md 4 and docs/setup-file.md). */
#ifndef RUSHLIGHT_SETUP_CONDITIONS_H
#define RUSHLIGHT_SETUP_CONDITIONS_H

#include "base/parameter.h"
#include "setup/condition_view.h"

#include <stddef.h>

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
/* Whether it reads bars before the candle however far back, or counts them all, as a
 * line of one's own does, and not only as far as its lengths together. */
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
    ABOUT_MACD,
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
