#include "demo/roster.h"

#define ROW(NAME, KIND, GROUP, CURRENCY, POINT, TICK, FIRST, VOLATILITY, DRIFT, MARKET, SHARED,    \
            DIVIDEND, ...)                                                                         \
    {                                                                                              \
        .name = NAME, .kind = MARKET_##KIND, .group = DEMO_##GROUP, .currency = CURRENCY,          \
        .point_value = POINT, .tick = TICK, .first_price = FIRST, .volatility = VOLATILITY,        \
        .drift = DRIFT, .market_share = MARKET, .group_share = SHARED, .dividend = DIVIDEND,       \
        __VA_ARGS__                                                                                \
    }

#define PLAIN .planted = false, .hourly = false
#define PLANTED .planted = true, .hourly = false
#define HOURLY .planted = false, .hourly = true
#define PLANTED_HOURLY .planted = true, .hourly = true

const struct demo_row demo_roster[] = {
    ROW("lamp-tallow", COMMODITY, GOODS, "RDM", 100, 0.05, 84, 0.26, 0.00, 0.05, 0.20, 0,
        PLANTED_HOURLY),
    ROW("cut-rush", COMMODITY, GOODS, "RDM", 50, 0.25, 312, 0.22, 0.00, 0.05, 0.25, 0, PLAIN),
    ROW("bog-oak", COMMODITY, GOODS, "RDM", 10, 1, 1840, 0.18, 0.01, 0.04, 0.10, 0, PLAIN),
    ROW("smoked-eel", COMMODITY, GOODS, "RDM", 200, 0.05, 46, 0.31, 0.00, 0.03, 0.10, 0, PLAIN),
    ROW("salt-hay", COMMODITY, GOODS, "RDM", 100, 0.05, 91.2, 0.34, -0.01, 0.02, 0.30, 0, PLAIN),
    ROW("river-clay", COMMODITY, GOODS, "RDM", 100, 0.1, 128, 0.20, 0.00, 0.08, 0.10, 0, PLAIN),
    ROW("goose-down", COMMODITY, GOODS, "RDM", 20, 0.5, 640, 0.25, 0.00, 0.03, 0.15, 0, PLANTED),
    ROW("marsh-honey", COMMODITY, GOODS, "RDM", 50, 0.25, 205, 0.29, 0.01, 0.02, 0.20, 0, PLANTED),
    ROW("peat-brick", COMMODITY, GOODS, "RDM", 1000, 0.01, 27.5, 0.33, 0.00, 0.08, 0.15, 0,
        PLANTED),
    ROW("reed-sugar", COMMODITY, GOODS, "RDM", 1000, 0.01, 16.8, 0.30, 0.00, 0.04, 0.25, 0, PLAIN),

    ROW("tallowmere-lamps", SHARE, WORKS, "RDM", 1, 0.01, 38, 0.30, 0.05, 0.30, 0.15, 0.018,
        PLANTED_HOURLY),
    ROW("brindlequay-ferries", SHARE, CARRIERS, "RDM", 1, 0.01, 22, 0.32, 0.04, 0.30, 0.20, 0.022,
        HOURLY),
    ROW("corrowen-mills", SHARE, HOUSEHOLD, "RDM", 1, 0.01, 54, 0.24, 0.05, 0.28, 0.15, 0.030,
        PLANTED),
    ROW("marrowick-bank", SHARE, MONEY, "RDM", 1, 0.01, 71, 0.33, 0.04, 0.40, 0.25, 0.034, PLAIN),
    ROW("threeherons-brewing", SHARE, HOUSEHOLD, "RDM", 1, 0.01, 44, 0.22, 0.06, 0.22, 0.15, 0.026,
        PLAIN),
    ROW("lowfen-drainage", SHARE, WORKS, "RDM", 1, 0.01, 18.5, 0.27, 0.03, 0.25, 0.15, 0.040,
        PLAIN),
    ROW("plover-post", SHARE, CARRIERS, "RDM", 1, 0.01, 31, 0.28, 0.03, 0.28, 0.20, 0.035, PLANTED),
    ROW("gildenreed-paper", SHARE, WORKS, "RDM", 1, 0.01, 63, 0.29, 0.04, 0.30, 0.15, 0.024, PLAIN),
    ROW("eeltrap-foods", SHARE, HOUSEHOLD, "RDM", 1, 0.01, 27, 0.25, 0.05, 0.25, 0.20, 0.028,
        PLANTED),
    ROW("wherry-and-daughters", SHARE, CARRIERS, "RDM", 1, 0.01, 92, 0.31, 0.05, 0.32, 0.20, 0.015,
        PLANTED),
    ROW("bitternhall-insurance", SHARE, MONEY, "RDM", 1, 0.01, 120, 0.26, 0.05, 0.35, 0.25, 0.032,
        PLANTED),
    ROW("sluicegate-power", SHARE, WORKS, "RDM", 1, 0.01, 48, 0.19, 0.03, 0.20, 0.20, 0.045, PLAIN),
    ROW("mothwing-textiles", SHARE, HOUSEHOLD, "RDM", 1, 0.01, 15.6, 0.36, 0.02, 0.28, 0.15, 0,
        PLAIN),
    ROW("crakemoor-quarries", SHARE, WORKS, "RDM", 1, 0.01, 36, 0.34, 0.03, 0.30, 0.20, 0.020,
        PLANTED),
    ROW("harnser-telegraph", SHARE, CARRIERS, "RDM", 1, 0.01, 58, 0.27, 0.06, 0.30, 0.10, 0.021,
        PLAIN),
    ROW("fogbell-instruments", SHARE, WORKS, "RDM", 1, 0.01, 84, 0.35, 0.07, 0.30, 0.15, 0,
        PLANTED),
    ROW("dunnock-stores", SHARE, HOUSEHOLD, "RDM", 1, 0.01, 24.8, 0.26, 0.04, 0.26, 0.20, 0.027,
        PLANTED),
    ROW("osierbed-baskets", SHARE, HOUSEHOLD, "RDM", 1, 0.005, 6.4, 0.38, 0.02, 0.20, 0.10, 0,
        PLANTED),
    ROW("gorsewick-candles", SHARE, HOUSEHOLD, "RDM", 1, 0.01, 29, 0.37, -0.05, 0.25, 0.15, 0,
        PLAIN),
    ROW("saltpan-trust", SHARE, MONEY, "RDM", 1, 0.01, 66, 0.30, 0.06, 0.35, 0.20, 0.050, PLAIN),
    ROW("peewit-rail", SHARE, CARRIERS, "RDM", 1, 0.01, 40, 0.29, 0.04, 0.30, 0.25, 0.023, PLAIN),
    ROW("alderstaithe-docks", SHARE, CARRIERS, "RDM", 1, 0.01, 77, 0.28, 0.04, 0.30, 0.25, 0.025,
        PLAIN),

    ROW("rdm-fnl", CURRENCY, MONEY, "FNL", 1, 0.0001, 1.284, 0.085, 0, 0.10, 0.30, 0, HOURLY),
    ROW("rdm-tnc", CURRENCY, MONEY, "TNC", 1, 0.001, 8.62, 0.095, 0, 0.05, 0.30, 0, PLANTED_HOURLY),
    ROW("rdm-qyd", CURRENCY, MONEY, "QYD", 1, 0.0001, 0.774, 0.075, 0, 0.08, 0.20, 0, PLAIN),
    ROW("fnl-tnc", CURRENCY, MONEY, "TNC", 1, 0.001, 6.71, 0.105, 0, 0.02, 0.10, 0, PLAIN),

    ROW("sedgemouth-20-future", FUTURE, WORKS, "RDM", 10, 0.5, 4120, 0.19, 0.04, 0.80, 0.05, 0,
        HOURLY),
    ROW("reedlands-broad-future", FUTURE, HOUSEHOLD, "RDM", 50, 0.1, 968, 0.18, 0.04, 0.75, 0.10, 0,
        PLAIN),
    ROW("tarnland-50-future", FUTURE, CARRIERS, "TNC", 5, 1, 11650, 0.22, 0.03, 0.45, 0.10, 0,
        PLANTED),
    ROW("quayside-50-future", FUTURE, MONEY, "QYD", 25, 0.25, 2240, 0.20, 0.04, 0.50, 0.10, 0,
        PLAIN),
};

