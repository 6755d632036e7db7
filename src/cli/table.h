/* Rows of an answer, printed as aligned text, CSV or JSON from one
 * description of the columns. */
#ifndef RUSHLIGHT_CLI_TABLE_H
#define RUSHLIGHT_CLI_TABLE_H

#include "base/error.h"
#include "base/text.h"
#include "cli/command.h"

enum column_kind {
    COLUMN_TEXT,
    COLUMN_INTEGER,
    COLUMN_NUMBER, /* NaN is an empty cell, null in JSON */
    COLUMN_BOOLEAN /* 1 or 0 in CSV, yes or no in text */
};

struct column {
    const char *name;  /* CSV header and JSON key; part of the interface */
    const char *title; /* text heading, with the unit */
    enum column_kind kind;
    int places; /* decimals in text, -1: as many as it takes */
};

struct table {
    const struct column *columns;
    size_t column_count;
    enum output_format format;
    const char *rows_key; /* JSON: the key that the rows stand under */
    FILE *out;
    struct text pending; /* text: cells so far, each ended by NUL; CSV, JSON: bytes to write */
    size_t cell;         /* column of the next cell */
    size_t row_count;
};

/* Starts an answer on call->out: writes the CSV header or opens the JSON
 * object with its version (and the seed where `seeded`). */
void table_begin(struct table *table, const struct call *call, const char *rows_key,
                 const struct column *columns, size_t column_count, bool seeded);

/* The next cell of the row; the last one ends the row. A NULL text is an
 * empty cell, null in JSON. */
void table_text(struct table *table, const char *text);
void table_number(struct table *table, double number);
void table_integer(struct table *table, int64_t number);
/* JSON only: a cell that is itself a JSON value, already written; where that
 * failed, so does the table. */
void table_json(struct table *table, const struct text *json);

/* CSV and JSON: writes what is pending, so that long answers stream. Text
 * waits for table_end, which knows the widths. */
void table_flush(struct table *table);

/* Ends the answer. `closing` is the sentence that says what the rows mean, for
 * text only; it may be NULL. ERROR_MACHINE without memory or if writing
 * failed. Frees the table. */
int table_end(struct table *table, const char *closing, struct error *error);
/* The same with a sentence that was put together; ERROR_MACHINE where that
 * failed. Frees both. */
int table_end_text(struct table *table, struct text *closing, struct error *error);

#endif
