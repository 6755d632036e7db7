/* The report that -o asks for. */
#ifndef RUSHLIGHT_CLI_REPORT_FILE_H
#define RUSHLIGHT_CLI_REPORT_FILE_H

#include "cli/command.h"
#include "report/report.h"

/* Whether the file of -o can be one, before any work is done. */
int report_file_check(const struct call *call, struct error *error);

/* Writes the document into the file of -o; does nothing without -o. The target
 * is the caller's but for file, form, typesetter, version and command, which are
 * filled in here. */
int report_file_write(const struct call *call, const struct report_target *target,
                      const struct document *document, struct error *error);

#endif
