/* What the trades of a setup say: a row a trade, or a row an exit. */
#ifndef RUSHLIGHT_ANSWER_TRADE_ROWS_H
#define RUSHLIGHT_ANSWER_TRADE_ROWS_H

#include "document/table.h"
#include "work/trades.h"

/* Which rows a list of trades has. */
enum trade_rows {
    TRADE_ROWS_FILLED, /* a row a trade */
    TRADE_ROWS_ALL,    /* also signals that never became one, with a note */
    TRADE_ROWS_EXITS   /* a row an exit, with its price, share and reason */
};

/* The columns of such rows: static. */
const struct column *trade_columns(enum trade_rows rows, size_t *count);
/* Puts the rows of one trade into a table of these columns. */
void trade_put(struct table *table, enum trade_rows rows, const struct rules_case *opened,
               const struct trade *trade);
/* Appends what all of them together say, and the cautions. */
void trades_closing(struct text *closing, enum trade_rows rows, const struct trades_sum *sum);

#endif
