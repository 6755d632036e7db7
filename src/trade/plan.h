/* What the orders of a signal are before anything is filled. Prices are those of
 * the chart, whatever the side; lengths are in such prices. */
#ifndef RUSHLIGHT_TRADE_PLAN_H
#define RUSHLIGHT_TRADE_PLAN_H

#include "trade/trade_terms.h"

/* Lines that a person has put elsewhere; NaN: as the setup has it. */
struct planned_lines {
    double entry, stop, target;
};

struct planned_orders {
    const char *note; /* why the rule has no entry; "" where it has one */
    double entry;     /* of an entry that waits for a close: the first price beyond its level */
    double stop;      /* NaN: not known before the fill */
    double target;    /* the nearest one; NaN: none */
    size_t targets;   /* how many the rule has from this entry on */
    double risk;      /* from entry to stop, > 0; NaN where the stop is not on its side */
    double at_target; /* from entry to target, the trade's way, < 0 where it is a loss */
    double costs_stop, costs_target; /* of both orders of a trade that ends there */
    double close, atr;               /* at the signal; the ATR of 14 bars, NaN too early */
    double tick;                     /* at the signal; 0: not known, no line is rounded */
};

/* The orders as they would be set at the close of the signal, which has to be the
 * last bar of the view: nothing later is read. Lines are put on the nearest tick. */
void trade_plan(const struct setup_view *view, const struct trade_terms *terms,
                const struct signal *signal, const struct planned_lines *lines,
                struct planned_orders *orders);

#endif
