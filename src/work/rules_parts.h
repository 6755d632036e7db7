/* What opening an instrument for a setup is made of. Private to the layer. */
#ifndef RUSHLIGHT_WORK_RULES_PARTS_H
#define RUSHLIGHT_WORK_RULES_PARTS_H

#include "work/rules.h"

/* Whether a condition of the setup asks so: condition_asks_for_events or _levels. */
bool rules_ask(const struct setup *setup, bool (*asks)(const struct condition *condition));

/* Whether a setup reads levels of one's own: by a condition, or as a target. */
bool rules_read_levels(const struct setup *setup);

/* Events, own levels and finer bars: those wished for and those of the book. */
int rules_open_extras(struct work *work, struct notices *notices, const struct setup *setup,
                      struct rules_case *opened, struct error *error);

/* The instruments of the book that the setup's conditions name. */
int rules_open_others(struct work *work, struct notices *notices, const struct setup *setup,
                      struct rules_case *opened, struct error *error);

#endif
