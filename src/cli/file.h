/* Whole files, written or not at all. */
#ifndef RUSHLIGHT_CLI_FILE_H
#define RUSHLIGHT_CLI_FILE_H

#include "base/error.h"
#include "base/text.h"
#include "cli/command.h"

/* ERROR_USAGE where the path leads to a file that this call reads: its book, a
 * file it names, a setup, or one in a folder it names; and where it is a link
 * to a file of another kind, or to none that is ordinary. To be asked before the
 * work begins. */
int file_check_output(const struct call *call, const char *path, struct error *error);

#endif
