/* Writing a case sheet to a file: what `case` does, for other commands. */
#ifndef RUSHLIGHT_CLI_CASE_H
#define RUSHLIGHT_CLI_CASE_H

#include "cli/rules.h"
#include "draw/theme.h"

struct case_order {
    const char *word; /* the instrument, for messages */
    const char *date; /* of the candle or of the signal */
    const char *path; /* of the file to write */
    enum theme theme;
    bool outcome;
};

/* Finds the signal of that date and writes its sheet. `opened` is cut to the
 * signal where there is to be no outcome. ERROR_INPUT where there is no such
 * signal (it names the nearest ones), ERROR_MACHINE where the file cannot be
 * written. */
int case_write(struct rules_case *opened, const struct case_order *order, struct error *error);

#endif
