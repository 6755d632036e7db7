/* From SVG to files for eyes and printers: PNG and PDF, made in memory; the doors
 * write them. */
#ifndef RUSHLIGHT_DRAW_OUTPUT_H
#define RUSHLIGHT_DRAW_OUTPUT_H

#include "base/error.h"
#include "base/text.h"
#include "draw/picture.h"

#include <stdbool.h>
#include <stddef.h>

/* One figure: a picture, and its SVG as picture_write wrote it. */
struct output_figure {
    const struct picture *picture;
    const struct text *svg;
};

/* A PNG with `scale` pixels a unit (0.1 to 8). ERROR_INPUT where the picture
 * would have more than 20,000 pixels along a side. */
int output_png(const struct output_figure *figure, double scale, struct text *png,
               struct error *error);

enum paper {
    PAPER_A4,
    PAPER_A4_LANDSCAPE,
    PAPER_LETTER,
    PAPER_LETTER_LANDSCAPE,
    PAPER_SLIDE,
    PAPER_PHONE
};

/* In points of 1/72 inch; a slide is 16 to 9, for a projector. The page for a
 * phone is as high as its figure; 0 stands for that. */
void paper_size(enum paper paper, double *width, double *height);
/* The height of what is printed, over its width; 0 for a phone. */
double paper_shape(enum paper paper);

/* An entry of a PDF's outline, which leads to a place. */
struct output_bookmark {
    const char *words;
    size_t page; /* from 0 */
    double y;    /* in the figure of that page */
};

struct output_words {
    const char *title;
    const char *language; /* BCP 47 */
    /* In reading order; none: one for each page, with the figure's title. */
    const struct output_bookmark *bookmarks;
    size_t bookmark_count;
};

/* A PDF with one page a figure, each as large as the margins allow; text stays
 * text, with its fonts embedded. The same figures give the same bytes. */
int output_pdf(const struct output_figure *figures, size_t count, enum paper paper,
               const struct output_words *document, struct text *pdf, struct error *error);

#endif
