/* Words and tables for people, in plain text. */
#ifndef RUSHLIGHT_CLI_PARAGRAPH_H
#define RUSHLIGHT_CLI_PARAGRAPH_H

#include "evidence/section.h"

#include <stddef.h>
#include <stdio.h>

/* Columns of the terminal that text is set to. */
enum { TEXT_WIDTH = 96 };

/* Prints a text broken at spaces to lines of at most TEXT_WIDTH columns, each
 * after `indent` spaces; its own newlines end paragraphs. */
void print_paragraph(FILE *out, const char *text, size_t indent);

/* The same after `column` columns that are already printed of its first line; 0:
 * it begins its line. */
void print_hanging(FILE *out, const char *text, size_t indent, size_t column);

/* Prints a table under its title, the first column to the left and the others
 * to the right, and its note below. */
void print_section(FILE *out, const struct section *section);

#endif
