/* The width of words, from Pango, in the one font of all figures.
 *
 * Lato (Debian package fonts-lato): open shapes at small sizes, all figures
 * and signs of one width, Latin, Greek and Cyrillic; letters it lacks come
 * from whatever other font the machine has, measured like the rest. Sizes and
 * widths are in user units of the picture (CSS pixels), and grow in
 * proportion: hinting is off.
 *
 * A typesetter belongs to one thread at a time and remembers what it has
 * measured; a program makes one per thread that draws. */
#ifndef RUSHLIGHT_DRAW_TYPESETTER_H
#define RUSHLIGHT_DRAW_TYPESETTER_H

#include "base/error.h"

#include <hb.h>
#include <stddef.h>

/* Families in order of preference, for `font-family` and Pango alike. */
extern const char typesetter_families[];
extern const char typesetter_family[];

enum face { FACE_REGULAR, FACE_BOLD, FACE_ITALIC };

struct type {
    enum face face;
    double size; /* of the em, > 0 */
};

struct extent {
    double width; /* from the starting point to the end of advance or ink */
    double left;  /* >= 0: ink before the starting point */
    double above; /* >= 0, from the baseline up; at least that of a capital */
    double below; /* >= 0, from the baseline down; at least that of a "g" */
};

struct typesetter;

/* Makes a typesetter; the caller frees it. ERROR_MACHINE without memory (256
 * MB of addresses for the libraries that draw) or without any font. */
int typesetter_new(struct typesetter **typesetter, struct error *error);
void typesetter_free(struct typesetter *typesetter);
/* Whether that memory is there still, before one that was made earlier draws again:
 * ERROR_MACHINE. */
int typesetter_room(struct error *error);

/* One line of clean text (text_clean). An empty text has no width. */
struct extent typesetter_measure(struct typesetter *typesetter, struct type type, const char *text);

/* A copy of the text on one line and fit for a figure: broken UTF-8 becomes
 * U+FFFD; control characters, line ends and marks that turn the direction of
 * what follows become spaces. Longer texts are cut after 600 characters. The
 * caller frees it; NULL without memory. */
char *text_clean(const char *text);

/* A copy of clean text, cut at its end with "…" so that it is no wider than
 * `room`; empty if not even that fits. The caller frees it; NULL without
 * memory. */
char *typesetter_cut(struct typesetter *typesetter, struct type type, const char *text,
                     double room);

/* Breaks clean text into lines no wider than `room`, between words where it
 * can. Calls `line` for each; stops early where it returns non-zero, and
 * returns that. */
int typesetter_wrap(struct typesetter *typesetter, struct type type, const char *text, double room,
                    int (*line)(void *context, const char *text), void *context);

/* The file of this face, cut down to the characters in `characters` (code
 * points), as bytes for a browser; the caller frees it with hb_blob_destroy.
 * NULL where the library cannot. */
hb_blob_t *typesetter_subset(struct typesetter *typesetter, enum face face,
                             const hb_set_t *characters);

/* The distance from one baseline to the next in a paragraph. */
double type_leading(struct type type);

#endif
