/* The table of commands: a new command is one row here and one file beside. */
#include "cli/commands.h"

#include "cli/series.h"

static const struct option_row demo_options[] = {
    {"dir", "DIR", "the folder to make (default: rushlight-demo)"},
    {NULL, NULL, NULL},
};

static const struct option_row bars_options[] = {SERIES_OPTIONS, {NULL, NULL, NULL}};

const struct command commands[] = {
    {.name = "demo",
     .arguments = "",
     .help = "Makes an invented market to try everything on.",
     .options = demo_options,
     .run = command_demo},
    {.name = "bars",
     .arguments = "INSTRUMENT",
     .help = "Writes the bars of an instrument or a price file out again.",
     .least_arguments = 1,
     .most_arguments = 1,
     .options = bars_options,
     .run = command_bars},
    {.name = NULL},
};
