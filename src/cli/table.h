/* A table that a command prints: document/table.h on its way to call->out in
 * the format that was asked for. */
#ifndef RUSHLIGHT_CLI_TABLE_H
#define RUSHLIGHT_CLI_TABLE_H

#include "answer/listing.h"
#include "base/error.h"
#include "cli/command.h"
#include "document/table_write.h"

/* Starts an answer on call->out, whose rows stand under `rows_key` in JSON. Put
 * the cells with document/table.h, pass long answers on with table_flush, and
 * end it with one of the three below. */
void table_begin(struct table *table, const struct call *call, const char *rows_key,
                 const struct column *columns, size_t column_count);

/* Ends the answer. `closing` is the sentence that says what the rows mean, for
 * text only; it may be NULL. ERROR_MACHINE without memory or if writing
 * failed. Frees the table. */
int table_end(struct table *table, const char *closing, struct error *error);
/* The same with a sentence that was put together; ERROR_MACHINE where that
 * failed. Frees both. */
int table_end_text(struct table *table, struct text *closing, struct error *error);
/* The same of a list of the answers. It ends after work that ended with `code`:
 * with an error it is let go, and without a row it says that there is none. */
void listing_begin(struct table *table, const struct call *call, const struct listing *listing);
int listing_end(struct table *table, const struct listing *listing, int code, struct error *error);
/* Prints words as they stand, and frees them; ERROR_MACHINE where putting them
 * together failed. */
int print_text(const struct call *call, struct text *text, struct error *error);
/* Lets go of an answer that came to nothing; what was passed on stays written. */
void table_abandon(struct table *table);

#endif
