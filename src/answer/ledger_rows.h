/* The ledger of every trial, and the seal, in rows and in words. */
#ifndef RUSHLIGHT_ANSWER_LEDGER_ROWS_H
#define RUSHLIGHT_ANSWER_LEDGER_ROWS_H

#include "answer/listing.h"
#include "document/document.h"
#include "evidence/evidence_store.h"

/* A row for each trial; `adjusted` is its p of many. */
extern const struct listing ledger_listing;
void ledger_put(struct table *table, const struct ledger_line *line, double adjusted);
/* Appends what the rows are, and the caution. */
void ledger_closing(struct text *closing);

/* Adds the same trials to a document, with fewer columns: those that say what
 * came of them. */
void ledger_table(struct document *document, const struct ledger *ledger, const double *adjusted);

/* Appends a line for each of two trials that are compared, and whether their
 * data differ. */
void trials_compared(struct text *text, const struct ledger_line *a, const struct ledger_line *b);

/* Appends what is sealed: `day` as seal_read tells it. */
void seal_words(struct text *text, int64_t day);

#endif
