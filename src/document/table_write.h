/* A table as text, CSV, JSON and HTML. */
#ifndef RUSHLIGHT_DOCUMENT_TABLE_WRITE_H
#define RUSHLIGHT_DOCUMENT_TABLE_WRITE_H

#include "base/json.h"
#include "document/html.h"
#include "document/table.h"

/* Where long answers go: what is written gathers in `text`, and is passed on
 * and let go whenever there is much of it. */
struct outlet {
    struct text text;
    /* NULL: all of it stays in `text`. */
    void (*pass)(void *context, const char *bytes, size_t length);
    void *context;
};

/* Passes on what there is; nothing after a failure. */
void outlet_pass(struct outlet *outlet);
/* The same once there is much. */
void outlet_settle(struct outlet *outlet);

/* The headings and the rows held, aligned: words to the left, all else to the
 * right, each line after `indent` spaces. */
void table_write_text(struct outlet *outlet, const struct table *table, size_t indent);
/* The header of RFC 4180, and the rows held below it. A range is one cell,
 * "low to high". */
void table_write_csv_head(struct outlet *outlet, const struct table *table, bool exact);
void table_write_csv_rows(struct outlet *outlet, const struct table *table, bool exact);
/* The rows held as items of the array that is open: one object a row. A range
 * is an array of its two ends. */
void table_write_json_rows(struct json *json, const struct table *table);
/* A <table> in a <div class="wide">, words in cells of class "word"; without
 * title and note, which stand outside of it. */
void table_write_html(struct html *html, const struct table *table);

/* TABLE_CSV is for spreadsheets and eyes (text_append_csv), TABLE_CSV_EXACT for
 * programs. */
enum table_form { TABLE_TEXT, TABLE_CSV, TABLE_CSV_EXACT, TABLE_JSON };

/* A table on its way out: the header, then rows as they come (table_flush),
 * then the end. Text waits for the end, which knows the widths. JSON is one
 * object with the program's version and the rows under the table's name. */
struct table_stream {
    struct outlet outlet;
    enum table_form form;
    const char *version;
    struct json json;
    bool begun;
};

void table_stream_init(struct table_stream *stream, enum table_form form, const char *version,
                       void (*pass)(void *context, const char *bytes, size_t length),
                       void *context);
void table_stream_free(struct table_stream *stream);
void table_stream_rows(struct table_stream *stream, struct table *table);
/* Passes the rows held on to the stream, so that long answers need no memory;
 * nothing without a stream. */
void table_flush(struct table *table);
/* Writes what is left. `closing` is the sentence that says what the rows mean,
 * for text only; it may be NULL. False where memory ran out. */
bool table_stream_end(struct table_stream *stream, struct table *table, const char *closing);

#endif
