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

enum adjustment {
    ADJUST_NONE,   /* as traded */
    ADJUST_SPLITS, /* splits and rolls: what makes a candle that nobody traded */
    ADJUST_ALL     /* dividends too */
};

const char *action_kind_name(enum action_kind kind);
bool action_kind_parse(const char *name, enum action_kind *kind);

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

/* What connects two series of the same instrument: from the first bar to the
 * last before `before`, other = stored * value (ratio) or stored + value, in
 * all four prices; from `before` on they are equal. */
struct readjustment {
    bool ratio;
    double value;
    int64_t before;
    double grain; /* how far a price may be off when the adjustment is taken back */
};

/* Compares bars of the same times. True, with `found` filled, where at least
 * five of them differ, all before all that are equal, by one ratio or one
 * difference within half of the last decimal of the prices. */
bool bars_readjusted(const struct bars *stored, const struct bars *other,
                     struct readjustment *found);

/* Takes the adjustment back from the bars before it, rounded to the grain's
 * decimals where they are exact. */
void bars_undo_readjustment(struct bars *bars, const struct readjustment *adjusted);

#endif
