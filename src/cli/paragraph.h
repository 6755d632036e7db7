/* Words and tables for people, in plain text. */
#ifndef RUSHLIGHT_CLI_PARAGRAPH_H
#define RUSHLIGHT_CLI_PARAGRAPH_H

#include <stddef.h>
#include <stdio.h>

/* Columns of the terminal that text is set to. */
enum { TEXT_WIDTH = 96 };

/* Columns that a UTF-8 text takes: its characters, for the scripts used here. */
size_t text_columns(const char *text);

/* Prints a text broken at spaces to lines of at most TEXT_WIDTH columns, each
 * after `indent` spaces; its own newlines end paragraphs. */
void print_paragraph(FILE *out, const char *text, size_t indent);

/* Prints a title, a table of cells (row by row, each ended by NUL) under its
 * headings, the first column to the left and the others to the right, and a
 * note below it, which may be NULL. */
void print_cells(FILE *out, const char *title, const char *const *columns, size_t column_count,
                 const char *cells, size_t row_count, const char *note);

#endif
