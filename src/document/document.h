/* An answer as a document: sentences, tables and figures in their order, once
 * for every door. The writers make text, HTML (document/document_write.h) and
 * pages (report/report.h) of it.
 *
 * Adding never fails before document_failed is asked. Words are copied. */
#ifndef RUSHLIGHT_DOCUMENT_DOCUMENT_H
#define RUSHLIGHT_DOCUMENT_DOCUMENT_H

#include "document/table.h"

struct chart;

/* A figure; its words and what it draws from are borrowed, unless the document
 * is given them to keep. Only who draws it needs to know what a chart is. */
struct document_figure {
    const char *title;       /* for a screen reader */
    const char *description; /* likewise: what is to be seen */
    const char *caption;
    double height;
    void (*draw)(const struct chart *chart, const void *data);
    const void *data;
};

enum block_kind {
    BLOCK_HEADING,
    BLOCK_HEADLINE,  /* what the answer comes to, above it */
    BLOCK_ANSWER,    /* the answer itself, a sentence each: first, and large */
    BLOCK_OPENING,   /* what can be said, before all else */
    BLOCK_PARAGRAPH, /* what stands between and below */
    BLOCK_NOTE,      /* small print, for files and pages only */
    BLOCK_CAUTION,   /* in a text all of them come last, each once */
    BLOCK_MEANING,   /* a term and what it means, for files and pages only */
    BLOCK_VERBATIM,  /* lines as they stand, for files and pages only */
    BLOCK_TABLE,
    BLOCK_FIGURE /* for files and pages only */
};

struct block {
    enum block_kind kind;
    char *words;
    char *meaning; /* of BLOCK_MEANING */
    struct table table;
    struct document_figure figure;
};

struct document {
    char *title; /* of the file or page; a text does without; may be NULL */
    struct block **blocks;
    size_t count;
    size_t room;
    struct block spare; /* stands in for what there was no memory for */
    void *kept;
    void (*let_go)(void *kept);
    bool failed;
};

void document_init(struct document *document);
/* Also right for all zeroes. */
void document_clear(struct document *document);
bool document_failed(const struct document *document);

void document_title(struct document *document, const char *title);
void document_words(struct document *document, enum block_kind kind, const char *words);
/* A block for each line that is not empty; where the text failed, so does the
 * document. Frees the text. */
void document_lines(struct document *document, enum block_kind kind, struct text *lines);
void document_meaning(struct document *document, const char *term, const char *meaning);
void document_figure(struct document *document, const struct document_figure *figure);

/* A table under a title and above a note, to be filled by the caller; it stays
 * where it is while the document grows. */
struct table *document_table(struct document *document, const char *name, const char *title,
                             const char *note, const struct column *columns, size_t column_count);
/* The same of results: words in the first column, figures in the others, a dash
 * for what is missing. Names are made of the headings. */
struct table *document_results(struct document *document, const char *name, const char *title,
                               const char *note, const char *const *headings, size_t column_count);

/* Hands over what the figures draw from; let go with the document. Once only. */
void document_keep(struct document *document, void *kept, void (*let_go)(void *kept));

#endif
