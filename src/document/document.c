#include "document/document.h"

#include "base/array.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

void document_init(struct document *document)
{
    *document = (struct document){0};
    text_init(&document->spare.table.cells);
}

static void clear_block(struct block *block)
{
    free(block->words);
    free(block->meaning);
    table_free(&block->table);
}

void document_clear(struct document *document)
{
    for (size_t i = 0; i < document->count; i++) {
        clear_block(document->blocks[i]);
        free(document->blocks[i]);
    }
    clear_block(&document->spare);
    if (document->let_go != NULL)
        document->let_go(document->kept);
    free(document->blocks);
    free(document->title);
    document_init(document);
}

bool document_failed(const struct document *document)
{
    bool failed = document->failed;
    for (size_t i = 0; i < document->count; i++)
        failed = failed || (document->blocks[i]->kind == BLOCK_TABLE &&
                            table_failed(&document->blocks[i]->table));
    return failed;
}

static char *copy(struct document *document, const char *words)
{
    char *copied = string_copy(words);
    document->failed = document->failed || copied == NULL;
    return copied;
}

void document_title(struct document *document, const char *title)
{
    free(document->title);
    document->title = copy(document, title);
}

/* A block of the kind at the end; without memory the spare one. */
static struct block *add(struct document *document, enum block_kind kind)
{
    struct block **blocks = array_reserve(document->blocks, &document->room, document->count + 1,
                                          sizeof(struct block *));
    struct block *block = calloc(1, sizeof *block);
    if (blocks != NULL)
        document->blocks = blocks;
    if (blocks == NULL || block == NULL) {
        free(block);
        document->failed = true;
        clear_block(&document->spare);
        document->spare = (struct block){.kind = kind};
        text_init(&document->spare.table.cells);
        return &document->spare;
    }
    block->kind = kind;
    text_init(&block->table.cells);
    document->blocks[document->count++] = block;
    return block;
}

void document_words(struct document *document, enum block_kind kind, const char *words)
{
    struct block *block = add(document, kind);
    block->words = copy(document, words);
}

void document_lines(struct document *document, enum block_kind kind, struct text *lines)
{
    document->failed = document->failed || text_failed(lines);
    for (char *at = lines->bytes; *at != '\0';) {
        size_t length = strcspn(at, "\n");
        bool more = at[length] != '\0';
        if (more)
            at[length] = '\0';
        if (length > 0)
            document_words(document, kind, at);
        at += length + more;
    }
    text_free(lines);
}

void document_meaning(struct document *document, const char *term, const char *meaning)
{
    struct block *block = add(document, BLOCK_MEANING);
    block->words = copy(document, term);
    block->meaning = copy(document, meaning);
}

void document_figure(struct document *document, const struct document_figure *figure)
{
    add(document, BLOCK_FIGURE)->figure = *figure;
}

struct table *document_table(struct document *document, const char *name, const char *title,
                             const char *note, const struct column *columns, size_t column_count)
{
    struct table *table = &add(document, BLOCK_TABLE)->table;
    table_init(table, name, columns, column_count);
    table_set_words(table, title, note);
    return table;
}

/* "95% interval" becomes 95_interval. */
static void name_of(const char *heading, char *name, size_t size)
{
    size_t length = 0;
    for (; *heading != '\0' && length + 2 < size; heading++) {
        char c = *heading >= 'A' && *heading <= 'Z' ? (char)(*heading - 'A' + 'a') : *heading;
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
            name[length++] = c;
        else if (length > 0 && name[length - 1] != '_')
            name[length++] = '_';
    }
    if (length > 0 && name[length - 1] == '_')
        length--;
    name[length] = '\0';
}

struct table *document_results(struct document *document, const char *name, const char *title,
                               const char *note, const char *const *headings, size_t column_count)
{
    enum { MOST = 16, NAME_SIZE = 64 };
    struct column columns[MOST];
    char names[MOST][NAME_SIZE];
    assert(column_count <= MOST);
    for (size_t i = 0; i < column_count; i++) {
        name_of(headings[i], names[i], NAME_SIZE);
        columns[i] = (struct column){names[i], headings[i], i == 0 ? COLUMN_TEXT : COLUMN_FIGURE, 0,
                                     ""};
    }
    struct table *table = document_table(document, name, title, note, columns, column_count);
    table->missing = "\xe2\x80\x93";
    return table;
}

void document_keep(struct document *document, void *kept, void (*let_go)(void *kept))
{
    assert(document->let_go == NULL);
    document->kept = kept;
    document->let_go = let_go;
}
