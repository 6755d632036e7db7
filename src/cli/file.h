/* Whole files, written or not at all. */
#ifndef RUSHLIGHT_CLI_FILE_H
#define RUSHLIGHT_CLI_FILE_H

#include "base/error.h"
#include "base/text.h"

/* Writes the text to a new file beside `path` and moves it there, so that a
 * reader never sees a half of it. ERROR_MACHINE, with the reason, otherwise;
 * then `path` is as it was. */
int file_write(const char *path, const struct text *text, struct error *error);

#endif
