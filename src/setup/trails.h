/* Ways in which a stop follows the trade: each is one row of a table with its
 * mirror (docs/method.md 7). The long side is written out. */
#ifndef RUSHLIGHT_SETUP_TRAILS_H
#define RUSHLIGHT_SETUP_TRAILS_H

#include "base/parameter.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>

/* What a trail's function looks at; bars are of the setup's own side. */
struct trail_view {
    struct sheet *sheet;
    size_t at;            /* j, a bar of the trade, whose close is known */
    double highest_close; /* since the entry, up to j */
    double value;         /* of the row's one number */
};

struct trail {
    const char *name;        /* NULL ends the table */
    const char *mirror_name; /* NULL: its own mirror */
    struct parameter parameters[2];
    const char *help;
    const char *source;
    /* The stop before rounding; NaN: none can be told at this bar, and the stop
     * stays where it is. */
    double (*price)(const struct trail_view *view);
};

extern const struct trail trails[];
/* Whether the row looks at swings, which a figure then shows. */
bool trail_follows_swings(const struct trail *trail);

#endif
