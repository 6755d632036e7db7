/* The rows that a question in SQL has. */
#ifndef RUSHLIGHT_ANSWER_QUERY_ROWS_H
#define RUSHLIGHT_ANSWER_QUERY_ROWS_H

#include "book/query_store.h"
#include "document/table.h"

/* Named as in the question, the second of a name with _2 behind it; what stands in the
 * row that the query is at decides which way a column leans. */
struct query_columns {
    struct column *list;
    char **names; /* what `list` points to: a name and a title for each */
    size_t count;
};

/* To be freed with query_columns_free, also after an error. ERROR_MACHINE only. */
int query_columns_init(struct query_columns *columns, struct query *query, struct error *error);
void query_columns_free(struct query_columns *columns);

/* Puts the row that the query is at; of bytes only how many they are. */
void query_put(struct table *table, struct query *query);

#endif
