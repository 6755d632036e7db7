#include "document/table_write.h"

#include "base/array.h"
#include "document/paragraph.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MUCH = 1 << 16 };

void outlet_pass(struct outlet *outlet)
{
    if (outlet->pass == NULL || text_failed(&outlet->text))
        return;
    outlet->pass(outlet->context, outlet->text.bytes, outlet->text.length);
    text_clear(&outlet->text);
}

void outlet_settle(struct outlet *outlet)
{
    if (outlet->text.length >= MUCH)
        outlet_pass(outlet);
}

/* --- text ----------------------------------------------------------------------------- */

static void spaces(struct text *text, size_t count)
{
    for (size_t i = 0; i < count; i++)
        text_append_char(text, ' ');
}

/* Spaces wait until a word follows them: no line ends in any. */
static void write_padded(struct text *text, const char *words, size_t width, bool left, bool last,
                         size_t *owed)
{
    size_t room = width - text_columns(words);
    *owed += left ? 0 : room;
    if (words[0] != '\0') {
        spaces(text, *owed);
        text_append(text, words);
        *owed = 0;
    }
    *owed = last ? 0 : *owed + (left ? room : 0) + 2;
    text_append(text, last ? "\n" : "");
}

static void measure(const struct table *table, size_t *widths, struct text *words)
{
    struct table_walk walk;
    struct cell cell;
    for (size_t i = 0; i < table->column_count; i++)
        widths[i] = text_columns(table->columns[i].title);
    table_walk(&walk, table);
    while (table_next(&walk, &cell)) {
        text_clear(words);
        cell_words(words, &cell, table, walk.column);
        /* Clearing forgets it, and a width that is too small would be padded for ever. */
        if (text_failed(words))
            break;
        size_t width = text_columns(words->bytes);
        if (width > widths[walk.column])
            widths[walk.column] = width;
    }
}

static void write_aligned(struct outlet *outlet, const struct table *table, size_t indent,
                          const size_t *widths, struct text *words)
{
    struct text *out = &outlet->text;
    struct table_walk walk;
    struct cell cell;
    size_t last = table->column_count - 1;
    size_t owed = indent;
    if (table->column_count == 0)
        return;
    for (size_t i = 0; i <= last; i++)
        write_padded(out, table->columns[i].title, widths[i], column_is_text(&table->columns[i]),
                     i == last, &owed);
    table_walk(&walk, table);
    while (table_next(&walk, &cell)) {
        size_t i = walk.column;
        if (i == 0)
            owed = indent;
        text_clear(words);
        cell_words(words, &cell, table, i);
        if (text_failed(words))
            break;
        write_padded(out, words->bytes, widths[i], column_is_text(&table->columns[i]), i == last,
                     &owed);
        outlet_settle(outlet);
    }
}

void table_write_text(struct outlet *outlet, const struct table *table, size_t indent)
{
    struct text words;
    size_t *widths = array_new(table->column_count, sizeof *widths);
    text_init(&words);
    if (widths != NULL)
        measure(table, widths, &words);
    if (widths != NULL && !text_failed(&words))
        write_aligned(outlet, table, indent, widths, &words);
    outlet->text.failed = outlet->text.failed || widths == NULL || text_failed(&words) ||
                          table_failed(table);
    text_free(&words);
    free(widths);
}

/* --- CSV ------------------------------------------------------------------------------ */

static void write_csv_text(struct text *text, const char *words, bool exact)
{
    if (exact)
        text_append_csv_exact(text, words);
    else
        text_append_csv(text, words);
}

void table_write_csv_head(struct outlet *outlet, const struct table *table, bool exact)
{
    for (size_t i = 0; i < table->column_count; i++) {
        text_append(&outlet->text, i > 0 ? "," : "");
        write_csv_text(&outlet->text, table->columns[i].name, exact);
    }
    text_append_char(&outlet->text, '\n');
}

static void write_csv_cell(struct text *text, const struct cell *cell, bool exact)
{
    switch (cell->kind) {
    case CELL_EMPTY:
    case CELL_JSON: break;
    case CELL_TEXT: write_csv_text(text, cell->text, exact); break;
    case CELL_INTEGER: text_append_integer(text, cell->integer); break;
    case CELL_NUMBER: text_append_number(text, cell->number); break;
    case CELL_RANGE:
        if (!isfinite(cell->number) || !isfinite(cell->high))
            break;
        text_append_number(text, cell->number);
        text_append(text, " to ");
        text_append_number(text, cell->high);
        break;
    }
}

void table_write_csv_rows(struct outlet *outlet, const struct table *table, bool exact)
{
    struct table_walk walk;
    struct cell cell;
    table_walk(&walk, table);
    while (table_next(&walk, &cell)) {
        if (walk.column > 0)
            text_append_char(&outlet->text, ',');
        write_csv_cell(&outlet->text, &cell, exact);
        if (walk.column + 1 < table->column_count)
            continue;
        text_append_char(&outlet->text, '\n');
        outlet_settle(outlet);
    }
    outlet->text.failed = outlet->text.failed || table_failed(table);
}

/* --- JSON ----------------------------------------------------------------------------- */

