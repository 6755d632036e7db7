/* Splits, dividends and contract rolls: dated rows of an instrument, applied
 * to bars that are stored as they were traded (docs/method.md 1). */
#ifndef RUSHLIGHT_MARKET_ADJUST_H
#define RUSHLIGHT_MARKET_ADJUST_H

#include "market/bars.h"

enum action_kind {
    ACTION_SPLIT,    /* value: new units for each old one, > 0; 0.1 for a merger of ten */
    ACTION_DIVIDEND, /* value: money a unit, in the prices of that day */
    ACTION_ROLL      /* value: the new contract's price less the old one's */
};

struct action {
    int64_t date; /* the first day that trades with it, at 00:00 UTC */
    enum action_kind kind;
    double value;
};

/* "none", "splits" and "all", as on the command line. */
enum adjustment {
    ADJUST_NONE,   /* as traded */
    ADJUST_SPLITS, /* splits and rolls: what makes a candle that nobody traded */
    ADJUST_ALL     /* dividends too */
};

const char *action_kind_name(enum action_kind kind);
bool action_kind_parse(const char *name, enum action_kind *kind);
const char *adjustment_name(enum adjustment adjustment);
/* Their names in the order of the enumeration, ended by NULL. */
extern const char *const adjustment_names[];

/* Applies the actions dated up to `view` (the date from which the bars are
 * looked at; later ones cannot be known) to the bars before each: a split
 * divides prices and multiplies volume, a roll adds its difference, a dividend
 * takes its share of the last close before it off (the factor 1 - d/close; where
 * that close is not above the dividend, the difference d). The bars, as traded
 * before, know their scales from then on (market/scale.h). `actions` are in
 * order of date, of one date splits first and dividends last. Common practice,
 * no source. Only ERROR_MACHINE, the bars then unchanged. */
int bars_adjust(struct bars *bars, const struct action *actions, size_t count,
                enum adjustment adjustment, int64_t view, struct error *error);

/* Whether an action changes prices under `adjustment`, seen from `view`. */
bool action_counts(const struct action *action, enum adjustment adjustment, int64_t view);
/* What one action does to the prices before it, the last of which is `close`, and
 * what `later` ones then do to its result. */
struct price_scale action_scale(const struct action *action, double close);
struct price_scale scale_then(const struct price_scale *scale, const struct price_scale *later);

#endif
