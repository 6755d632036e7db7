/* The table behind a case sheet, for those who cannot see it. */
#ifndef RUSHLIGHT_ANSWER_CASE_TABLES_H
#define RUSHLIGHT_ANSWER_CASE_TABLES_H

#include "document/table.h"
#include "figures/case_sheet.h"

/* Of one case every criterion with what was measured, of several their dates,
 * prices and results. The table is initialised here, the caller's to free, also
 * after an error; ERROR_MACHINE only. */
int case_table_make(struct table *table, const struct case_request *requests, size_t count,
                    struct error *error);

#endif
