/* The option --columns: which column of a price file is what. */
#ifndef RUSHLIGHT_CLI_COLUMNS_OPTION_H
#define RUSHLIGHT_CLI_COLUMNS_OPTION_H

#include "cli/command.h"
#include "prices/csv_wishes.h"

/* Reads it where it was given; *given says so. */
int columns_of_call(struct call *call, struct csv_wishes *wishes, bool *given, struct error *error);

#endif
