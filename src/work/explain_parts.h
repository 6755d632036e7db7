/* What the files of explaining a bar share. Private to the layer. */
#ifndef RUSHLIGHT_WORK_EXPLAIN_PARTS_H
#define RUSHLIGHT_WORK_EXPLAIN_PARTS_H

#include "work/explain.h"

/* Fills turns, turn_count and hangs of each criterion of the explanation. */
int explain_turns(const struct rules_case *opened, const struct candle *candle,
                  struct explanation *explanation, struct error *error);

#endif
