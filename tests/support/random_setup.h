/* Random setups as YAML text, drawn from the tables of the engine, so that a
 * new row is drawn too. Every number is written out, none left to a default.
 * Limits are loose and windows short, so that most setups find something. */
#ifndef RUSHLIGHT_TESTS_RANDOM_SETUP_H
#define RUSHLIGHT_TESTS_RANDOM_SETUP_H

#include "base/random.h"
#include "base/text.h"
#include "market/interval.h"

#include <stdbool.h>

/* Appends a setup for bars of this length, named `random-NUMBER`. */
void random_setup(struct text *text, struct random_stream *stream, struct interval bars,
                  unsigned number);

/* The inside of a `compare: {…}`, for bars of that interval; `with_interval`: the
 * condition has an interval of its own. */
void random_compare(struct text *text, struct random_stream *stream, struct interval bars,
                    bool with_interval);

#endif