const size_t demo_roster_count = sizeof demo_roster / sizeof demo_roster[0];

/* Gorsewick Candles wastes away until it is wound up, Saltpan Trust breaks in
 * one night and never recovers. The last three are faults for `check` to find. */
const struct demo_fate demo_fates[] = {
    {"threeherons-brewing", "2014-06-16", DEMO_SPLIT, 2},
    {"harnser-telegraph", "2017-09-11", DEMO_SPLIT, 3},
    {"mothwing-textiles", "2020-03-09", DEMO_SPLIT, 0.1},
    {"gorsewick-candles", "2018-02-12", DEMO_SHOCK, 0.62},
    {"gorsewick-candles", "2018-11-05", DEMO_SHOCK, 0.55},
    {"gorsewick-candles", "2019-08-19", DEMO_SHOCK, 0.40},
    {"gorsewick-candles", "2020-05-25", DEMO_END, 0},
    {"saltpan-trust", "2016-10-17", DEMO_SHOCK, 0.27},
    {"saltpan-trust", "2016-11-21", DEMO_END, 0},
    {"river-clay", "2013-05-07", DEMO_MISPRINT, 0.1},
    {"salt-hay", "2015-07-06", DEMO_SILENCE, 25},
    {"lowfen-drainage", "2019-01-14", DEMO_STALE, 7},
};

const size_t demo_fate_count = sizeof demo_fates / sizeof demo_fates[0];
