/* All bars of a price file in memory. */
#ifndef RUSHLIGHT_PRICES_CSV_COLLECT_H
#define RUSHLIGHT_PRICES_CSV_COLLECT_H

#include "prices/csv.h"

/* Reads the file (or, where `path` is NULL, bytes named `name`) and appends its
 * bars to `bars`, which are empty, oldest first, with their interval and
 * last_is_partial. `set_aside` is called as csv_sink's, with `context`. */
struct csv_source {
    const char *path;
    const char *bytes;
    size_t length;
    const char *name;
};
int csv_collect(const struct csv_source *source, const struct csv_options *options,
                struct bars *bars,
                int (*set_aside)(void *context, const struct csv_fault *fault, struct error *error),
                void *context, struct csv_summary *summary, struct error *error);

#endif
