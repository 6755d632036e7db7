/* Writing a case sheet to a file: what `case` does, for other commands. */
#ifndef RUSHLIGHT_CLI_CASE_H
#define RUSHLIGHT_CLI_CASE_H

#include "cli/wishes.h"
#include "draw/output.h"
#include "draw/theme.h"

enum { CASE_LIMIT = 12 };

struct case_order {
    const char *word;         /* the instrument, for messages */
    const char *const *dates; /* each of a candle or of its signal */
    size_t count;             /* 1 to CASE_LIMIT */
    const char *path;         /* of the file: .svg, .png, .pdf or .html */
    enum theme theme;
    enum paper paper; /* of a PDF */
    double scale;     /* pixels a unit of a PNG */
    bool context;
    bool outcome;
};

/* Finds the signals of these dates and writes their sheet. ERROR_USAGE for a
 * date or an ending that is none, ERROR_INPUT where there is no such signal
 * (it names the nearest ones), ERROR_MACHINE where the file cannot be written. */
int case_write(const struct rules_case *opened, const struct case_order *order,
               struct error *error);

#endif
