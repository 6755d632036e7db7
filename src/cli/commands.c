/* The table of commands: a new command is one row here and one file beside. */
#include "cli/commands.h"

static const struct option_row demo_options[] = {
    {"dir", "DIR", "the folder to make (default: rushlight-demo)"},
    {NULL, NULL, NULL},
};

const struct command commands[] = {
    {.name = "demo",
     .arguments = "",
     .help = "Makes an invented market to try everything on.",
     .options = demo_options,
     .run = command_demo},
    {.name = NULL},
};
