/* Help from the rows of commands and options. */
#ifndef RUSHLIGHT_CLI_HELP_H
#define RUSHLIGHT_CLI_HELP_H

#include "cli/command.h"

#include <stdio.h>

/* What `rushlight --help` prints. */
void print_help(FILE *out);
/* What `rushlight COMMAND --help` prints. */
void print_command_help(FILE *out, const struct command *command);

/* What the program is, a sentence, and what its exit status means. */
extern const char help_purpose[];
extern const char help_status[];

#endif
