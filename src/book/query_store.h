/* Questions to the book in SQL, which may only read. Bars, packed in the book,
 * are seen as a table:
 *
 *   bars(instrument, interval, time, open, high, low, close, volume)
 *
 * `time` is text, 2024-02-01 of days and longer bars, 2024-02-01T14:30:00Z of
 * shorter. What is asked of instrument, interval and time is looked up, not
 * searched for. */
#ifndef RUSHLIGHT_BOOK_QUERY_STORE_H
#define RUSHLIGHT_BOOK_QUERY_STORE_H

#include "store/book.h"

enum { QUERY_WORD_SIZE = 64 };

/* What a question may take. */
struct query_limits {
    int (*over)(void *context); /* not 0: its time is over; NULL: it has all the time */
    void *context;
    /* Bytes of all that SQLite holds in this program; 0: as much as there is. One
     * step may hold twice as much until the next look. */
    int64_t memory;
};

struct query {
    struct statement statement;
    int columns;
    char refused[QUERY_WORD_SIZE]; /* a function that is not allowed */
    struct query_limits limits;
    bool full; /* ended for want of memory */
};

enum query_type { QUERY_NULL, QUERY_INTEGER, QUERY_NUMBER, QUERY_TEXT, QUERY_BYTES };

/* Prepares one statement. ERROR_USAGE for SQL that is wrong, that is more than
 * one statement, that would change or attach anything, or that uses functions
 * other than those of values (query_store.c names them). From here on the book
 * refuses writes. A step beyond its time or its memory is ERROR_INPUT. Close it also after an error, and where it stood: it must not
 * move meanwhile. */
int query_open(struct query *query, struct book *book, const char *sql,
               const struct query_limits *limits, struct error *error);
void query_close(struct query *query);

/* The next row, or none. Values are read with statement_text and its like. */
int query_step(struct query *query, bool *row, struct error *error);
const char *query_column(struct query *query, int column);
enum query_type query_type(struct query *query, int column);

#endif
