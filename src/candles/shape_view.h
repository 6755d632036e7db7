/* What the function of a shape looks at, and where it puts what it reads. */
#ifndef RUSHLIGHT_CANDLES_SHAPE_VIEW_H
#define RUSHLIGHT_CANDLES_SHAPE_VIEW_H

#include "base/reading.h"
#include "measures/sheet.h"

#include <stdbool.h>
#include <stddef.h>

/* What a shape's function looks at: its bars on the sheet of its own side. */
struct shape_view {
    struct sheet *sheet;
    size_t first; /* first bar of the shape */
    size_t last;
    double tolerance;
    const double *limits; /* the row's named numbers */
};

/* Where a shape's function puts its readings. */
struct readings {
    size_t count;
    bool unread; /* only `missed` is wanted: nothing is put into the list */
    bool missed; /* some criterion is not met */
    struct reading list[READING_LIMIT];
};

#endif
