/* A position of the long side from its fill to its last exit. Private to the
 * trade layer. */
#ifndef RUSHLIGHT_TRADE_POSITION_H
#define RUSHLIGHT_TRADE_POSITION_H

#include "trade/orders.h"

struct position_target {
    double price;
    double share;
};

struct position {
    const struct simulation *simulation;
    struct fill fill;
    double risk;
    double stop;
    bool at_break_even;                           /* the stop has been raised to the fill */
    bool trailed;                                 /* trailing has raised the stop */
    struct position_target targets[TARGET_LIMIT]; /* nearest first */
    size_t target_count;
    size_t target_next; /* those before it are taken */
    double remaining;   /* share still held */
    double proceeds;    /* share-weighted exit prices */
    double exit_costs;  /* share-weighted, in price */
    double highest_close;
    double entry_high; /* of the bar of the fill: the highest price that counts after it */
    double lowest;     /* price reached since the fill, at most the fill */
    double highest;
    size_t exits; /* parts that have left */
    size_t exit_bar;
    enum trade_reason reason;
    bool same_bar;
    bool finer_missing;      /* of a bar that finer bars were to decide */
    bool leave_at_open;      /* the `when` conditions held at the last close */
    bool leans_back;         /* it was left by them, by a level dated back alone */
    struct trade_path *path; /* NULL: not wanted */
};

/* Its risk and targets from the fill, or from a planned one; nothing is followed. */
void position_begin(struct position *position, const struct simulation *simulation,
                    const struct fill *fill, struct trade_path *path);
/* Follows the position to its end, or to the end of the data (reason
 * TRADE_OPEN). */
void position_run(struct position *position, const struct simulation *simulation,
                  const struct fill *fill, struct trade_path *path);

/* Costs of one order filled at `price` on a bar, in prices of the bars: the
 * entry, or an exit; with slippage where `slips`. */
double order_costs(const struct simulation *simulation, size_t bar, double price, bool entry,
                   bool slips);

#endif
