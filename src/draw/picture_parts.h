/* What a picture holds. Private to the three files of pictures: its making and
 * labels, its marks, and its writing. */
#ifndef RUSHLIGHT_DRAW_PICTURE_PARTS_H
#define RUSHLIGHT_DRAW_PICTURE_PARTS_H

#include "draw/picture.h"
#include "draw/placing.h"

struct picture {
    struct typesetter *typesetter;
    double left;
    double width;
    double height;
    const struct box *clip; /* in force, or NULL */
    struct box clip_box;
    bool clipped[LAYER_COUNT]; /* layers in which it has been opened */
    char *prefix;
    char *title;
    char *description;
    struct text layers[LAYER_COUNT];
    struct placing placing;
    bool failed;
};

/* An attribute with a coordinate, and that of a view. */
void append_attribute(struct text *svg, const char *name, double value);
void append_view(struct text *svg, const struct box *box);
/* Opens an inner SVG element, which shows nothing outside its box. */
void open_window(struct text *svg, const struct box *box);
/* The classes and strokes of what is filled (INK_COUNT: not) and outlined. */
void append_pen(struct text *svg, enum ink fill, struct pen pen);

#endif
