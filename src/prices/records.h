/* Small tables of text with named columns: events, marks, dates marked by
 * hand. Comma, semicolon, tab or bar; a header line names the columns, in any
 * order and case; others are passed over. */
#ifndef RUSHLIGHT_PRICES_RECORDS_H
#define RUSHLIGHT_PRICES_RECORDS_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { RECORD_FIELDS = 24 };

struct record_column {
    const char *name;
    bool needed;
};

/* One line: fields[i] is that of column i, NULL where the file has no such
 * column; texts are the reader's, valid until the callback returns. */
typedef int record_take(void *context, const char *const *fields, uint64_t line,
                        struct error *error);

/* Reads a file line by line. Errors name file, line, what was found and what
 * is needed; an error code of `take` ends the reading with it, the place put
 * before its text. Blank lines are no lines. */
int records_read(const char *path, const struct record_column *columns, size_t count,
                 record_take *take, void *context, struct error *error);

/* A date or time in a field: YYYY-MM-DD, with or without THH:MM:SSZ. */
int record_time(const char *field, const char *column, int64_t *time, struct error *error);
/* A date YYYY-MM-DD; a time of day beside it is refused. */
int record_date(const char *field, const char *column, int64_t *date, struct error *error);
int record_number(const char *field, const char *column, double *number, struct error *error);
/* Copies a field, NULL as an empty one; ERROR_INPUT where the room of `size` bytes, the
 * NUL among them, does not hold it, or where it has controls or marks that are not
 * seen. */
int record_text(const char *field, const char *column, char *to, size_t size, struct error *error);

#endif
