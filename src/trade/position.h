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
    bool finer_missing;               /* of a bar that finer bars were to decide */
    bool leave_at_open;               /* the `when` conditions held at the last close */
    bool leans_back;                  /* it was left by them, by a level dated back alone */
    const struct trade_word *closing; /* a person's; NULL: none */
    size_t word_next;                 /* those before it have been heard */
    struct trade_path *path;          /* NULL: not wanted */
};

/* Its risk and targets from the fill, or from a planned one; nothing is followed. */
void position_begin(struct position *position, const struct simulation *simulation,
                    const struct fill *fill, struct trade_path *path);
/* Follows the position to its end, or to the end of the data (reason
 * TRADE_OPEN). */
void position_run(struct position *position, const struct simulation *simulation,
                  const struct fill *fill, struct trade_path *path);

/* Lets `share` of the position go; all that is left only by a person's word, where there
 * is one that closes it. */
void position_leave(struct position *position, size_t bar, double price, double share,
                    enum trade_reason reason);
/* What an exit there costs, with what holding it until then cost and paid. */
double position_exit_costs(const struct position *position, size_t bar, double price, bool slips);
/* A price at which it was held. */
void position_reach(struct position *position, double price);
/* A step of its path; share 0: a moved stop. */
void position_note(struct position *position, size_t bar, double price, double share,
                   enum trade_reason reason);

/* The last of a kind; NULL: there is none, nor where `words` is NULL. */
const struct trade_word *words_last(const struct trade_words *words, enum trade_word_kind kind);

/* Puts a person's fill in the place of the rule's, where one was told of. */
void fill_by_word(const struct simulation *simulation, struct fill *fill);

/* What a person said before this bar is over: stops and targets of the bars before it
 * stand from now on. True where it was closed on this bar, of which nothing else counts. */
bool position_hear(struct position *position, size_t bar);
/* At the end of the data: closed since the last bar, or stops and targets moved on it. */
void position_hear_rest(struct position *position);
/* What stands for the coming bar, in prices of the chart. */
void position_stand(const struct position *position, struct trade_standing *standing);

/* Costs of one order filled at `price` on a bar, in prices of the bars: the
 * entry, or an exit; with slippage where `slips`. */
double order_costs(const struct simulation *simulation, size_t bar, double price, bool entry,
                   bool slips);

#endif
