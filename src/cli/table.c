#include "cli/table.h"

#include "base/number.h"
#include "version.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void table_begin(struct table *table, const struct call *call, const char *rows_key,
                 const struct column *columns, size_t column_count, bool seeded)
{
    *table = (struct table){.columns = columns,
                            .column_count = column_count,
                            .format = call->format,
                            .rows_key = rows_key,
                            .out = call->out};
    text_init(&table->pending);
    if (table->format == FORMAT_CSV) {
        for (size_t i = 0; i < column_count; i++) {
            text_append(&table->pending, i > 0 ? "," : "");
            text_append_csv(&table->pending, columns[i].name);
        }
        text_append_char(&table->pending, '\n');
    } else if (table->format == FORMAT_JSON) {
        text_append(&table->pending, "{\"rushlight\": \"" RUSHLIGHT_VERSION "\"");
        if (seeded)
            text_append_format(&table->pending, ", \"seed\": %llu", (unsigned long long)call->seed);
        text_append_format(&table->pending, ", \"%s\": [", rows_key);
    }
}

/* What stands before a cell. */
static void open_cell(struct table *table)
{
    struct text *out = &table->pending;
    if (table->format == FORMAT_CSV && table->cell > 0)
        text_append_char(out, ',');
    if (table->format == FORMAT_JSON) {
        if (table->cell == 0)
            text_append(out, table->row_count > 0 ? ",\n  {" : "\n  {");
        text_append(out, table->cell > 0 ? ", " : "");
        text_append_json(out, table->columns[table->cell].name);
        text_append(out, ": ");
    }
}

static void close_cell(struct table *table)
{
    struct text *out = &table->pending;
    if (table->format == FORMAT_TEXT)
        text_append_bytes(out, "", 1);
    if (++table->cell < table->column_count)
        return;
    table->cell = 0;
    table->row_count++;
    if (table->format == FORMAT_CSV)
        text_append_char(out, '\n');
    else if (table->format == FORMAT_JSON)
        text_append_char(out, '}');
}

void table_text(struct table *table, const char *text)
{
    open_cell(table);
    if (table->format == FORMAT_JSON && text == NULL)
        text_append(&table->pending, "null");
    else if (table->format == FORMAT_JSON)
        text_append_json(&table->pending, text);
    else if (table->format == FORMAT_CSV)
        text_append_csv(&table->pending, text != NULL ? text : "");
    else
        text_append(&table->pending, text != NULL ? text : "");
    close_cell(table);
}

void table_number(struct table *table, double number)
{
    int places = table->columns[table->cell].places;
    open_cell(table);
    if (isnan(number))
        text_append(&table->pending, table->format == FORMAT_JSON ? "null" : "");
    else if (table->format == FORMAT_TEXT && places >= 0 && isfinite(number))
        text_append_format(&table->pending, "%.*f", places, number);
    else if (table->format == FORMAT_JSON && isinf(number))
        text_append(&table->pending, "null");
    else
        text_append_number(&table->pending, number);
    close_cell(table);
}

void table_integer(struct table *table, int64_t number)
{
    bool boolean = table->columns[table->cell].kind == COLUMN_BOOLEAN;
    open_cell(table);
    if (boolean && table->format == FORMAT_TEXT)
        text_append(&table->pending, number ? "yes" : "no");
    else if (boolean && table->format == FORMAT_JSON)
        text_append(&table->pending, number ? "true" : "false");
    else
        text_append_integer(&table->pending, number);
    close_cell(table);
}

void table_json(struct table *table, const struct text *json)
{
    open_cell(table);
    text_append_bytes(&table->pending, json->bytes, json->length);
    table->pending.failed = table->pending.failed || text_failed(json);
    close_cell(table);
}

void table_flush(struct table *table)
{
    if (table->format == FORMAT_TEXT || text_failed(&table->pending))
        return;
    fwrite(table->pending.bytes, 1, table->pending.length, table->out);
    text_clear(&table->pending);
}

/* Characters, not bytes; wide scripts count as one, which is near enough. */
static size_t shown_width(const char *text)
{
    size_t width = 0;
    for (; *text != '\0'; text++)
        width += ((unsigned char)*text & 0xc0) != 0x80;
    return width;
}

static void print_padded(FILE *out, const char *cell, size_t width, bool left, bool last)
{
    size_t pad = width - shown_width(cell);
    if (!left)
        for (size_t i = 0; i < pad; i++)
            fputc(' ', out);
    fputs(cell, out);
    if (left && !last)
        for (size_t i = 0; i < pad; i++)
            fputc(' ', out);
    fputs(last ? "\n" : "  ", out);
}

static void print_aligned(const struct table *table, size_t *widths)
{
    for (size_t i = 0; i < table->column_count; i++)
        widths[i] = shown_width(table->columns[i].title);
    const char *cell = table->pending.bytes;
    for (size_t n = 0; n < table->row_count * table->column_count; n++) {
        size_t width = shown_width(cell);
        if (width > widths[n % table->column_count])
            widths[n % table->column_count] = width;
        cell += strlen(cell) + 1;
    }
    for (size_t i = 0; i < table->column_count; i++)
        print_padded(table->out, table->columns[i].title, widths[i],
                     table->columns[i].kind == COLUMN_TEXT, i + 1 == table->column_count);
    cell = table->pending.bytes;
    for (size_t n = 0; n < table->row_count * table->column_count; n++) {
        size_t i = n % table->column_count;
        print_padded(table->out, cell, widths[i], table->columns[i].kind == COLUMN_TEXT,
                     i + 1 == table->column_count);
        cell += strlen(cell) + 1;
    }
}

int table_end(struct table *table, const char *closing, struct error *error)
{
    int code = ERROR_NONE;
    if (table->format == FORMAT_JSON)
        text_append(&table->pending, table->row_count > 0 ? "\n]}\n" : "]}\n");
    table_flush(table);
    if (text_failed(&table->pending)) {
        code = error_memory(error);
    } else if (table->format == FORMAT_TEXT) {
        size_t *widths = calloc(table->column_count, sizeof *widths);
        if (widths == NULL)
            code = error_memory(error);
        else if (table->row_count > 0)
            print_aligned(table, widths);
        free(widths);
        if (code == ERROR_NONE && closing != NULL)
            fprintf(table->out, "%s%s\n", table->row_count > 0 ? "\n" : "", closing);
    }
    if (code == ERROR_NONE && ferror(table->out))
        code = error_set(error, ERROR_MACHINE, "cannot write the output");
    text_free(&table->pending);
    return code;
}

int table_end_text(struct table *table, struct text *closing, struct error *error)
{
    /* A table that failed writes no closing sentence, and says so. */
    table->pending.failed = table->pending.failed || text_failed(closing);
    int code = table_end(table, closing->bytes, error);
    text_free(closing);
    return code;
}
