/* Other programs that read what we wrote: xmllint, pdftotext, pdfinfo,
 * pdffonts. */
#ifndef RUSHLIGHT_TESTS_READER_H
#define RUSHLIGHT_TESTS_READER_H

#include "base/text.h"

/* Gives the bytes to the command as the file "$file" and appends what it
 * prints; returns its exit status. */
int read_with(const char *command, const struct text *bytes, struct text *answer);

#endif
