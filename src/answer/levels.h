/* A person's own levels and lines as a table, the same for every door. */
#ifndef RUSHLIGHT_ANSWER_LEVELS_H
#define RUSHLIGHT_ANSWER_LEVELS_H

#include "book/level_store.h"
#include "document/table.h"

enum { LEVEL_COLUMNS = 13 };
extern const struct column level_columns[LEVEL_COLUMNS];

/* Puts the row of one line. */
void level_row_put(struct table *table, const struct own_line *line);

/* What is to be said below their rows: that there are none, how many were dated
 * back and may thus know what came later, and how many are withdrawn
 * `shown`. Empty where there is nothing to say. */
void level_closing(struct text *words, const struct own_line *lines, size_t count, bool shown);

#endif
