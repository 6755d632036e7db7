/* A person's own levels and lines in a CSV file, read the same for the book
 * (levels_read of work/book_files.h) and for `levels` of the wishes. */
#ifndef RUSHLIGHT_WORK_LEVEL_FILE_H
#define RUSHLIGHT_WORK_LEVEL_FILE_H

#include "book/level_store.h"

enum level_file {
    LEVEL_FILE_KEPT,  /* instrument and price are needed; no `from`: drawn now */
    LEVEL_FILE_BESIDE /* price and from are needed; no instrument: of all */
};

/* A row: points without a time are INT64_MIN, without a price NaN; `since` INT64_MIN
 * without a `from`, a date still (since_is_date) where that is one. An instrument
 * `all` is the empty one. An error ends the reading; file and line are put before its
 * text. */
typedef int level_file_take(void *context, struct own_line *line, struct error *error);

/* Columns: instrument, price, from, and if wanted kind (else a level), time,
 * other_time, other_price, width, note. ERROR_INPUT names file, line, what was found
 * and what is allowed. */
int level_file_read(const char *path, enum level_file kind, level_file_take *take, void *context,
                    struct error *error);

/* The kind of a word; ERROR_INPUT names those there are. */
int level_kind_read(const char *word, enum line_kind *kind, struct error *error);

#endif
