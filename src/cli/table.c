#include "cli/table.h"

#include "document/table_write.h"
#include "version.h"

#include <stdlib.h>

static void print(void *context, const char *bytes, size_t length)
{
    fwrite(bytes, 1, length, context);
}

void table_begin(struct table *table, const struct call *call, const char *rows_key,
                 const struct column *columns, size_t column_count)
{
    static const enum table_form forms[] =
        {[FORMAT_TEXT] = TABLE_TEXT, [FORMAT_CSV] = TABLE_CSV, [FORMAT_JSON] = TABLE_JSON};
    enum table_form form = call->exact ? TABLE_CSV_EXACT : forms[call->format];
    table_init(table, rows_key, columns, column_count);
    table->stream = malloc(sizeof *table->stream);
    if (table->stream == NULL)
        table->failed = true;
    else
        table_stream_init(table->stream, form, RUSHLIGHT_VERSION, print, call->out);
}

int table_end(struct table *table, const char *closing, struct error *error)
{
    int code = ERROR_NONE;
    if (table->stream == NULL || !table_stream_end(table->stream, table, closing))
        code = error_memory(error);
    else if (ferror(table->stream->outlet.context))
        code = error_because(error, ERROR_MACHINE, ERROR_REASON_NO_OUTPUT,
                             "cannot write the output");
    table_abandon(table);
    return code;
}

int table_end_text(struct table *table, struct text *closing, struct error *error)
{
    /* A table that failed writes no closing sentence, and says so. */
    table->failed = table->failed || text_failed(closing);
    int code = table_end(table, closing->bytes, error);
    text_free(closing);
    return code;
}

void listing_begin(struct table *table, const struct call *call, const struct listing *listing)
{
    table_begin(table, call, listing->name, listing->columns, listing->column_count);
}

int listing_end(struct table *table, const struct listing *listing, int code, struct error *error)
{
    if (code == ERROR_NONE)
        return table_end(table, table->row_count == 0 ? listing->empty : NULL, error);
    table_abandon(table);
    return code;
}

int print_text(const struct call *call, struct text *text, struct error *error)
{
    int code = text_failed(text) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        fwrite(text->bytes, 1, text->length, call->out);
    text_free(text);
    return code;
}

void table_abandon(struct table *table)
{
    if (table->stream != NULL)
        table_stream_free(table->stream);
    free(table->stream);
    table_free(table);
}
