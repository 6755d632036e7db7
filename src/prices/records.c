#include "prices/records.h"

#include "base/calendar.h"
#include "base/former.h"
#include "base/number.h"
#include "base/text.h"
#include "prices/csv_lines.h"
#include "prices/csv_split.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

struct reader {
    const char *path;
    const struct record_column *columns;
    size_t count;
    char separator;
    size_t field_count;       /* of the header */
    int where[RECORD_FIELDS]; /* field of each column, -1: none */
    struct text fields[RECORD_FIELDS];
    record_take *take;
    void *context;
};

/* The separator of a header: the first of these that stands in it. */
static char find_separator(const struct csv_line *line)
{
    static const char separators[] = ",;\t|";
    for (const char *s = separators; *s != '\0'; s++)
        if (memchr(line->bytes, *s, line->length) != NULL)
            return *s;
    return ',';
}

static bool is_named(const struct csv_field *field, const char *name)
{
    return field->length == strlen(name) && strncasecmp(field->bytes, name, field->length) == 0;
}

/* A column under a former word would be passed over as one that is not known. */
static int refuse_former(const struct reader *reader, const struct csv_line *line,
                         const struct csv_field *field, struct error *error)
{
    char word[32];
    if (field->length >= sizeof word)
        return ERROR_NONE;
    snprintf(word, sizeof word, "%.*s", (int)field->length, field->bytes);
    const char *now = former_word(FORMER_INSTRUMENT, word);
    for (size_t c = 0; now != NULL && c < reader->count; c++)
        if (strcmp(reader->columns[c].name, now) == 0)
            return error_set(error, ERROR_INPUT,
                             "%s:%llu: the column '%s' has a former word; write %s instead",
                             reader->path, (unsigned long long)line->number, word, now);
    return ERROR_NONE;
}

static int read_header(struct reader *reader, const struct csv_line *line, struct error *error)
{
    struct csv_field fields[CSV_MOST_COLUMNS + 1];
    reader->separator = find_separator(line);
    size_t count = csv_split(line->bytes, line->length, reader->separator, fields);
    reader->field_count = count;
    for (size_t i = 0; i < count; i++)
        if (refuse_former(reader, line, &fields[i], error) != ERROR_NONE)
            return error->code;
    for (size_t c = 0; c < reader->count; c++) {
        reader->where[c] = -1;
        for (size_t i = 0; i < count; i++)
            if (reader->where[c] < 0 && is_named(&fields[i], reader->columns[c].name))
                reader->where[c] = (int)i;
        if (reader->where[c] < 0 && reader->columns[c].needed)
            return error_set(error, ERROR_INPUT,
                             "%s:%llu: the header names no column '%s', which is needed",
                             reader->path, (unsigned long long)line->number,
                             reader->columns[c].name);
    }
    return ERROR_NONE;
}

/* A quoted field has its quotes doubled (RFC 4180). */
/* The apostrophe that text_append_csv puts before what looks like a formula. */
static bool has_apostrophe(const struct csv_field *field)
{
    return field->length > 1 && field->bytes[0] == '\'' && field->bytes[1] != '\0' &&
           strchr("=+-@\t\r", field->bytes[1]) != NULL;
}

static void append_field(struct text *text, const struct csv_line *line,
                         const struct csv_field *field)
{
    bool quoted = field->bytes > line->bytes && field->bytes[-1] == '"';
    for (size_t i = has_apostrophe(field); i < field->length; i++) {
        text_append_char(text, field->bytes[i]);
        if (quoted && field->bytes[i] == '"' && i + 1 < field->length)
            i++;
    }
}

