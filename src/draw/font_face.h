/* The letters of figures as CSS, so that a file looks alike where the font is
 * not installed. */
#ifndef RUSHLIGHT_DRAW_FONT_FACE_H
#define RUSHLIGHT_DRAW_FONT_FACE_H

#include "draw/output.h"
#include "draw/theme.h"

/* Appends @font-face rules with the letters that the figures show, cut out of
 * the font; letters that it lacks are left to the reader's machine. */
void font_face_css(const struct output_figure *figures, size_t count, struct text *css);

/* Appends the picture as an SVG file that carries the letters it shows, and so
 * looks alike everywhere, with labels that fit their places. */
int font_face_svg(struct picture *picture, enum theme theme, struct text *svg, struct error *error);

#endif
