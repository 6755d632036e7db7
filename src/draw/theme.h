/* Inks by what they are for, and the colours that a theme gives them.
 *
 * Accents are the colour-blind-safe set of Okabe & Ito 2008 ("Color universal
 * design"); letters use a darker or lighter cousin where the accent itself
 * would not reach a contrast of 4.5 to 1 on the paper (WCAG 2.1, 1.4.3). A
 * colour never carries a meaning alone: shape, fill, dash or a word says it
 * too. */
#ifndef RUSHLIGHT_DRAW_THEME_H
#define RUSHLIGHT_DRAW_THEME_H

#include "base/text.h"

#include <stdbool.h>

enum ink {
    INK_MAIN,  /* candles, letters, what is read first */
    INK_SOFT,  /* axes, second-rank letters */
    INK_FAINT, /* grid hairlines */
    INK_WASH,  /* the lightest tint, for areas */
    INK_PAPER,
    INK_ACCENT, /* the one thing the figure is about */
    INK_BLUE,
    INK_GREEN,
    INK_PURPLE,
    INK_COUNT
};

enum theme {
    THEME_LIGHT,
    THEME_DARK,
    THEME_PRINT, /* greys alone */
    THEME_AUTO   /* light, dark where the reader's system asks for it, print on paper */
};

/* The colour of an ink as `#rrggbb`, for marks and for letters; THEME_AUTO
 * counts as THEME_LIGHT. */
const char *theme_colour(enum theme theme, enum ink ink);
const char *theme_letter_colour(enum theme theme, enum ink ink);

/* The name of a theme ("light"), or NULL. */
const char *theme_name(enum theme theme);

/* Appends the rules that colour every figure of this theme: `.rl-light
 * .rl-fill-main{…}`. All classes begin with `rl-`; a page may serve them once
 * for all its figures. */
void theme_stylesheet(struct text *css, enum theme theme);

/* Class names of an ink: "rl-fill-main", "rl-line-main", "rl-word-main". */
const char *ink_fill_class(enum ink ink);
const char *ink_line_class(enum ink ink);
const char *ink_word_class(enum ink ink);

#endif
