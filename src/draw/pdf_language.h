/* What cairo cannot put into a PDF: its language. */
#ifndef RUSHLIGHT_DRAW_PDF_LANGUAGE_H
#define RUSHLIGHT_DRAW_PDF_LANGUAGE_H

#include "base/error.h"
#include "base/text.h"

/* Appends `plain` to `pdf` with its language set, its title shown by viewers
 * in place of the file's name, and without the time of making, so that the
 * same figure gives the same bytes. */
int pdf_set_language(const struct text *plain, const char *language, struct text *pdf,
                     struct error *error);

#endif
