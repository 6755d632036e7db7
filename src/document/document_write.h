/* A document as text and as the body of a page; its tables have writers of
 * their own (document/table_write.h). */
#ifndef RUSHLIGHT_DOCUMENT_DOCUMENT_WRITE_H
#define RUSHLIGHT_DOCUMENT_DOCUMENT_WRITE_H

#include "base/error.h"
#include "document/document.h"
#include "document/html.h"

/* Sentences broken to lines, tables under their titles, cautions last. The
 * outlet fails where the document has. */
void document_write_text(struct text *text, const struct document *document);

/* Puts a figure into the page as markup: the door's, who knows how to draw. */
typedef int figure_writer(void *context, const struct document_figure *figure, size_t number,
                          struct text *markup, struct error *error);

/* The title as <h1>, then every block; headings are <h2>, and the first figure
 * has one above it. Figures are numbered from 1. Without a `writer` they are
 * left out. ERROR_MACHINE where memory ran out, or what the writer returns. */
int document_write_html(struct html *html, const struct document *document, figure_writer *writer,
                        void *context, struct error *error);

#endif
