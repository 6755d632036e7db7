/* The instruments of the demo market: an invented place, the Reedlands, with
 * its goods, companies, currencies and index futures. None of them exists.
 * docs/demo-market.md tells its readers which of them hold a planted effect. */
#ifndef RUSHLIGHT_DEMO_ROSTER_H
#define RUSHLIGHT_DEMO_ROSTER_H

#include "market/instrument.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum demo_group {
    DEMO_GOODS,     /* what the marsh yields */
    DEMO_HOUSEHOLD, /* mills, breweries, stores */
    DEMO_CARRIERS,  /* ferries, post, docks, rail */
    DEMO_MONEY,     /* banks, insurers, currencies */
    DEMO_WORKS,     /* power, quarries, instruments */
    DEMO_GROUP_COUNT
};

struct demo_row {
    const char *name;
    enum market_kind kind;
    enum demo_group group;
    const char *currency; /* invented letters, like the currencies themselves */
    double point_value;
    double tick;
    double first_price;
    double volatility;   /* standard deviation of a year's log move */
    double drift;        /* expected log move of a year */
    double market_share; /* share of the variance that all instruments have in common */
    double group_share;  /* and that the group has in common */
    double dividend;     /* share of the price paid once a year, 0: none */
    bool planted;        /* rises after a low inverted hammer */
    bool hourly;         /* hourly bars of the last years as well */
};

extern const struct demo_row demo_roster[];
extern const size_t demo_roster_count;

enum demo_event_kind {
    DEMO_SPLIT,    /* value new shares for one old */
    DEMO_DIVIDEND, /* value in price units, paid by the open of the date */
    DEMO_ROLL,     /* the series goes over to the next contract, value price units higher */
    DEMO_SHOCK,    /* the open is value times what it would have been */
    DEMO_END,      /* no trading from this date on */
    DEMO_MISPRINT, /* the low of the date is value times what it was: a slip of a source */
    DEMO_SILENCE,  /* bars are missing for value calendar days */
    DEMO_STALE     /* the same price and no volume for value trading days */
};

struct demo_event {
    enum demo_event_kind kind;
    int64_t day; /* days since 1970-01-01 */
    double value;
};

/* What is fixed to happen to an instrument, and what is wrong with its data. */
struct demo_fate {
    const char *name;
    const char *date; /* YYYY-MM-DD */
    enum demo_event_kind kind;
    double value;
};

extern const struct demo_fate demo_fates[];
extern const size_t demo_fate_count;

#endif
