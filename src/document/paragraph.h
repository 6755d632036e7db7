/* Words broken into lines for a terminal or a plain text. */
#ifndef RUSHLIGHT_DOCUMENT_PARAGRAPH_H
#define RUSHLIGHT_DOCUMENT_PARAGRAPH_H

#include "base/text.h"

/* Columns that text is set to. */
enum { TEXT_WIDTH = 96 };

/* Columns of a terminal that a UTF-8 text takes: its characters, for the
 * scripts used here. */
size_t text_columns(const char *text);

/* Hands over a text broken at spaces to lines of at most TEXT_WIDTH columns,
 * each after `indent` spaces; its own newlines end paragraphs. `column` columns
 * of the first line are there already; 0: it begins its line. */
void paragraph_break(const char *words, size_t indent, size_t column,
                     void (*put)(void *context, const char *bytes, size_t length), void *context);
/* The same appended to a text. */
void text_append_paragraph(struct text *text, const char *words, size_t indent);

/* Appends words for a page or a sheet of paper: a hyphen that is the sign of a number, which
 * a digit follows and nothing, a blank or a bracket precedes, becomes a minus sign. */
void text_append_prose(struct text *text, const char *words);

#endif
