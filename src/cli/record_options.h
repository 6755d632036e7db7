/* The fields of an instrument's record as options: a field's name with dashes. */
#ifndef RUSHLIGHT_CLI_RECORD_OPTIONS_H
#define RUSHLIGHT_CLI_RECORD_OPTIONS_H

#include "cli/command.h"
#include "market/instrument_record.h"

/* How many of those that the command offers were given. */
size_t record_options_given(const struct call *call);

/* Reads them into the record; ERROR_USAGE names the option. */
int record_options_read(const struct call *call, struct instrument_record *record,
                        struct error *error);

#endif
