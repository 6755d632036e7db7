/* The parts of `scan` that rank: near misses, and signals that wait. Private to
 * the command. */
#ifndef RUSHLIGHT_CLI_SCAN_EVENING_H
#define RUSHLIGHT_CLI_SCAN_EVENING_H

#include "answer/scan.h"
#include "cli/wishes.h"

/* A scan on its way: its setups, and what is known of it beside. */
struct scan_call {
    struct call *call;
    struct setup *setups;
    struct scan_facts facts;
};

/* The bars that fail one criterion only, or every signal whose entry is still
 * possible, of all setups in one ranking. `found` is how many there are. */
int scan_evening(const struct scan_call *scan, enum scan_answer answer, size_t *found,
                 struct error *error);

#endif
