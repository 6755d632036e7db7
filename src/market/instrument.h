/* What has to be known of an instrument besides its bars. */
#ifndef RUSHLIGHT_MARKET_INSTRUMENT_H
#define RUSHLIGHT_MARKET_INSTRUMENT_H

#include "base/error.h"
#include "base/number.h"
#include "market/costs.h"
#include "market/interval.h"

#include <stdbool.h>
#include <stddef.h>

enum market_kind {
    MARKET_UNKNOWN,
    MARKET_SHARE,
    MARKET_INDEX,
    MARKET_FUTURE,
    MARKET_CURRENCY,
    MARKET_COMMODITY,
    MARKET_CRYPTOCURRENCY
};

/* What the prices of the bars are: of trades, half-way between bid and ask, or
 * bids alone. */
enum price_basis { PRICES_TRADE, PRICES_MID, PRICES_BID };

/* A tick that holds from a date on; INT64_MIN: always. */
struct dated_tick {
    int64_t since;
    struct tick tick;
};

enum { INSTRUMENT_NAME_SIZE = 64, ZONE_NAME_SIZE = 48, CURRENCY_SIZE = 4, ENDED_SIZE = 80 };

struct instrument {
    char name[INSTRUMENT_NAME_SIZE]; /* unique in the book; UTF-8, all of it seen */
    enum market_kind kind;
    enum price_basis basis;
    bool tick_known;
    struct tick tick;             /* meaningful where tick_known */
    double point_value;           /* money per price unit and unit held; 1 by default */
    char currency[CURRENCY_SIZE]; /* ISO 4217 letters, or empty */
    struct interval interval;     /* of the bars it is usually read on */
    char zone[ZONE_NAME_SIZE];    /* of the session, IANA name; "UTC" by default */
    double size_step;             /* sizes are whole multiples of it; 1 by default */
    double smallest_size;         /* 0: one step */
    double leverage;              /* times the balance that positions may be worth; 0: no limit */
    struct costs costs;           /* of its orders, where a setup says none */
    int session_start;     /* minutes after midnight of the zone; below 0: the evening before */
    unsigned session_days; /* bit 0 is Monday; 0: every day */
    bool first_known;
    bool last_known;    /* the instrument has ended */
    int64_t first_date; /* midnight UTC of the date */
    int64_t last_date;
    char ended_why[ENDED_SIZE]; /* such as "delisted", or empty */
    int64_t id;                 /* in the book; 0 for none */
};

/* An instrument with nothing known but its name; false if the name is empty,
 * too long, not UTF-8 or has characters that are not seen (text_is_shown). */
bool instrument_init(struct instrument *instrument, const char *name);
/* Whether a new instrument may have the name: one that instrument_init takes,
 * without @, which parts a name from a length of bars, without - in front, as
 * options have it, without a blank at either end, and nothing that is a path of
 * its own look (`.`, `..`, `/x`, `./x`, `../x`). */
bool instrument_name_allowed(const char *name);
/* Whether it has costs that a trade without a size can be told of: all but a
 * commission a trade. */
bool instrument_has_costs(const struct instrument *instrument);
/* What such a name is, for messages. */
extern const char instrument_name_rule[];

const char *market_kind_name(enum market_kind kind);
/* Reads such a name; false if it is none. */
bool market_kind_parse(const char *name, enum market_kind *kind);
/* trade, mid or bid. */
const char *price_basis_name(enum price_basis basis);
bool price_basis_parse(const char *name, enum price_basis *basis);

#endif
