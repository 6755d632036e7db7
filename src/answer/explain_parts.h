/* What the files of this answer share. Private to the layer. */
#ifndef RUSHLIGHT_ANSWER_EXPLAIN_PARTS_H
#define RUSHLIGHT_ANSWER_EXPLAIN_PARTS_H

#include "answer/explain.h"

/* Decimals of the instrument's prices. */
int explain_decimals(const struct rules_case *opened);

#endif
