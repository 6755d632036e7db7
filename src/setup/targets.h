/* Where a target lies: each kind is one row of a table with its mirror
 * (docs/method.md 7). The long side is written out. */
#ifndef RUSHLIGHT_SETUP_TARGETS_H
#define RUSHLIGHT_SETUP_TARGETS_H

#include "base/parameter.h"
#include "measures/sheet.h"
#include "setup/conditions.h"

#include <stdbool.h>
#include <stddef.h>

/* What a target's function looks at; prices and bars are of the setup's own side. */
struct target_view {
    struct sheet *sheet;
    bool sheet_is_mirror; /* prices on it are negated */
    size_t first;         /* the candle's bars */
    size_t candle;        /* t */
    size_t signal;        /* s */
    double fill;
    double risk; /* fill less the stop */
    size_t fall_bars;
    const struct surroundings *around; /* may be NULL */
    double value;                      /* of the row's number */
};

struct target_kind {
    const char *name;        /* NULL ends the table */
    const char *mirror_name; /* NULL: its own mirror */
    struct parameter number;
    /* The price before rounding; NaN: there is none. One at or below the fill is
     * not taken, which the caller sees to. */
    double (*price)(const struct target_view *view);
};

extern const struct target_kind target_kinds[];

/* A multiple of the risk. */
bool target_is_r(const struct target_kind *kind);
/* A retracement or an extension. */
bool target_is_of_fall(const struct target_kind *kind);
bool target_is_at_swing(const struct target_kind *kind);
bool target_is_own_level(const struct target_kind *kind);

#endif
