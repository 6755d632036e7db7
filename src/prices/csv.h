/* Bars from a file of prices as data sellers write them.
 *
 * Comma, semicolon, tab or bar between the columns, the columns in any order
 * under the words for them (prices/csv_names.h) or as they are said; decimal point or comma, with thousands marks; dates
 * and times in many forms (prices/csv_time.h), oldest or newest first; bars, or
 * observations of time and price that are made into bars. What the first lines
 * do not tell is worked out from the whole file.
 *
 * The file is read in bounded memory, whatever its size. A line that breaks a
 * rule of a bar is set aside with its number, its text and the reason; it is
 * never repaired and never lost. Blank lines are no lines. */
#ifndef RUSHLIGHT_PRICES_CSV_H
#define RUSHLIGHT_PRICES_CSV_H

#include "prices/csv_sink.h"

#include <stddef.h>

/* Reads a file or memory into the sink. ERROR_INPUT names the file (`name` for
 * memory) and what is wrong with it as a whole: empty, a header and nothing
 * else, no text, UTF-16, columns that cannot be told, dates that could be
 * day/month or month/day, a folder. */
int csv_read_file(const char *path, const struct csv_options *options, const struct csv_sink *sink,
                  struct csv_summary *summary, struct error *error);
int csv_read_memory(const char *bytes, size_t length, const char *name,
                    const struct csv_options *options, const struct csv_sink *sink,
                    struct csv_summary *summary, struct error *error);

#endif
