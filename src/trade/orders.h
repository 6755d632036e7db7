/* Orders and fills of the long side, on the setup's own sheet. Private to the
 * trade layer. */
#ifndef RUSHLIGHT_TRADE_ORDERS_H
#define RUSHLIGHT_TRADE_ORDERS_H

#include "market/scale.h"
#include "trade/trade_words.h"

/* One signal being simulated. */
struct simulation {
    const struct setup_view *view;
    const struct trade_terms *terms;
    const struct setup *setup;
    const struct bars *bars; /* of the own sheet */
    size_t count;
    const double *atr;
    struct signal signal;
    struct entry_view entry;
    bool short_side;
    double planned_stop;      /* set by find_fill where it is known at the signal, else NaN */
    const struct bars *finer; /* in chart prices; NULL: none */
    const struct trade_words *words; /* of a person, in chart prices; NULL: none */
};

/* What became of an entry. */
struct fill {
    enum trade_reason outcome; /* TRADE_OPEN: filled; else UNFILLED, LATE, WAITING */
    const char *note;
    size_t bar; /* of the fill, or the one that decided against it */
    double price;
    double stop;
    size_t broke;                 /* the bar that closed beyond the level waited for; 0: none */
    size_t returned;              /* of a retest, the bar that came back and held; 0: none */
    bool at_close;                /* the bar's own range counts for nothing */
    bool inside;                  /* a resting order reached within the bar, not at its open */
    bool pulled_back;             /* inside, by a limit order that the price came back to */
    bool same_bar;                /* that bar also reached the stop */
    bool finer_missing;           /* finer bars were to decide it, and there are none */
    struct trade_awaited awaited; /* its price on the own side */
};

struct fill find_fill(struct simulation *simulation);

/* Where entry and stop would be set at the close of the signal, which has to be
 * the last bar there is: the outcome is TRADE_WAITING, or why there is no entry.
 * A price of the own side that is given is taken instead of the rule's (NaN:
 * none is). The stop is NaN while the rule cannot know it yet. */
struct fill plan_fill(struct simulation *simulation, double entry, double stop);

/* An order price rounded to the ticks traded at the bar where it is set, and so
 * many ticks of that bar as a length; in prices of the bars. */
double order_round_up(const struct simulation *simulation, size_t bar, double price);
double order_round_down(const struct simulation *simulation, size_t bar, double price);
double order_ticks(const struct simulation *simulation, size_t bar, double ticks);

/* The costs that apply: the setup's, else the instrument's; never NULL. */
const struct costs *costs_of(const struct simulation *simulation);

/* The order in which one bar that reached both sides did so. */
enum bar_order { ORDER_GOOD_FIRST, ORDER_ADVERSE_FIRST };
/* By the nearer extreme; the adverse one on a tie. */
enum bar_order nearest_order(const struct bars *bars, size_t at);

/* Finer bars that lie within bar `at`: *first .. *last-1. False where there are
 * none, or some are missing: together they do not reach its high and low. */
bool finer_range(const struct simulation *simulation, size_t at, size_t *first, size_t *last);
/* A finer bar on the setup's own side. */
struct bar finer_bar(const struct simulation *simulation, size_t index);

/* Whether a bar's price reaches an order's price from below or above, with the
 * tolerance of the method page. */
bool reaches_up(const struct bars *bars, size_t at, double price);
bool reaches_down(const struct bars *bars, size_t at, double price);

#endif
