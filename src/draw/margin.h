/* Labels in a margin beside a pane, each as near to its height as the others
 * let it be, with a leader where it had to move. */
#ifndef RUSHLIGHT_DRAW_MARGIN_H
#define RUSHLIGHT_DRAW_MARGIN_H

#include "draw/picture.h"

enum { MARGIN_LIMIT = 32 };

struct margin_label {
    double y; /* of what it names */
    const char *text;
    enum face face;
    enum ink ink;
    int rank; /* where not all have room, the highest ranks are left out */
};

struct margin {
    double from; /* x where leaders start */
    double x;    /* of the letters */
    double top;
    double bottom;
    double size; /* of the letters */
    double room; /* greatest width */
};

/* Moves the heights y[0..count), ascending, apart to at least `distance`, each
 * as little as can be (least squares), and into top..bottom; count is at most
 * MARGIN_LIMIT and count * distance at most the room. */
void spread(double *y, size_t count, double distance, double top, double bottom);

/* Draws the labels, at most MARGIN_LIMIT; their order does not matter. Those
 * with a height outside top..bottom stand at the edge. */
void picture_margin(struct picture *picture, const struct margin *margin,
                    const struct margin_label *labels, size_t count);

#endif
