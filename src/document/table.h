/* One typed table, whoever reads it: the columns say what stands in them, the
 * cells are kept as what they are (a number, a range, a word), and the writers
 * (document/table_write.h) make text, CSV, JSON or HTML of them.
 *
 * Putting a cell never fails before table_failed is asked. Texts that are put
 * are copied; so are title, note and columns. */
#ifndef RUSHLIGHT_DOCUMENT_TABLE_H
#define RUSHLIGHT_DOCUMENT_TABLE_H

#include "base/text.h"

enum column_kind {
    COLUMN_TEXT,
    COLUMN_INTEGER,
    COLUMN_NUMBER,  /* NaN is an empty cell, null in JSON */
    COLUMN_BOOLEAN, /* 1 or 0 in CSV, yes or no in text */
    COLUMN_FIGURE   /* each row says for itself what it is; set to the right */
};

struct column {
    const char *name;  /* CSV header and JSON key; part of the interface */
    const char *title; /* text heading, with the unit where the reader needs it */
    enum column_kind kind;
    int digits;       /* decimals for people, -1: as many as it takes */
    const char *unit; /* of its numbers: "R", "ATR", "%", "bars"; "" for none */
};

struct table_stream;

/* A number about all rows, which in JSON stands beside them. */
struct table_member {
    const char *name; /* not copied */
    int64_t value;
};
enum { TABLE_MEMBERS = 4 };

struct table {
    char *name;  /* JSON: the key that the rows stand under */
    char *title; /* NULL: the rows stand for themselves */
    char *note;  /* a sentence that says how to read it, or NULL */
    /* A figure that is not there, for people: "" in a list, a dash in a table
     * of results. Not copied. */
    const char *missing;
    struct column *columns;
    size_t column_count;
    struct text cells; /* of the rows that are held */
    size_t cell;       /* column of the next cell */
    size_t held;       /* whole rows held */
    size_t row_count;  /* whole rows, those passed on included */
    struct table_member members[TABLE_MEMBERS];
    size_t member_count;
    bool failed;
    /* Where table_flush passes rows on to; NULL: they are held. Borrowed. */
    struct table_stream *stream;
};

/* An empty table; the caller frees it. */
void table_init(struct table *table, const char *name, const struct column *columns,
                size_t column_count);
/* Title and note; either may be NULL. */
void table_set_words(struct table *table, const char *title, const char *note);
/* At most TABLE_MEMBERS, at any time before the end. */
void table_set_member(struct table *table, const char *name, int64_t value);
/* Also right for all zeroes. */
void table_free(struct table *table);
/* Whether memory ran out, or a cell was put together without it. */
bool table_failed(const struct table *table);

/* The next cell of the row; the last one ends the row. A NULL text is an empty
 * cell, null in JSON. */
void table_text(struct table *table, const char *text);
void table_format(struct table *table, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void table_number(struct table *table, double number);
/* In a column of COLUMN_BOOLEAN: yes or no. */
void table_integer(struct table *table, int64_t number);
void table_count(struct table *table, size_t count);
/* JSON only: a cell that is itself a JSON value, already written; empty for
 * people. Where that failed, so does the table. */
void table_json(struct table *table, const struct text *json);
/* So many empty cells. */
void table_blank(struct table *table, size_t count);

/* Cells with decimals of their own. Numbers that are not finite, and ranges
 * with such an end, are missing; `signed` ones bear their + too. */
void table_decimals(struct table *table, int digits, double number);
void table_signed(struct table *table, int digits, double number);
void table_range(struct table *table, int digits, double low, double high);
void table_signed_range(struct table *table, int digits, double low, double high);

/* Lets go of the rows held. */
void table_clear_rows(struct table *table);

/* --- reading ----------------------------------------------------------------------- */

enum cell_kind { CELL_EMPTY, CELL_TEXT, CELL_INTEGER, CELL_NUMBER, CELL_RANGE, CELL_JSON };

struct cell {
    enum cell_kind kind;
    bool own_digits; /* `digits` and `sign` are the cell's own, not the column's */
    bool sign;
    int digits;
    const char *text; /* CELL_TEXT, CELL_JSON; borrowed */
    int64_t integer;
    double number; /* of a range the low end */
    double high;
};

/* A walk over the cells held, row by row. */
struct table_walk {
    const struct table *table;
    const char *at;
    size_t column; /* of the cell that table_next gave */
    size_t left;
    size_t next_column;
};

void table_walk(struct table_walk *walk, const struct table *table);
/* The next cell; false after the last. */
bool table_next(struct table_walk *walk, struct cell *cell);

/* Appends the cell as a person reads it. */
void cell_words(struct text *text, const struct cell *cell, const struct table *table,
                size_t column);
/* Whether words stand in the column, and so to the left. */
bool column_is_text(const struct column *column);

#endif
