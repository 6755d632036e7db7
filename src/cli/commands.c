/* The table of commands: a new command is one row here and one file beside. */
#include "cli/commands.h"

const struct command commands[] = {
    {.name = NULL},
};
