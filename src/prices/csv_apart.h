/* A long file is read on a thread of its own, while the one that asked is told
 * of it. */
#ifndef RUSHLIGHT_PRICES_CSV_APART_H
#define RUSHLIGHT_PRICES_CSV_APART_H

#include "prices/csv_sink.h"

/* As csv_read_file: the same calls of the sink in the same order, on the thread
 * that calls this, with the same errors; of a file that ends with an error
 * neither knows more. The text is read meanwhile, some blocks ahead at most, so
 * that memory stays bounded. `options` and `summary` are the reader's until this
 * returns, but for the time that `begin` takes: it may change what goes on from
 * an earlier file. Where no thread can be had the file is read on this one. */
int csv_read_file_apart(const char *path, const struct csv_options *options,
                        const struct csv_sink *sink, struct csv_summary *summary,
                        struct error *error);

#endif
