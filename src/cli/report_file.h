/* The report that -o asks for. */
#ifndef RUSHLIGHT_CLI_REPORT_FILE_H
#define RUSHLIGHT_CLI_REPORT_FILE_H

#include "cli/command.h"
#include "report/report.h"

/* Whether the file of -o can be one, before any work is done. */
int report_file_check(const struct call *call, struct error *error);

/* Makes the report with `write` and puts it into the file of -o; does nothing
 * without -o. File, form, typesetter, version and command of the target are
 * filled in here, the rest by the caller. */
int report_file_write(const struct call *call, struct report_target *target,
                      int (*write)(const struct report_target *target, const void *context,
                                   struct error *error),
                      const void *context, struct error *error);

#endif
