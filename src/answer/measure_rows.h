/* What the measures of an instrument say: a row a bar. */
#ifndef RUSHLIGHT_ANSWER_MEASURE_ROWS_H
#define RUSHLIGHT_ANSWER_MEASURE_ROWS_H

#include "document/table_write.h"
#include "work/measured.h"

enum { MEASURE_COLUMNS = MEASURED_LIMIT + 1 };

/* Fills the columns, the time and then each measure with its unit, and returns
 * how many there are. Their words are those of the wishes. */
size_t measure_columns(struct column columns[MEASURE_COLUMNS], const struct measured_wish *wishes,
                       size_t count);
/* Puts the bars that are asked for, and passes them on as they come. */
void measure_put(struct table *table, const struct measured *measured);

#endif
