/* What a trade is, and what its simulation knows (docs/method.md 7 and 8). */
#ifndef RUSHLIGHT_TRADE_TRADE_TERMS_H
#define RUSHLIGHT_TRADE_TRADE_TERMS_H

#include "base/number.h"
#include "market/instrument.h"
#include "setup/signals.h"

#include <stdbool.h>
#include <stddef.h>

/* Why a trade ended, or why there was none. */
enum trade_reason {
    TRADE_STOP,
    TRADE_TARGET,
    TRADE_TIME,
    TRADE_TRAIL,
    TRADE_BREAK_EVEN, /* the stop, raised to the fill and no further */
    TRADE_WHEN,
    TRADE_ENDED,    /* the instrument itself has ended */
    TRADE_BY_HAND,  /* closed by a person's word (trade/trade_words.h) */
    TRADE_OPEN,     /* still in trade at the end of the data */
    TRADE_UNFILLED, /* the entry lapsed or was not taken */
    TRADE_LATE,     /* the close of the signal was already beyond the entry */
    TRADE_BROKEN,   /* the candidate broke before its signal */
    TRADE_PASSED,   /* passed over: the setup was busy */
    TRADE_WAITING   /* the data end before the entry is decided */
};

/* "stop", "target" …, as printed. */
const char *trade_reason_name(enum trade_reason reason);
/* Whether there was an entry. */
bool trade_filled(enum trade_reason reason);
/* Whether there was an entry and an exit. */
bool trade_closed(enum trade_reason reason);

/* Prices are those of the chart, whatever the side; NaN where there is none. */
struct trade {
    struct signal signal;
    enum trade_reason reason;
    const char *note; /* a static text that says more, or "" */
    size_t entry_bar; /* bar of the fill; where there was none, the bar that decided so */
    size_t exit_bar;  /* bar of the last exit; of an open trade the last bar */
    double entry;     /* before costs */
    double stop;      /* the initial one, rounded to the tick */
    double target;    /* the first one */
    double exit;      /* before costs; share-weighted where there were several */
    double risk;      /* |entry - stop| */
    double r;         /* after costs; NaN while open */
    double r_before_costs;
    double mae_r;  /* <= 0 */
    double mfe_r;  /* >= 0 */
    size_t bars;   /* exit_bar - entry_bar */
    size_t exits;  /* in how many parts it has left so far */
    bool same_bar; /* one bar reached both sides and a rule decided */
    /* The rule was `finer`, and there were no finer bars of that bar: what came
     * first cannot be told, and the worst is taken. */
    bool finer_missing;
};

struct trades {
    struct trade *list;
    size_t count;
    size_t room;
    size_t candidates;
    size_t signals;
    size_t untold; /* candles whose criteria cannot all be told (struct signals) */
};

/* Money that a holder of one unit gets on a date, in price: a dividend, or
 * funding where it is negative. Paid for positions entered on a trading day
 * before that date and still held on it; a short position pays it. */
struct cash_flow {
    int64_t time;
    double amount;
};

/* What a simulation knows of the instrument beside its sheet. */
struct trade_terms {
    struct tick tick; /* a value of 0: not known, and no order is rounded */
    /* Where it changed, in order of time; NULL: it holds always. Ticks and costs
     * are of the prices as traded (market/scale.h), not of adjusted ones. */
    const struct dated_tick *ticks;
    size_t tick_count;
    double point_value;        /* money per price unit and unit held, > 0 */
    bool ended;                /* the instrument has ended at its last bar */
    const struct bars *finer;  /* finer bars for same_bar: finer; NULL: none */
    const struct costs *costs; /* of the instrument, where the setup has none; may be NULL */
    /* On trade and mid prices each side pays half the spread; on bid prices the
     * buy pays all of it, and a resting order to buy is triggered where bid +
     * spread reaches it. */
    enum price_basis basis;
    const struct cash_flow *flows; /* in order of time; may be NULL */
    size_t flow_count;
};

/* The tick that holds at a time. */
const struct tick *terms_tick(const struct trade_terms *terms, int64_t time);

/* One change of the stop, or one exit, for figures and following. */
struct trade_step {
    size_t bar;
    double price; /* of the chart */
    double share; /* of the position that left; 0 for a moved stop */
    enum trade_reason reason;
};

/* What an entry that is not decided yet still waits for. */
enum trade_awaits {
    AWAITS_NOTHING,
    AWAITS_OPEN,     /* the next open, at which it fills */
    AWAITS_TOUCH,    /* a price at or beyond the order's */
    AWAITS_PULLBACK, /* a price back at or behind the order's */
    AWAITS_CLOSE,    /* a close beyond the price */
    AWAITS_BREAK,    /* the same, after which a return is waited for */
    AWAITS_RETURN,   /* a return to the price, and a close beyond it */
};

struct trade_awaited {
    enum trade_awaits what;
    double price;     /* of the chart, as it stands for the coming bar; NaN for an open */
    size_t bars_left; /* coming bars on which it may still happen, at least 1 */
};

enum { TRADE_STEP_LIMIT = 64 };

/* What happened between entry and exit. Beyond the limit it is the newest moved
 * stop that makes room: the first ones and every exit stay. */
struct trade_path {
    struct trade_step steps[TRADE_STEP_LIMIT];
    size_t count;
    double order_price;           /* of a resting order, else NaN */
    double stop;                  /* the protective one as known at the signal, else NaN */
    size_t broke;                 /* the bar that closed beyond the level waited for; 0: none */
    size_t returned;              /* of a retest, the bar that came back to it and held; 0: none */
    double level;                 /* that level at its break; NaN: none */
    double targets[TARGET_LIMIT]; /* prices, nearest first */
    size_t target_count;
    struct trade_awaited awaited; /* of a trade with the reason TRADE_WAITING */
};

#endif
