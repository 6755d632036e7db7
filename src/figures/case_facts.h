/* Everything that a case sheet shows, gathered once. Prices are those of the
 * chart, whatever the side. */
#ifndef RUSHLIGHT_FIGURES_CASE_FACTS_H
#define RUSHLIGHT_FIGURES_CASE_FACTS_H

#include "draw/ticks.h"
#include "figures/case_request.h"
#include "setup/checklist.h"
#include "structure/swings.h"
#include "structure/zones.h"

enum { CASE_ZONE_LIMIT = 2, MOMENTUM_LIMITS = 4 };

/* RSI and MACD of the bars of one interval, with the numbers that the setup's rules
 * on those bars have; where it has none, the usual ones. */
struct case_momentum {
    /* The setup has a rule about it on these bars. */
    bool rsi_asked, average_asked, macd_asked;
    const double *rsi, *rsi_average; /* of the sheet; NULL where memory ran out */
    size_t length, average;
    double limits[MOMENTUM_LIMITS]; /* of the RSI */
    size_t limit_count;
    const double *macd, *macd_signal, *macd_histogram;
};

struct case_zone {
    double low, high;
    size_t touches;
    size_t first_touch; /* bar */
};

struct case_facts {
    const struct case_request *request;
    const struct setup *setup;
    const struct bars *bars;
    bool is_short;
    size_t bar_count;   /* bars that may be drawn */
    size_t first, last; /* of the window; last may be beyond the bars */
    size_t candle_first, candle, signal;
    double candle_high, candle_low;
    int places;     /* decimals of prices */
    int64_t *times; /* as read in the instrument's zone; owned */
    bool dated;

    struct checklist checklist;
    const struct check *failed; /* of a bar that nearly is a case the one that fails; else NULL */
    double missed_by;           /* in ATR, or as a share of the limit */

    /* What the setup has a rule about, or all of it where context is asked for. */
    struct {
        bool fall, zones, swings, trend_line, neckline, levels;
    } uses;
    bool diverges; /* the two swings of a divergence that the setup asks for */
    size_t older, newer;

    bool has_fall;
    struct fall fall;            /* on the chart: high and low as seen */
    size_t slope_bars;           /* 0: none asked for */
    double slope_from, slope_to; /* fitted closes at f - n and f - 1 */
    double slope_atr;

    size_t swing;                /* strength */
    const struct swings *swings; /* of the plain sheet */
    struct case_zone zones[CASE_ZONE_LIMIT];
    size_t zone_count;
    bool has_line;
    struct trend_line line; /* prices as seen */
    size_t neckline_bar;    /* SIZE_MAX: none */
    double neckline;

    struct case_momentum momentum; /* of the figure's own bars */

    struct trade trade; /* of this signal; reason TRADE_WAITING without outcome */
    struct trade_path path;
    bool filled;        /* and to be shown */
    double entry, stop; /* planned, or filled; NaN: not known yet */
    bool expected;      /* entry is the nearest price at which it could be filled */
    double targets[TARGET_LIMIT];
    size_t target_count;
    double risk;
};

/* Gathers; free with case_facts_free, also after an error. */
int case_facts_make(struct case_facts *facts, const struct case_request *request,
                    struct error *error);
void case_facts_free(struct case_facts *facts);
/* RSI and MACD of these bars as the setup asks for them on bars of this interval. */
void case_momentum_read(struct case_momentum *momentum, const struct setup *setup,
                        struct sheet *sheet, struct interval interval);

/* A price with the decimals of the instrument. */
void case_price(const struct case_facts *facts, double price, char text[TICK_TEXT_SIZE]);
/* The distance in R from the entry to a price, for this side. */
double case_r(const struct case_facts *facts, double price);
/* A number of R with its sign: "+2.50 R". */
void case_r_text(double r, char text[TICK_TEXT_SIZE]);
/* "14 Mar 2019", with the time of day for shorter bars. */
void case_time(const struct case_facts *facts, size_t bar, char text[TICK_TEXT_SIZE]);

#endif
