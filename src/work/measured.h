/* Measures of the bars of one instrument, as they are asked for by name. */
#ifndef RUSHLIGHT_WORK_MEASURED_H
#define RUSHLIGHT_WORK_MEASURED_H

#include "measures/sheet.h"
#include "work/series.h"

enum { MEASURED_LIMIT = 32, MEASURED_LABEL_SIZE = 200 };

/* One measure with its numbers. */
struct measured_wish {
    char label[MEASURED_LABEL_SIZE]; /* what its column is called */
    const struct measure *measure;
    double values[PARAMETER_LIMIT];
};

struct measured {
    struct series series;
    struct sheet *sheet;
    const struct measured_wish *wishes; /* borrowed */
    size_t count;
    const double *columns[MEASURED_LIMIT]; /* of the sheet; NaN before their first value */
};

/* Opens the instrument and computes up to MEASURED_LIMIT measures. `measured` is
 * the caller's to free with measured_free, also after an error. */
int measured_open(struct work *work, const char *word, const struct measured_wish *wishes,
                  size_t count, struct measured *measured, struct error *error);
void measured_free(struct measured *measured);

#endif
