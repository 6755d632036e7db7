/* Words for people, printed. */
#ifndef RUSHLIGHT_CLI_PARAGRAPH_H
#define RUSHLIGHT_CLI_PARAGRAPH_H

#include <stddef.h>
#include <stdio.h>

/* Prints a text broken at spaces to lines of at most TEXT_WIDTH columns
 * (document/paragraph.h), each after `indent` spaces; its own newlines end
 * paragraphs. */
void print_paragraph(FILE *out, const char *text, size_t indent);

/* The same after `column` columns that are already printed of its first line; 0:
 * it begins its line. */
void print_hanging(FILE *out, const char *text, size_t indent, size_t column);

#endif
