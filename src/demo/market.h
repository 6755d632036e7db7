/* The demo market: bars made by chance from a seed, the same on any machine.
 *
 * Prices are walks of many steps a day. The steps of an instrument share
 * parts with all others and with its group; the day's volatility is itself a
 * slowly moving chance quantity, common in part, which gives fat tails and
 * clusters; nights bring gaps and now and then a jump. Nothing in a price
 * knows what comes, but for the planted effect (plant.h). */
#ifndef RUSHLIGHT_DEMO_MARKET_H
#define RUSHLIGHT_DEMO_MARKET_H

#include "base/error.h"
#include "demo/roster.h"
#include "market/bars.h"
#include "market/instrument.h"

enum { DEMO_STEPS_A_DAY = 96, DEMO_SEED = 1 };

/* What the instruments have in common, by weekday. */
struct demo_market {
    uint64_t seed;
    size_t day_count;       /* weekdays from first to last */
    int64_t *day;           /* days since 1970-01-01 */
    double *log_volatility; /* common part, mean 0, variance 1 */
    /* Standard normal steps, (DEMO_STEPS_A_DAY + 1) a day, the night first:
     * one column for each group, then one for the whole market. */
    double *steps[DEMO_GROUP_COUNT + 1];
};

struct demo_series {
    const struct demo_row *row;
    struct instrument instrument; /* interval: daily; zone UTC */
    struct bars daily;
    struct bars hourly;        /* empty where the row has none */
    struct demo_event *events; /* splits, dividends, rolls, the end, by date */
    size_t event_count;
    size_t event_room;
};

/* Makes the common part. The market is the caller's to free, also after an
 * error (only ERROR_MACHINE). */
int demo_market_init(struct demo_market *market, uint64_t seed, struct error *error);
void demo_market_free(struct demo_market *market);

/* Makes instrument `index` of the roster: about 3,850 daily bars from
 * 2010-01-04 to 2024-12-31, hourly ones from 2022 on. Independent of other
 * calls, so that several threads may make several instruments at once. The
 * series is the caller's to free, also after an error (only ERROR_MACHINE). */
int demo_series_make(const struct demo_market *market, size_t index, struct demo_series *series,
                     struct error *error);
void demo_series_free(struct demo_series *series);

/* The index of a name in the roster; demo_roster_count if it is not there. */
size_t demo_find(const char *name);

#endif
