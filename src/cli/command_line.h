/* From the words of a command line to a command that runs. */
#ifndef RUSHLIGHT_CLI_COMMAND_LINE_H
#define RUSHLIGHT_CLI_COMMAND_LINE_H

#include <stdio.h>

/* Runs the command line; the process exits with the result. */
int command_line(int argc, char **argv, FILE *out, FILE *messages);

#endif
