#include "market/csv.h"

#include "base/calendar.h"
#include "base/number.h"
#include "market/csv_columns.h"
#include "market/csv_lines.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct reader {
    struct csv_lines lines;
    struct csv_columns columns;
    const struct csv_options *options;
    const struct csv_sink *sink;
    struct csv_summary *summary;
    struct bars block;
    int64_t last_time;
    bool any;      /* a bar has been kept */
    bool dated;    /* so far no time had a time of day */
};

static int set_aside(struct reader *reader, const struct csv_line *line, const char *reason,
                     struct error *error)
{
    struct csv_fault fault = {.line = line->number, .reason = reason};
    size_t length = line->length < CSV_FAULT_TEXT ? line->length : CSV_FAULT_TEXT;
    /* Not in the middle of a character. */
    while (length < line->length && length > 0 && ((unsigned char)line->bytes[length] & 0xc0) == 0x80)
        length--;
    for (size_t i = 0; i < length; i++)
        fault.text[i] = line->bytes[i] != '\0' ? line->bytes[i] : ' ';
    memcpy(fault.text + length, "…", length < line->whole ? sizeof "…" : 1);
    if (length >= line->whole)
        fault.text[length] = '\0';
    reader->summary->set_aside++;
    return reader->sink->set_aside(reader->sink->context, &fault, error);
}

enum { REASON_SIZE = BAR_REASON_SIZE };

/* Reads a price; false with the reason where it is none. */
static bool read_price(struct csv_field field, const char *name, double *value, char *reason)
{
    if (field.length == 0) {
        snprintf(reason, REASON_SIZE, "%s is missing", name);
        return false;
    }
    if (!number_parse(field.bytes, field.length, value)) {
        snprintf(reason, REASON_SIZE, "%s '%.*s' is not a number", name,
                 field.length > 40 ? 40 : (int)field.length, field.bytes);
        return false;
    }
    if (!(fabs(*value) <= CSV_LARGEST_PRICE)) {
        snprintf(reason, REASON_SIZE, "%s %g is beyond 1e100 in size", name, *value);
        return false;
    }
    return true;
}

static bool read_volume(struct csv_field field, double *value, char *reason)
{
    *value = NAN;
    if (field.length == 0)
        return true;
    if (!read_price(field, "volume", value, reason))
        return false;
    if (*value >= 0)
        return true;
    snprintf(reason, REASON_SIZE, "volume %g is negative", *value);
    return false;
}

/* `YYYY-MM-DD` with an optional time of day, seconds optional too. */
static bool read_time(struct csv_field field, int64_t *time, bool *date_only)
{
    char full[] = "0000-00-00T00:00:00Z";
    size_t length = field.length;
    if (length > 0 && field.bytes[length - 1] == 'Z')
        length--;
    if (length == 10)
        return time_parse(field.bytes, 10, time, date_only);
    if ((length != 16 && length != 19) || (field.bytes[10] != ' ' && field.bytes[10] != 'T'))
        return false;
    memcpy(full, field.bytes, length);
    full[10] = 'T';
    return time_parse(full, sizeof full - 1, time, date_only);
}

static bool read_bar(struct reader *reader, const struct csv_field *fields, struct bar *bar,
                     char *reason)
{
    const int *where = reader->columns.where;
    struct csv_field time = fields[where[CSV_TIME]];
    char joined[64];
    if (where[CSV_CLOCK] >= 0) {
        struct csv_field clock = fields[where[CSV_CLOCK]];
        int length = snprintf(joined, sizeof joined, "%.*sT%.*s", (int)(time.length & 31), time.bytes,
                              (int)(clock.length & 15), clock.bytes);
        time = (struct csv_field){joined, (size_t)length};
    }
    bool date_only = false;
    if (!read_time(time, &bar->time, &date_only)) {
        snprintf(reason, REASON_SIZE, time.length == 0 ? "date is missing" : "'%.*s' is no date that is known here",
                 time.length > 40 ? 40 : (int)time.length, time.bytes);
        return false;
    }
    bar->volume = NAN;
    if (!read_price(fields[where[CSV_OPEN]], "open", &bar->open, reason) ||
        !read_price(fields[where[CSV_HIGH]], "high", &bar->high, reason) ||
        !read_price(fields[where[CSV_LOW]], "low", &bar->low, reason) ||
        !read_price(fields[where[CSV_CLOSE]], "close", &bar->close, reason) ||
        (where[CSV_VOLUME] >= 0 && !read_volume(fields[where[CSV_VOLUME]], &bar->volume, reason)) ||
        bar_fault(bar, reason) != NULL)
        return false;
    reader->dated = reader->dated && date_only;
    return true;
}

/* The time must be after that of the bar before. */
static bool time_follows(const struct reader *reader, const struct bar *bar, char *reason)
{
    char a[CALENDAR_TEXT_SIZE];
    char b[CALENDAR_TEXT_SIZE];
    if (!reader->any || bar->time > reader->last_time)
        return true;
    time_format(a, bar->time, reader->dated);
    time_format(b, reader->last_time, reader->dated);
    if (bar->time == reader->last_time)
        snprintf(reason, REASON_SIZE, "time %s is the same as in the bar before", a);
    else
        snprintf(reason, REASON_SIZE, "time goes back from %s to %s", b, a);
    return false;
}

