/* What random setups exercised, so that a comparison over them cannot be empty:
 * each row of the engine's tables with both of its outcomes. */
#ifndef RUSHLIGHT_TESTS_TALLY_H
#define RUSHLIGHT_TESTS_TALLY_H

#include "trade/trade.h"

#include <stdbool.h>
#include <stddef.h>

enum { TALLY_ROWS = 256 };

struct tally_row {
    const char *table;
    const char *name;
    size_t yes; /* held, filled, hit, … */
    size_t no;
};

struct tally {
    struct tally_row rows[TALLY_ROWS];
    size_t row_count;
    size_t cases;
    size_t bars;
    size_t candidates;
    size_t signals;
    size_t trades; /* rows of trades */
};

/* A row for everything that the tables hold. */
void tally_init(struct tally *tally);
/* Counts what a setup and its trades show. */
void tally_setup(struct tally *tally, const struct setup_view *view,
                 const struct trade_terms *terms, const struct trades *trades);
/* Prints the counts; false if a row never had one of its outcomes. */
bool tally_print(const struct tally *tally);

#endif
