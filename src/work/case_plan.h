/* The orders of a case, as its candle's close has them, with another way in or
 * other lines where a person tries them. */
#ifndef RUSHLIGHT_WORK_CASE_PLAN_H
#define RUSHLIGHT_WORK_CASE_PLAN_H

#include "trade/plan.h"
#include "work/rules.h"

/* The ways in. The one that the setup has keeps its own rule; the others are the
 * usual rule of their kind, with the buffer and the bars of the setup's own. */
enum entry_way {
    WAY_BREAK,  /* a resting order beyond the candle */
    WAY_CLOSE,  /* a close beyond a level */
    WAY_RETURN, /* a close beyond a level, and the return to it */
    WAY_OPEN,   /* the next open; only where the setup has it */
    WAY_LIMIT,  /* a resting order at a better price; likewise */
    WAY_COUNT
};

/* "break", "close", "return", "open", "limit", as an address has them. */
const char *entry_way_name(enum entry_way way);
/* That of a name; `missing` where there is none of it. */
enum entry_way entry_way_find(const char *name, enum entry_way missing);
/* That of the setup. */
enum entry_way entry_way_of(const struct setup *setup);

struct case_plan {
    enum entry_way own; /* the setup's */
    enum entry_way way; /* that of `orders` */
    bool offered[WAY_COUNT];
    struct planned_orders
        ways[WAY_COUNT];          /* each entry as its rule has it, with the stop and target of
                                            * `orders` where those were put somewhere */
    struct planned_orders orders; /* of `way`, with the lines as they are */
    bool supposed; /* the setup waits for what confirms the candle: the signal is supposed */
};

/* `sheet` ends with the candle at bar `at`, so that nothing later can be read;
 * `opened` has the instrument. *found is false where no candle of the setup ends
 * there. ERROR_MACHINE, and what setup_view_init has. */
int case_plan_make(const struct rules_case *opened, struct sheet *sheet, const struct setup *setup,
                   size_t at, enum entry_way way, const struct planned_lines *lines,
                   struct case_plan *plan, bool *found, struct error *error);

#endif
