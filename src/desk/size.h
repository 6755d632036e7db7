/* How much to hold so that the loss at the stop is no more than one allows
 * (docs/method.md 9). Every figure is exact; money is rounded last, against the
 * person who asks: what may be lost down, what would be lost up. */
#ifndef RUSHLIGHT_DESK_SIZE_H
#define RUSHLIGHT_DESK_SIZE_H

#include "base/number.h"
#include "desk/rates.h"
#include "desk/risk.h"

/* What is asked. Prices and lengths are those of the instrument's chart. */
struct size_wish {
    struct instrument instrument; /* tick, point value, size step, smallest size, leverage, costs */
    struct fraction entry;
    struct fraction stop;
    struct money balance; /* of the account, in its currency */
    struct risk risk;
    const struct rates *rates; /* from the instrument's currency to the account's */
    struct fraction gap;       /* a price length the stop may be jumped by; failed: not known */
    bool limited;              /* the room below is all that may be risked, whatever the rule */
    struct money room;
    /* Times the balance that a person lets positions be worth, > 0; failed: no limit. */
    struct fraction own_leverage;
};

/* What kept the size from being larger. */
enum size_bound { SIZE_BY_RISK, SIZE_BY_ROOM, SIZE_BY_LEVERAGE };

struct sizing {
    bool refused; /* no size that may be held keeps to the limits; `size` is the smallest one */
    enum size_bound bound;
    bool is_short;         /* the stop is above the entry */
    struct fraction entry; /* on the tick: to the worse side, as is the stop */
    struct fraction stop;
    struct fraction distance; /* from entry to stop, > 0 */
    struct fraction costs;    /* of both orders, as a length of price */
    struct fraction rate;     /* money of the account for one of the instrument's */
    struct rate_way way;
    struct fraction unit_risk; /* of one unit in money of the account, costs among it */
    int64_t steps;
    struct fraction size; /* steps times the size step */
    struct fraction next; /* one step more */
    struct money allowed;
    struct money at_risk; /* the loss at the stop with costs, of `size` */
    struct money next_at_risk;
    struct money notional;
    struct money most_notional; /* that the lower leverage allows; only where there is one */
    struct money margin;        /* by the instrument's leverage; only where it is known */
    struct money costs_paid;
    struct fraction costs_r; /* in R, which is the distance without costs */
    struct money if_gapped;  /* the loss where the stop is jumped; only where a gap is known */
};

/* Puts a price on the instrument's tick, up or down; it stays where none is known. False where
 * it cannot be held. */
bool size_on_tick(const struct instrument *instrument, bool up, struct fraction *price);
/* What the target brings after costs, in R; no slippage on its order, which rests. Below 0
 * where costs are more than the way, failed where the target is. */
struct fraction size_reward(const struct size_wish *wish, const struct sizing *sizing,
                            struct fraction target);

/* ERROR_INPUT for an entry that is its own stop, a risk that is none, a currency
 * without a rate, and for what is too large to be reckoned exactly. A size of 0 is
 * no error but a refusal. */
int size_work_out(const struct size_wish *wish, struct sizing *sizing, struct error *error);

#endif
