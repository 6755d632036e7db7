/* The ways out of a trade, as a table for the catalogue; the reading is in
 * setup_orders.c and the doing in the trade layer. */
#ifndef RUSHLIGHT_SETUP_LEAVINGS_H
#define RUSHLIGHT_SETUP_LEAVINGS_H

#include "base/parameter.h"

struct leaving {
    const char *name; /* NULL ends the table */
    struct parameter parameters[PARAMETER_LIMIT];
    const char *help;
    const char *source;
};

extern const struct leaving leavings[];

#endif
