/* What a person's own dates against the rule say: a row for each bar on which
 * they differ and each criterion that decides it. */
#ifndef RUSHLIGHT_ANSWER_AGREE_ROWS_H
#define RUSHLIGHT_ANSWER_AGREE_ROWS_H

#include "document/table.h"
#include "work/agree.h"

/* The columns: static. */
const struct column *agree_columns(size_t *count);
void agree_put(struct table *table, const struct agreed *agreed);
/* Appends how many agree, and with which limits more would. */
void agree_closing(struct text *closing, const struct agreement *agreement);

#endif
