/* Own levels and lines as a file: the way out and the way in. */
#include "answer/levels.h"
#include "base/words.h"
#include "document/table_write.h"
#include "web/sheets.h"
#include "work/book_files.h"
#include "work/own_lines.h"

#include <stdlib.h>

/* The lines that stood at the date shown, of the instrument asked for or of all. */
static int write_rows(const struct exchange *exchange, struct book *book, struct table *table,
                      struct error *error)
{
    struct own_line *lines = NULL;
    size_t count = 0;
    int64_t as_of = INT64_MAX;
    int code = page_as_of(exchange, &as_of, error);
    if (code == ERROR_NONE)
        code = level_store_list(book, exchange_filled(exchange, "instrument"), &lines, &count,
                                error);
    for (size_t i = 0; i < count; i++)
        if (own_line_stands(&lines[i], page_as_of_end(as_of)))
            level_row_put(table, &lines[i]);
    free(lines);
    return code;
}

int part_lines_file(struct page *page, struct exchange *exchange, struct error *error)
{
    struct outlet outlet = {.pass = NULL};
    struct book *book = NULL;
    struct table table;
    table_init(&table, "levels", level_columns, LEVEL_COLUMNS);
    text_init(&outlet.text);
    int code = page_book(page, BOOK_READ, &book, error);
    if (code == ERROR_NONE && book != NULL)
        code = write_rows(exchange, book, &table, error);
    code = book_done(book, code, error);
    table_write_csv_head(&outlet, &table, false);
    table_write_csv_rows(&outlet, &table, false);
    if (code == ERROR_NONE && (table_failed(&table) || text_failed(&outlet.text)))
        code = error_memory(error);
    if (code == ERROR_NONE) {
        exchange->type = "text/csv; charset=utf-8";
        text_append_bytes(&exchange->body, outlet.text.bytes, outlet.text.length);
    }
    text_free(&outlet.text);
    table_free(&table);
    return code;
}

void lines_file_write(struct html *html, const struct page *page, const struct exchange *exchange)
{
    struct text address;
    html_open_class(html, "section", "block ruled");
    html_attribute(html, "id", "lines-file");
    html_element(html, "h2", "Own lines as a file");
    address_begin(&address, "/charts/lines.csv");
    address_keep_as_of(&address, exchange);
    html_open_class(html, "p", "measure gap");
    html_open(html, "a");
    html_address(html, "href", address.bytes);
    html_attribute(html, "download", "own-lines.csv");
    html_text(html, "The lines that stand, of all instruments");
    html_close(html);
    html_text(html, ": a row a line with its points, its words, and the moment from which it "
                    "counts.");
    html_close(html);
    text_free(&address);
    if (page_may_change(page, exchange)) {
        html_open_class(html, "form", "import");
        html_attribute(html, "method", "post");
        html_attribute(html, "enctype", "multipart/form-data");
        html_attribute(html, "action", "/data/lines");
        form_hidden(html, "token", exchange->token);
        html_open(html, "p");
        form_file(html, "File of lines");
        html_close(html);
        html_element_class(html, "p", "small soft gap measure",
                           "Its first row names the columns: instrument, kind (level, trend, "
                           "retracement, channel, note, ruler), time and price, other_time and "
                           "other_price of a second point, width, note, and from, a date from "
                           "which it counts. Without from it counts from now on; with an older "
                           "one it is flagged wherever it decides.");
        html_open_class(html, "div", "acts");
        form_button(html, NULL, "Bring the lines in", NULL);
        html_close_all(html, 2);
    }
    html_close(html);
}

int change_lines_file(struct page *page, struct exchange *exchange, struct error *error)
{
    struct file_counts counts = {0};
    struct book *book = NULL;
    if (exchange->upload == NULL)
        return error_set(error, ERROR_USAGE, "no file was handed over; choose one first");
    int code = page_book(page, BOOK_WRITE, &book, error);
    if (code == ERROR_NONE) {
        code = levels_read(book, exchange->upload, page->options.clock(), &counts, error);
        page_clean_error(error, exchange->upload, exchange->upload_name);
    }
    code = book_done(book, code, error);
    if (code == ERROR_NONE) {
        struct text done, address;
        text_init(&done);
        text_append_format(&done, "%s: %zu own %s added, %zu known before.", exchange->upload_name,
                           counts.added, count_word(counts.added, "line", "lines"), counts.known);
        address_begin(&address, "/data");
        address_add(&address, "done", done.bytes);
        code = exchange_go(exchange, address.bytes, error);
        text_free(&done);
        text_free(&address);
    }
    return code;
}