static void write_json_cell(struct json *json, const struct cell *cell, const struct column *column)
{
    switch (cell->kind) {
    case CELL_EMPTY: json_put_null(json); break;
    case CELL_TEXT: json_put_string(json, cell->text); break;
    case CELL_INTEGER:
        if (column->kind == COLUMN_BOOLEAN)
            json_put_boolean(json, cell->integer != 0);
        else
            json_put_integer(json, cell->integer);
        break;
    case CELL_NUMBER: json_put_number(json, cell->number); break;
    case CELL_RANGE:
        json_begin_array(json);
        json_put_number(json, cell->number);
        json_put_number(json, cell->high);
        json_end_array(json);
        break;
    case CELL_JSON: json_put_written(json, cell->text, strlen(cell->text)); break;
    }
}

void table_write_json_rows(struct json *json, const struct table *table)
{
    struct table_walk walk;
    struct cell cell;
    table_walk(&walk, table);
    while (table_next(&walk, &cell)) {
        const struct column *column = &table->columns[walk.column];
        if (walk.column == 0)
            json_begin_object(json);
        json_put_key(json, column->name);
        write_json_cell(json, &cell, column);
        if (walk.column + 1 == table->column_count)
            json_end_object(json);
    }
    json->text->failed = json->text->failed || table_failed(table);
}

/* --- HTML ----------------------------------------------------------------------------- */

static void write_html_head(struct html *html, const struct table *table)
{
    html_open(html, "thead");
    html_open(html, "tr");
    for (size_t i = 0; i < table->column_count; i++) {
        html_open(html, "th");
        html_attribute(html, "scope", "col");
        if (i > 0 && column_is_text(&table->columns[i]))
            html_attribute(html, "class", "word");
        html_text(html, table->columns[i].title);
        html_close(html);
    }
    html_close_all(html, 2);
    html_line(html);
}

static void write_html_cell(struct html *html, const struct table *table, size_t column,
                            const char *words)
{
    html_open(html, column == 0 ? "th" : "td");
    if (column == 0)
        html_attribute(html, "scope", "row");
    else if (column_is_text(&table->columns[column]))
        html_attribute(html, "class", "word");
    html_prose(html, words);
    html_close(html);
}

void table_write_html(struct html *html, const struct table *table)
{
    struct table_walk walk;
    struct cell cell;
    struct text words;
    text_init(&words);
    html_open_class(html, "div", "wide");
    html_open(html, "table");
    write_html_head(html, table);
    html_open(html, "tbody");
    table_walk(&walk, table);
    while (table_next(&walk, &cell)) {
        if (walk.column == 0)
            html_open(html, "tr");
        text_clear(&words);
        cell_words(&words, &cell, table, walk.column);
        html->text->failed = html->text->failed || text_failed(&words);
        write_html_cell(html, table, walk.column, words.bytes);
        if (walk.column + 1 == table->column_count) {
            html_close(html);
            html_line(html);
        }
    }
    html_close_all(html, 3);
    html_line(html);
    html->text->failed = html->text->failed || table_failed(table);
    text_free(&words);
}

/* --- on its way out ------------------------------------------------------------------- */

void table_stream_init(struct table_stream *stream, enum table_form form, const char *version,
                       void (*pass)(void *context, const char *bytes, size_t length), void *context)
{
    *stream = (struct table_stream){.form = form, .version = version};
    text_init(&stream->outlet.text);
    stream->outlet.pass = pass;
    stream->outlet.context = context;
    json_init(&stream->json, &stream->outlet.text, JSON_SPACED);
}

void table_stream_free(struct table_stream *stream)
{
    text_free(&stream->outlet.text);
}

static void begin(struct table_stream *stream, const struct table *table)
{
    if (stream->begun)
        return;
    stream->begun = true;
    if (stream->form == TABLE_CSV || stream->form == TABLE_CSV_EXACT) {
        table_write_csv_head(&stream->outlet, table, stream->form == TABLE_CSV_EXACT);
    } else if (stream->form == TABLE_JSON) {
        json_begin_object(&stream->json);
        json_member_string(&stream->json, "rushlight", stream->version);
        json_put_key(&stream->json, table->name);
        json_begin_lines(&stream->json);
    }
}

void table_stream_rows(struct table_stream *stream, struct table *table)
{
    if (stream->form == TABLE_TEXT)
        return;
    begin(stream, table);
    if (stream->form == TABLE_CSV || stream->form == TABLE_CSV_EXACT)
        table_write_csv_rows(&stream->outlet, table, stream->form == TABLE_CSV_EXACT);
    else
        table_write_json_rows(&stream->json, table);
    table_clear_rows(table);
    outlet_pass(&stream->outlet);
}

static void end_text(struct table_stream *stream, const struct table *table, const char *closing)
{
    struct text *out = &stream->outlet.text;
    if (table->row_count > 0)
        table_write_text(&stream->outlet, table, 0);
    if (closing == NULL || text_failed(out))
        return;
    text_append(out, table->row_count > 0 ? "\n" : "");
    text_append(out, closing);
    text_append_char(out, '\n');
}

void table_flush(struct table *table)
{
    if (table->stream != NULL && !table_failed(table))
        table_stream_rows(table->stream, table);
}

bool table_stream_end(struct table_stream *stream, struct table *table, const char *closing)
{
    if (table_failed(table))
        return false;
    table_stream_rows(stream, table);
    if (stream->form == TABLE_TEXT)
        end_text(stream, table, closing);
    if (stream->form == TABLE_JSON) {
        json_end_array(&stream->json);
        for (size_t i = 0; i < table->member_count; i++)
            json_member_integer(&stream->json, table->members[i].name, table->members[i].value);
        json_end_object(&stream->json);
        text_append_char(&stream->outlet.text, '\n');
    }
    outlet_pass(&stream->outlet);
    return !text_failed(&stream->outlet.text);
}