static int read_row(struct reader *reader, const struct csv_line *line, struct error *error)
{
    struct csv_field fields[CSV_MOST_COLUMNS + 1];
    const char *texts[RECORD_FIELDS];
    size_t count = csv_split(line->bytes, line->length, reader->separator, fields);
    bool failed = false;
    /* A decimal comma would lose its decimals. */
    if (count > reader->field_count)
        return error_set(error, ERROR_INPUT, "%s:%llu: %zu fields where the header has %zu",
                         reader->path, (unsigned long long)line->number, count,
                         reader->field_count);
    for (size_t c = 0; c < reader->count; c++) {
        int where = reader->where[c];
        struct text *text = &reader->fields[c];
        text_clear(text);
        if (where >= 0 && (size_t)where < count)
            append_field(text, line, &fields[where]);
        failed = failed || text_failed(text);
        if (strlen(text->bytes) != text->length)
            return error_set(error, ERROR_INPUT, "%s:%llu: %s: a NUL character stands in the cell",
                             reader->path, (unsigned long long)line->number,
                             reader->columns[c].name);
        texts[c] = where >= 0 ? text->bytes : NULL;
    }
    if (failed)
        return error_memory(error);
    int code = reader->take(reader->context, texts, line->number, error);
    if (code != ERROR_NONE)
        error_context(error, "%s:%llu", reader->path, (unsigned long long)line->number);
    return code;
}

static bool is_blank(const struct csv_line *line)
{
    for (size_t i = 0; i < line->length; i++)
        if (line->bytes[i] != ' ' && line->bytes[i] != '\t')
            return false;
    return true;
}

static int read_lines(struct reader *reader, struct csv_lines *lines, struct error *error)
{
    bool header = true;
    for (;;) {
        struct csv_line line;
        int code = csv_lines_next(lines, &line, error);
        if (code != ERROR_NONE || line.bytes == NULL)
            return code;
        if (is_blank(&line))
            continue;
        code = header ? read_header(reader, &line, error) : read_row(reader, &line, error);
        if (code != ERROR_NONE)
            return code;
        header = false;
    }
}

int records_read(const char *path, const struct record_column *columns, size_t count,
                 record_take *take, void *context, struct error *error)
{
    struct csv_lines lines = {0};
    struct reader reader = {.path = path,
                            .columns = columns,
                            .count = count,
                            .take = take,
                            .context = context};
    for (size_t i = 0; i < RECORD_FIELDS; i++)
        text_init(&reader.fields[i]);
    int code = csv_lines_open(&lines, path, error);
    if (code == ERROR_NONE) {
        code = csv_lines_begin(&lines, error);
        if (code != ERROR_NONE)
            error_context(error, "%s", path);
    }
    if (code == ERROR_NONE)
        code = read_lines(&reader, &lines, error);
    csv_lines_close(&lines);
    for (size_t i = 0; i < RECORD_FIELDS; i++)
        text_free(&reader.fields[i]);
    return code;
}

int record_time(const char *field, const char *column, int64_t *time, struct error *error)
{
    bool date_only = false;
    if (field != NULL && time_parse(field, strlen(field), time, &date_only))
        return ERROR_NONE;
    return error_set(
        error, ERROR_INPUT,
        "%s: found '%.60s'; a date YYYY-MM-DD or a time YYYY-MM-DDTHH:MM:SSZ is needed", column,
        field != NULL ? field : "");
}

int record_date(const char *field, const char *column, int64_t *date, struct error *error)
{
    bool date_only = false;
    if (field != NULL && time_parse(field, strlen(field), date, &date_only) && date_only)
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT, "%s: found '%.60s'; a date YYYY-MM-DD is needed", column,
                     field != NULL ? field : "");
}

int record_number(const char *field, const char *column, double *number, struct error *error)
{
    if (field != NULL && number_parse(field, strlen(field), number))
        return ERROR_NONE;
    return error_set(error, ERROR_INPUT, "%s: found '%.60s'; a number is needed", column,
                     field != NULL ? field : "");
}

int record_text(const char *field, const char *column, char *to, size_t size, struct error *error)
{
    size_t length = field != NULL ? strlen(field) : 0;
    if (length >= size || (field != NULL && !text_is_shown(field)))
        return error_set(error, ERROR_INPUT,
                         "%s: found '%.60s'; UTF-8 of at most %zu bytes, without controls and "
                         "marks that are not seen, is allowed",
                         column, field, size - 1);
    memcpy(to, field != NULL ? field : "", length);
    to[length] = '\0';
    return ERROR_NONE;
}
