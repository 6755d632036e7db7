/* A picture: layers of marks and a list of labels, to SVG.
 *
 * Marks are written at once, in user units (CSS pixels) from the upper left
 * corner. Labels are collected and placed when the picture is written, in the
 * order of their priorities: a label takes the first of its spots where its
 * box (from Pango, typesetter.h) lies inside the picture and clear of every
 * label placed before; one that finds none is cut to its room or left out. So
 * no two texts ever overlap, whatever is asked for.
 *
 * Nothing fails before the end: without memory the picture notes it, and
 * picture_write says so. */
#ifndef RUSHLIGHT_DRAW_PICTURE_H
#define RUSHLIGHT_DRAW_PICTURE_H

#include "base/error.h"
#include "base/text.h"
#include "draw/label.h"

#include <stdbool.h>
#include <stddef.h>

/* From the bottom up. Edges are crisp on LAYER_BARS alone: diagonals would
 * turn jagged. */
enum layer { LAYER_GROUND, LAYER_BARS, LAYER_MARKS, LAYER_OVER, LAYER_COUNT };

enum dash { DASH_NONE, DASH_SHORT, DASH_DOTS };

struct pen {
    enum ink ink;
    double width; /* 0: no outline */
    enum dash dash;
};

struct picture;

/* Makes an empty picture of this size; `prefix` begins its ids, so that
 * several pictures can stand in one page. The typesetter is borrowed. The
 * caller frees it; NULL without memory. */
struct picture *picture_new(struct typesetter *typesetter, double width, double height,
                            const char *prefix);
void picture_free(struct picture *picture);
double picture_width(const struct picture *picture);
double picture_height(const struct picture *picture);
struct typesetter *picture_typesetter(const struct picture *picture);

/* The x of the picture's left edge, 0 to begin with: what moves in a window is
 * wider than the window and keeps its coordinates. */
void picture_set_left(struct picture *picture, double left);
void picture_set_width(struct picture *picture, double width);

/* From here on marks (not labels) are cut off at this box; NULL: no longer. */
void picture_clip(struct picture *picture, const struct box *box);

/* What a screen reader says: the name and a description of the whole. */
void picture_describe(struct picture *picture, const char *title, const char *description);

/* The title given, "" if none; the picture's own. */
const char *picture_title(const struct picture *picture);

/* Cuts or lengthens the picture to this height, before it is written. */
void picture_set_height(struct picture *picture, double height);

void picture_line(struct picture *picture, enum layer layer, struct pen pen, double x1, double y1,
                  double x2, double y2);
/* Filled (INK_COUNT: not) and outlined. */
void picture_rectangle(struct picture *picture, enum layer layer, enum ink fill, struct pen pen,
                       struct box box);
void picture_circle(struct picture *picture, enum layer layer, enum ink fill, struct pen pen,
                    double x, double y, double radius);
/* A path whose data were made with path_… below; empty ones leave no trace. */
void picture_path(struct picture *picture, enum layer layer, enum ink fill, struct pen pen,
                  const struct text *data);

void path_move(struct text *path, double x, double y);
void path_line(struct text *path, double x, double y);
void path_horizontal(struct text *path, double x);
void path_vertical(struct text *path, double y);
void path_close(struct text *path);
/* A coordinate with at most one decimal. */
void append_coordinate(struct text *text, double value);

void picture_label(struct picture *picture, const struct label *label);
/* Spots around a point for a label of this size: above it (or below) first,
 * near and then farther, each also on the other side. Adds as many as there is
 * room for to those that are there. Sets the point. */
void label_around(struct label *label, double x, double y, bool above, double distance);
/* One label at one spot. */
void picture_word(struct picture *picture, const char *text, struct type type, enum ink ink,
                  enum priority priority, struct spot spot, double room);
/* Lines of text from baseline box.top + size on, wrapped to the box's width
 * and ended at its bottom; returns the y below the last line. */
double picture_paragraph(struct picture *picture, const char *text, struct type type, enum ink ink,
                         enum priority priority, struct box box);

/* Takes a box that marks fill, so that labels which ask for it keep clear. */
void picture_block(struct picture *picture, struct box box);

/* Places the labels, once; picture_write does so by itself. */
void picture_place(struct picture *picture);
/* Labels with the places they got, after picture_place; the picture's own. */
const struct letters *picture_letters(const struct picture *picture, size_t *count);

/* Appends the picture as one SVG element, complete with title, description
 * and the theme's style sheet. */
int picture_write(struct picture *picture, enum theme theme, struct text *svg, struct error *error);
/* The same with more rules before those of the theme: its letters (font_face.h),
 * where it is a file of its own. */
int picture_write_styled(struct picture *picture, enum theme theme, const char *css,
                         struct text *svg, struct error *error);

/* How a picture stands in a page that has the theme's style sheet already. */
struct picture_form {
    bool paper; /* the ground is filled */
    bool named; /* with title and description; else hidden from screen readers */
    /* Nested below this picture's own marks; NULL: nothing. */
    struct picture *below;
    struct box below_box; /* of the window onto it, in its own coordinates */
};

/* The same as one SVG element without style elements or attributes. */
int picture_write_bare(struct picture *picture, enum theme theme, const struct picture_form *form,
                       struct text *svg, struct error *error);

#endif
