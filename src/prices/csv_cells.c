#include "prices/csv_cells.h"

#include <stdio.h>
#include <string.h>

void csv_fault_begin(struct csv_fault *fault, const struct csv_line *line)
{
    size_t length = line->length < CSV_FAULT_TEXT ? line->length : CSV_FAULT_TEXT;
    fault->line = line->number;
    fault->reason = NULL;
    /* Not in the middle of a character. */
    while (length < line->length && length > 0 &&
           ((unsigned char)line->bytes[length] & 0xc0) == 0x80)
        length--;
    for (size_t i = 0; i < length; i++)
        fault->text[i] = line->bytes[i] != '\0' ? line->bytes[i] : ' ';
    strcpy(fault->text + length, length < line->whole ? "…" : "");
}

int csv_set_aside(struct csv_reader *reader, struct csv_fault *fault, const char *reason,
                  struct error *error)
{
    fault->reason = reason;
    reader->summary->set_aside++;
    return reader->sink->set_aside(reader->sink->context, fault, error);
}

static bool is_blank(const struct csv_line *line)
{
    for (size_t i = 0; i < line->length; i++)
        if (line->bytes[i] != ' ' && line->bytes[i] != '\t' && line->bytes[i] != '\r')
            return false;
    return true;
}

int csv_next_line(struct csv_reader *reader, struct csv_line *line, struct error *error)
{
    int code;
    do
        code = csv_lines_next(&reader->lines, line, error);
    while (code == ERROR_NONE && line->bytes != NULL && is_blank(line));
    return code;
}

bool csv_line_fields(const struct csv_reader *reader, const struct csv_line *line,
                     struct csv_field fields[CSV_MOST_COLUMNS + 1], char *reason)
{
    if (line->whole > line->length) {
        snprintf(reason, CSV_REASON_SIZE, "the line has %zu bytes, more than the %d allowed",
                 line->whole, CSV_LONGEST_LINE);
        return false;
    }
    /* It would end a name of a zone or a number early, and unseen. */
    if (memchr(line->bytes, '\0', line->length) != NULL) {
        snprintf(reason, CSV_REASON_SIZE, "a NUL character stands in the line");
        return false;
    }
    size_t count = csv_split(line->bytes, line->length, reader->columns.separator, fields);
    if (count == 0) {
        snprintf(reason, CSV_REASON_SIZE, "a quote is never closed");
        return false;
    }
    if (count == reader->columns.count)
        return true;
    snprintf(reason, CSV_REASON_SIZE, "%zu field%s where the header has %zu", count,
             count == 1 ? "" : "s", reader->columns.count);
    return false;
}

int csv_shown(struct csv_field field)
{
    return field.length > 40 ? 40 : (int)field.length;
}

bool csv_line_moment(const struct csv_reader *reader, const struct csv_field *fields,
                     struct csv_moment *moment, char *reason)
{
    const int *where = reader->columns.where;
    struct csv_field date = fields[where[CSV_TIME]];
    struct csv_field clock = {NULL, 0};
    if (where[CSV_CLOCK] >= 0)
        clock = fields[where[CSV_CLOCK]];
    if (date.length == 0) {
        snprintf(reason, CSV_REASON_SIZE, "date is missing");
        return false;
    }
    if (csv_moment_read(date, clock, reader->facts.dates, moment))
        return true;
    snprintf(reason, CSV_REASON_SIZE, "'%.*s%s%.*s' is no date that is known here", csv_shown(date),
             date.bytes, clock.length > 0 ? " " : "", csv_shown(clock),
             clock.length > 0 ? clock.bytes : "");
    return false;
}