static int deliver(struct reader *reader, struct error *error)
{
    struct bars *block = &reader->block;
    if (block->count == 0)
        return ERROR_NONE;
    if (reader->summary->interval.unit == INTERVAL_NONE)
        reader->summary->interval = interval_guess(block->time, block->count);
    block->interval = reader->summary->interval;
    int code = reader->sink->bars(reader->sink->context, block, error);
    block->count = 0;
    return code;
}

static int read_line(struct reader *reader, const struct csv_line *line, struct error *error)
{
    struct csv_field fields[CSV_MOST_COLUMNS + 1];
    char reason[REASON_SIZE];
    struct bar bar;
    if (line->whole > line->length) {
        snprintf(reason, sizeof reason, "the line has %zu bytes, more than the %d allowed",
                 line->whole, CSV_LONGEST_LINE);
        return set_aside(reader, line, reason, error);
    }
    size_t count = csv_split(line->bytes, line->length, reader->columns.separator, fields);
    if (count == 0)
        return set_aside(reader, line, "a quote is never closed", error);
    if (count != reader->columns.count) {
        snprintf(reason, sizeof reason, "%zu field%s where the header has %zu", count,
                 count == 1 ? "" : "s", reader->columns.count);
        return set_aside(reader, line, reason, error);
    }
    if (!read_bar(reader, fields, &bar, reason) || !time_follows(reader, &bar, reason))
        return set_aside(reader, line, reason, error);
    reader->last_time = bar.time;
    reader->any = true;
    reader->summary->bars++;
    int code = bars_append(&reader->block, &bar, error);
    if (code == ERROR_NONE && reader->block.count == CSV_BLOCK)
        code = deliver(reader, error);
    return code;
}

static bool is_blank(const struct csv_line *line)
{
    for (size_t i = 0; i < line->length; i++)
        if (line->bytes[i] != ' ' && line->bytes[i] != '\t' && line->bytes[i] != '\r')
            return false;
    return true;
}

static int next_line(struct reader *reader, struct csv_line *line, struct error *error)
{
    int code;
    do
        code = csv_lines_next(&reader->lines, line, error);
    while (code == ERROR_NONE && line->bytes != NULL && is_blank(line));
    return code;
}

static int read_header(struct reader *reader, struct error *error)
{
    struct csv_line line;
    int code = next_line(reader, &line, error);
    if (code != ERROR_NONE)
        return code;
    if (line.bytes == NULL)
        return error_set(error, ERROR_INPUT,
                         "has only blank lines; a header and lines of prices are needed");
    if (line.whole > line.length)
        return error_set(error, ERROR_INPUT, "the first line has %zu bytes; a header is needed",
                         line.whole);
    code = csv_columns_read(&reader->columns, line.bytes, line.length, error);
    if (code == ERROR_NONE && reader->columns.observations)
        code = error_set(error, ERROR_INPUT, "observations (time, price) are not read here");
    return code;
}

static int read_all(struct reader *reader, struct error *error)
{
    struct csv_line line;
    int code = read_header(reader, error);
    if (code == ERROR_NONE)
        code = next_line(reader, &line, error);
    while (code == ERROR_NONE && line.bytes != NULL) {
        reader->summary->lines++;
        code = read_line(reader, &line, error);
        if (code == ERROR_NONE)
            code = next_line(reader, &line, error);
    }
    if (code == ERROR_NONE)
        code = deliver(reader, error);
    if (code == ERROR_NONE && reader->summary->lines == 0)
        code = error_set(error, ERROR_INPUT, "has a header and no lines of prices");
    return code;
}

static int read_text(struct reader *reader, const char *name, struct error *error)
{
    reader->summary->interval = reader->options->interval;
    reader->dated = true;
    bars_init(&reader->block);
    int code = csv_lines_begin(&reader->lines, name, error);
    if (code == ERROR_NONE) {
        code = read_all(reader, error);
        if (code != ERROR_NONE)
            error_context(error, "%s", name);
    }
    bars_free(&reader->block);
    csv_lines_close(&reader->lines);
    return code;
}

int csv_read_file(const char *path, const struct csv_options *options, const struct csv_sink *sink,
                  struct csv_summary *summary, struct error *error)
{
    struct reader reader = {.options = options, .sink = sink, .summary = summary};
    *summary = (struct csv_summary){0};
    int code = csv_lines_open(&reader.lines, path, error);
    if (code == ERROR_NONE)
        return read_text(&reader, path, error);
    csv_lines_close(&reader.lines);
    return code;
}

int csv_read_memory(const char *bytes, size_t length, const char *name,
                    const struct csv_options *options, const struct csv_sink *sink,
                    struct csv_summary *summary, struct error *error)
{
    struct reader reader = {.options = options, .sink = sink, .summary = summary};
    *summary = (struct csv_summary){0};
    csv_lines_open_memory(&reader.lines, bytes, length);
    return read_text(&reader, name, error);
}
