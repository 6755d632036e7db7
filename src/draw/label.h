/* Labels: words that want a place in a picture, and have got one. */
#ifndef RUSHLIGHT_DRAW_LABEL_H
#define RUSHLIGHT_DRAW_LABEL_H

#include "draw/theme.h"
#include "draw/typesetter.h"

#include <stdbool.h>
#include <stddef.h>

struct box {
    double left;
    double top;
    double right;
    double bottom;
};

bool boxes_meet(const struct box *a, const struct box *b);

/* Who gives way to whom: lower numbers are placed first. */
enum priority {
    PRIORITY_HEADING, /* titles, captions, cautions */
    PRIORITY_TABLE,   /* text set in lines and columns */
    PRIORITY_ORDER,   /* the prices a figure is about */
    PRIORITY_NOTE,    /* words beside marks */
    PRIORITY_AXIS,    /* numbers and dates of axes */
    PRIORITY_EXTRA    /* what can be spared */
};

enum align { ALIGN_START, ALIGN_MIDDLE, ALIGN_END };

/* Where a label may stand: a point of its baseline. */
struct spot {
    double x;
    double y;
    enum align align;
};

enum { SPOT_LIMIT = 32 };

struct label {
    const char *text; /* copied and cleaned */
    struct type type;
    enum ink ink;
    enum priority priority;
    struct spot spots[SPOT_LIMIT]; /* the best first */
    size_t spot_count;
    double room;         /* cut to this width with "…"; 0: whole or not at all */
    double gap;          /* least distance to other labels, sideways */
    struct box bounds;   /* to stay within; empty: the picture */
    bool clear_of_marks; /* never on what picture_block took: a pointed one is put
                          * where there is room not too far off, or left out */
    bool pointed;        /* a fine line leads to point_x, point_y where it stands far off */
    double point_x;
    double point_y;
};

/* A label with its place. */
struct letters {
    char *text;
    struct type type;
    enum ink ink;
    struct spot spot;
    struct box box;
    bool halo;    /* set off from the marks below it */
    bool pointed; /* a line leads to the point */
    double point_x;
    double point_y;
    bool shown;
};

#endif
