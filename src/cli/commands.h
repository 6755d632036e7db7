/* The functions behind the rows of commands.c. */
#ifndef RUSHLIGHT_CLI_COMMANDS_H
#define RUSHLIGHT_CLI_COMMANDS_H

#include "cli/command.h"

int command_bars(struct call *call, struct error *error);
int command_demo(struct call *call, struct error *error);

#endif
