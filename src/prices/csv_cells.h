/* One line of a price file: its cells, its moment, and how it is set aside. */
#ifndef RUSHLIGHT_PRICES_CSV_CELLS_H
#define RUSHLIGHT_PRICES_CSV_CELLS_H

#include "prices/csv_reader.h"

/* The next line that is not blank; bytes NULL at the end. */
int csv_next_line(struct csv_reader *reader, struct csv_line *line, struct error *error);
/* Splits a line into the header's columns; false with the reason. */
bool csv_line_fields(const struct csv_reader *reader, const struct csv_line *line,
                     struct csv_field fields[CSV_MOST_COLUMNS + 1], char *reason);
/* Reads the moment of a line; false with the reason. */
bool csv_line_moment(const struct csv_reader *reader, const struct csv_field *fields,
                     struct csv_moment *moment, char *reason);
/* How many bytes of a cell a message shows. */
int csv_shown(struct csv_field field);

/* The line and as much of its text as is kept. */
void csv_fault_begin(struct csv_fault *fault, const struct csv_line *line);
int csv_set_aside(struct csv_reader *reader, struct csv_fault *fault, const char *reason,
                  struct error *error);

#endif
