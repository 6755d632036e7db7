/* Candle shapes (docs/method.md 5): each is one row of a table, with its
 * mirror, and one function. */
#ifndef RUSHLIGHT_CANDLES_SHAPES_H
#define RUSHLIGHT_CANDLES_SHAPES_H

#include "base/parameter.h"
#include "candles/shape_view.h"

#include <stdbool.h>
#include <stddef.h>

enum shape_side {
    SHAPE_LONG,   /* the row looks up, its mirror down */
    SHAPE_NEUTRAL /* belongs to setups of both sides */
};

struct shape {
    const char *name;        /* NULL ends the table */
    const char *mirror_name; /* the row applied to negated prices; NULL: itself */
    enum shape_side side;
    size_t bars;
    struct parameter limits[PARAMETER_LIMIT];
    const char *help;        /* the rule in words */
    const char *mirror_help; /* the mirror's rule; NULL: the same words */
    const char *source;      /* where the shape comes from, and where authors differ */
    /* Appends one reading for every criterion of the row. Bars with high = low
     * never get here. */
    void (*read)(const struct shape_view *view, struct readings *readings);
};

/* The table of all shapes. */
extern const struct shape shapes[];

/* A shape as a setup names it. */
struct shape_choice {
    const struct shape *shape;
    bool mirrored; /* the mirror row was named */
    double limits[PARAMETER_LIMIT];
    size_t kept; /* number of its text (setup/kept.h); 0: none */
};

/* The row of this name or mirror name with its default limits; false if there
 * is none. */
bool shape_find(const char *name, struct shape_choice *choice);
/* The name as written, of the row or its mirror. */
const char *shape_name(const struct shape_choice *choice);
/* The range that it asks for at least, in ATR before; 0: any will do. */
double shape_least_range(const struct shape_choice *choice);
/* Whether a setup of that side may use it. */
bool shape_suits(const struct shape_choice *choice, bool short_side);

/* Whether the shape ends at bar `last`, with every criterion read where
 * `readings` is not NULL. `sheet` is the plain sheet of the instrument or its
 * mirror: a mirrored choice is read on the mirror of `plain`. False where bars
 * before it are missing, and for a shape with a bar whose high equals its low
 * (then readings are empty). */
bool shape_fits(const struct shape_choice *choice, struct sheet *plain, size_t last,
                struct readings *readings);

#endif
