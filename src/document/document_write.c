#include "document/document_write.h"

#include "document/paragraph.h"
#include "document/table_write.h"

#include <string.h>

/* --- text ----------------------------------------------------------------------------- */

static void write_table_text(struct text *text, const struct table *table)
{
    struct outlet outlet = {.text = *text};
    text_append(&outlet.text, table->title);
    text_append_char(&outlet.text, '\n');
    table_write_text(&outlet, table, 2);
    *text = outlet.text;
    if (table->note != NULL)
        text_append_paragraph(text, table->note, 2);
    text_append_char(text, '\n');
}

/* Whether the same caution stands before. */
static bool said_before(const struct document *document, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (document->blocks[i]->kind == BLOCK_CAUTION &&
            strcmp(document->blocks[i]->words, document->blocks[index]->words) == 0)
            return true;
    return false;
}

void document_write_text(struct text *text, const struct document *document)
{
    enum block_kind before = BLOCK_HEADING;
    if (document_failed(document)) {
        text->failed = true;
        return;
    }
    for (size_t i = 0; i < document->count; i++) {
        const struct block *block = document->blocks[i];
        if ((before == BLOCK_HEADLINE || before == BLOCK_OPENING || before == BLOCK_ANSWER) &&
            block->kind != before)
            text_append_char(text, '\n');
        before = block->kind;
        if (block->kind == BLOCK_TABLE)
            write_table_text(text, &block->table);
        else if (block->kind == BLOCK_HEADLINE || block->kind == BLOCK_ANSWER ||
                 block->kind == BLOCK_OPENING || block->kind == BLOCK_HEADING ||
                 block->kind == BLOCK_PARAGRAPH)
            text_append_paragraph(text, block->words, 0);
    }
    for (size_t i = 0; i < document->count; i++)
        if (document->blocks[i]->kind == BLOCK_CAUTION && !said_before(document, i))
            text_append_paragraph(text, document->blocks[i]->words, 0);
}

/* --- HTML ----------------------------------------------------------------------------- */

static void line_of(struct html *html, const char *element, const char *class, const char *words)
{
    html_open_class(html, element, class);
    html_prose(html, words);
    html_close(html);
    html_line(html);
}

static int write_figure(struct html *html, const struct document_figure *figure, size_t number,
                        figure_writer *writer, void *context, struct error *error)
{
    if (number == 1)
        line_of(html, "h2", NULL, "Figures");
    html_open(html, "figure");
    html_line(html);
    int code = writer(context, figure, number, html->text, error);
    html_open(html, "figcaption");
    html_open(html, "b");
    html_text(html, "Figure ");
    html_integer(html, (int64_t)number);
    html_text(html, ".");
    html_close(html);
    html_text(html, " ");
    html_text(html, figure->caption);
    html_close(html);
    html_line(html);
    html_close(html);
    html_line(html);
    return code;
}

static void write_table(struct html *html, const struct table *table)
{
    line_of(html, "h2", NULL, table->title);
    table_write_html(html, table);
    if (table->note != NULL)
        line_of(html, "p", "note", table->note);
}

static void write_words(struct html *html, const struct block *block)
{
    static const struct {
        const char *element;
        const char *class;
    } form[] = {
        [BLOCK_HEADING] = {"h2", NULL},   [BLOCK_HEADLINE] = {"p", "answer comes"},
        [BLOCK_ANSWER] = {"p", "answer"}, [BLOCK_OPENING] = {"p", "opening"},
        [BLOCK_PARAGRAPH] = {"p", NULL},  [BLOCK_NOTE] = {"p", "small"},
        [BLOCK_CAUTION] = {"p", "small"}, [BLOCK_VERBATIM] = {"pre", NULL},
        [BLOCK_MEANING] = {"dt", NULL},
    };
    if (block->kind == BLOCK_VERBATIM) {
        html_element_class(html, form[block->kind].element, NULL, block->words);
        html_line(html);
        return;
    }
    line_of(html, form[block->kind].element, form[block->kind].class, block->words);
    if (block->kind == BLOCK_MEANING)
        line_of(html, "dd", NULL, block->meaning);
}

int document_write_html(struct html *html, const struct document *document, figure_writer *writer,
                        void *context, struct error *error)
{
    size_t figures = 0;
    bool list = false;
    int code = document_failed(document) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE && document->title != NULL)
        line_of(html, "h1", NULL, document->title);
    for (size_t i = 0; i < document->count && code == ERROR_NONE; i++) {
        const struct block *block = document->blocks[i];
        if (!list && block->kind == BLOCK_MEANING)
            html_open_class(html, "dl", "small");
        else if (list && block->kind != BLOCK_MEANING)
            html_close(html);
        list = block->kind == BLOCK_MEANING;
        if (block->kind == BLOCK_TABLE)
            write_table(html, &block->table);
        else if (block->kind != BLOCK_FIGURE)
            write_words(html, block);
        else if (writer != NULL)
            code = write_figure(html, &block->figure, ++figures, writer, context, error);
    }
    if (list)
        html_close(html);
    return code == ERROR_NONE && text_failed(html->text) ? error_memory(error) : code;
}
