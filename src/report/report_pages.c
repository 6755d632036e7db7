/* A report as pages. */
#include "base/array.h"
#include "document/cautions.h"
#include "document/paragraph.h"
#include "draw/chart.h"
#include "draw/output.h"
#include "report/report_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A4 upright, in units of about a point. */
enum {
    PAGE_WIDTH = 640,
    PAGE_HEIGHT = 905,
    SIDE = 36,
    TOP = 40,
    BOTTOM = 56,
    PAGE_LIMIT = 200,
    HEADING_LIMIT = 100
};

static const struct type headline = {FACE_BOLD, 15};
static const struct type answer = {FACE_REGULAR, 15};
static const struct type body = {FACE_REGULAR, 11};
static const struct type small = {FACE_REGULAR, 9};
static const struct type heading = {FACE_BOLD, 13};
static const struct type title = {FACE_BOLD, 19};

struct pages {
    struct typesetter *typesetter;
    struct picture *picture[PAGE_LIMIT];
    size_t count;
    double y; /* where the next block begins */
    const char *title;
    struct output_bookmark bookmarks[HEADING_LIMIT];
    size_t bookmark_count;
    bool failed;
};

static double bottom(void)
{
    return PAGE_HEIGHT - BOTTOM;
}

static struct picture *page(const struct pages *pages)
{
    return pages->picture[pages->count - 1];
}

static void turn_page(struct pages *pages)
{
    char prefix[16];
    char number[32];
    if (pages->count == PAGE_LIMIT) {
        pages->failed = true;
        return;
    }
    snprintf(prefix, sizeof prefix, "p%zu", pages->count + 1);
    snprintf(number, sizeof number, "%zu", pages->count + 1);
    struct picture *picture = picture_new(pages->typesetter, PAGE_WIDTH, PAGE_HEIGHT, prefix);
    if (picture == NULL) {
        pages->failed = true;
        return;
    }
    pages->picture[pages->count++] = picture;
    pages->y = TOP;
    picture_describe(picture, pages->title, "A page of a report.");
    picture_word(picture, number, small, INK_SOFT, PRIORITY_HEADING,
                 (struct spot){PAGE_WIDTH - SIDE, PAGE_HEIGHT - 24, ALIGN_END}, 0);
    picture_word(picture, caution_short, small, INK_SOFT, PRIORITY_HEADING,
                 (struct spot){SIDE, PAGE_HEIGHT - 24, ALIGN_START}, PAGE_WIDTH - 2 * SIDE - 60);
}

/* Turns the page where the rest of it is too short for a block. */
static void need(struct pages *pages, double height)
{
    if (pages->y + height > bottom() && pages->y > TOP)
        turn_page(pages);
}

/* One line, as typesetter_wrap hands it over. */
struct line_context {
    struct pages *pages;
    struct type type;
    double indent;
};

static int set_line(void *context, const char *text)
{
    struct line_context *line = context;
    struct pages *pages = line->pages;
    double leading = type_leading(line->type);
    need(pages, leading);
    if (pages->failed)
        return 1;
    picture_word(page(pages), text, line->type, INK_MAIN, PRIORITY_TABLE,
                 (struct spot){SIDE + line->indent, pages->y + line->type.size, ALIGN_START}, 0);
    pages->y += leading;
    return 0;
}

/* The room that the spaces before a line's first word take: a figure's width
 * each, so that what is nested stays so. */
static double indent_of(struct pages *pages, const char *line, struct type type)
{
    return (double)strspn(line, " ") * typesetter_measure(pages->typesetter, type, "0").width;
}

/* Text with its own line ends and indentation, broken to the page, over pages if
 * need be. */
static void set_text(struct pages *pages, const char *text, struct type type, double indent)
{
    while (*text != '\0' && !pages->failed) {
        size_t length = strcspn(text, "\n");
        char *raw = array_new(length + 1, 1);
        if (raw != NULL) {
            memcpy(raw, text, length);
            raw[length] = '\0';
        }
        char *clean = raw != NULL ? text_clean(raw + strspn(raw, " ")) : NULL;
        double nested = indent + fmin(indent_of(pages, text, type), PAGE_WIDTH / 3.0);
        struct line_context context = {pages, type, nested};
        if (clean == NULL)
            pages->failed = true;
        else if (length > 0)
            typesetter_wrap(pages->typesetter, type, clean, PAGE_WIDTH - 2 * SIDE - nested,
                            set_line, &context);
        free(raw);
        free(clean);
        text += length + (text[length] == '\n');
    }
}

/* Long text in pieces that text_clean takes whole: sentence by sentence run
 * together again by the wrapping of each paragraph. */
static void set_paragraph(struct pages *pages, const char *text, struct type type)
{
    enum { PIECE = 560 };
    char piece[PIECE + 1];
    while (*text != '\0' && !pages->failed) {
        size_t length = strcspn(text, "\n");
        size_t taken = length;
        if (length > PIECE) {
            taken = PIECE;
            while (taken > PIECE / 2 && !(text[taken - 1] == ' ' && text[taken - 2] == '.'))
                taken--;
        }
        memcpy(piece, text, taken);
        piece[taken] = '\0';
        set_text(pages, piece, type, 0);
        text += taken;
        if (*text == '\n') {
            text++;
            pages->y += 6;
        }
    }
    pages->y += 8;
}

/* The words of a heading outlive the pages. */
static void mark_heading(struct pages *pages, const char *text)
{
    if (pages->bookmark_count < HEADING_LIMIT && pages->count > 0)
        pages->bookmarks[pages->bookmark_count++] = (struct output_bookmark){text, pages->count - 1,
                                                                             pages->y};
}

static void set_heading(struct pages *pages, const char *text)
{
    pages->y += 8;
    need(pages, 90);
    mark_heading(pages, text);
    set_text(pages, text, heading, 0);
    pages->y += 4;
}

static void set_figure(struct pages *pages, const struct document_figure *figure, size_t number)
{
    struct text caption;
    need(pages, figure->height + 44);
    if (pages->failed)
        return;
    const struct chart chart = {.picture = page(pages),
                                .box = {SIDE, pages->y, PAGE_WIDTH - SIDE,
                                        pages->y + figure->height}};
    figure->draw(&chart, figure->data);
    pages->y += figure->height + 8;
    text_init(&caption);
    text_append_format(&caption, "Figure %zu. %s", number, figure->caption);
    set_text(pages, caption.bytes, small, 0);
    text_free(&caption);
    pages->y += 18;
}

/* The cells of a table as words, the headings first. */
struct words {
    struct text text; /* each ended by NUL */
    const char **cells;
    size_t columns;
    size_t rows;
};

static bool gather_words(struct words *words, const struct table *table)
{
    struct table_walk walk;
    struct cell cell;
    struct text plain;
    size_t count = (table->held + 1) * table->column_count;
    *words = (struct words){.columns = table->column_count, .rows = table->held + 1};
    text_init(&words->text);
    for (size_t c = 0; c < table->column_count; c++)
        text_append_bytes(&words->text, table->columns[c].title,
                          strlen(table->columns[c].title) + 1);
    table_walk(&walk, table);
    text_init(&plain);
    while (table_next(&walk, &cell)) {
        text_clear(&plain);
        cell_words(&plain, &cell, table, walk.column);
        text_append_prose(&words->text, plain.bytes);
        text_append_char(&words->text, '\0');
        words->text.failed = words->text.failed || text_failed(&plain);
    }
    text_free(&plain);
    words->cells = array_new(count, sizeof *words->cells);
    const char *at = words->text.bytes;
    for (size_t i = 0; words->cells != NULL && !text_failed(&words->text) && i < count; i++) {
        words->cells[i] = at;
        at += strlen(at) + 1;
    }
    return words->cells != NULL && !text_failed(&words->text);
}

/* The widths that the cells of a table want, the first column cut to what the
 * others leave. */
static void measure_columns(struct pages *pages, const struct words *words, double *width)
{
    double rest = PAGE_WIDTH - 2 * SIDE;
    for (size_t c = 0; c < words->columns; c++)
        width[c] = 0;
    for (size_t i = 0; i < words->rows * words->columns; i++) {
        double wanted = typesetter_measure(pages->typesetter, small, words->cells[i]).width;
        width[i % words->columns] = fmax(width[i % words->columns], wanted);
    }
    for (size_t c = 1; c < words->columns; c++) {
        width[c] += 10;
        rest -= width[c];
    }
    width[0] = fmin(width[0] + 10, fmax(rest, 80));
}

static void set_cells(struct pages *pages, const char *const *cells, const double *width,
                      size_t count, struct type type)
{
    double right = SIDE;
    need(pages, type_leading(type));
    if (pages->failed)
        return;
    for (size_t c = 0; c < count; c++) {
        right += width[c];
        struct spot spot = {c == 0 ? SIDE : right, pages->y + type.size,
                            c == 0 ? ALIGN_START : ALIGN_END};
        if (cells[c][0] != '\0')
            picture_word(page(pages), cells[c], type, INK_MAIN, PRIORITY_TABLE, spot, width[c] - 4);
    }
    pages->y += type_leading(type);
}

static void set_table(struct pages *pages, const struct table *table)
{
    struct words words;
    double *width = array_new(table->column_count, sizeof *width);
    set_heading(pages, table->title);
    if (!gather_words(&words, table) || width == NULL) {
        pages->failed = true;
    } else {
        measure_columns(pages, &words, width);
        for (size_t r = 0; r < words.rows; r++)
            set_cells(pages, words.cells + r * words.columns, width, words.columns,
                      r == 0 ? (struct type){FACE_ITALIC, small.size} : small);
    }
    pages->y += 3;
    if (table->note != NULL)
        set_text(pages, table->note, small, 0);
    text_free(&words.text);
    free(words.cells);
    free(width);
}

static void set_meaning(struct pages *pages, const struct block *block)
{
    struct text text;
    text_init(&text);
    text_append_format(&text, "%s: %s", block->words, block->meaning);
    set_text(pages, text.bytes, small, 0);
    pages->failed = pages->failed || text_failed(&text);
    text_free(&text);
}

/* Sentences of an answer, with true minus signs. */
static void set_prose(struct pages *pages, const char *words, struct type type)
{
    struct text text;
    text_init(&text);
    text_append_prose(&text, words);
    set_paragraph(pages, text.bytes, type);
    pages->failed = pages->failed || text_failed(&text);
    text_free(&text);
}

static void set_blocks(struct pages *pages, const struct document *document)
{
    size_t figures = 0;
    for (size_t i = 0; i < document->count && !pages->failed; i++) {
        const struct block *block = document->blocks[i];
        switch (block->kind) {
        case BLOCK_HEADING: set_heading(pages, block->words); break;
        case BLOCK_HEADLINE: set_prose(pages, block->words, headline); break;
        case BLOCK_ANSWER: set_prose(pages, block->words, answer); break;
        case BLOCK_OPENING:
        case BLOCK_PARAGRAPH: set_prose(pages, block->words, body); break;
        case BLOCK_NOTE:
        case BLOCK_CAUTION: set_prose(pages, block->words, small); break;
        case BLOCK_VERBATIM: set_text(pages, block->words, small, 0); break;
        case BLOCK_MEANING: set_meaning(pages, block); break;
        case BLOCK_TABLE: set_table(pages, &block->table); break;
        case BLOCK_FIGURE: set_figure(pages, &block->figure, ++figures); break;
        }
    }
}

static int write_pages(const struct pages *pages, struct text *pdf, struct error *error)
{
    struct text *svg = array_new(pages->count, sizeof *svg);
    struct output_figure *figures = array_new(pages->count, sizeof *figures);
    const struct output_words document = {.title = pages->title,
                                          .language = "en",
                                          .bookmarks = pages->bookmarks,
                                          .bookmark_count = pages->bookmark_count};
    int code = svg == NULL || figures == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; svg != NULL && i < pages->count; i++)
        text_init(&svg[i]);
    for (size_t i = 0; i < pages->count && code == ERROR_NONE; i++) {
        code = picture_write(pages->picture[i], THEME_LIGHT, &svg[i], error);
        figures[i] = (struct output_figure){pages->picture[i], &svg[i]};
    }
    if (code == ERROR_NONE)
        code = output_pdf(figures, pages->count, PAPER_A4, &document, pdf, error);
    for (size_t i = 0; svg != NULL && i < pages->count; i++)
        text_free(&svg[i]);
    free(svg);
    free(figures);
    return code;
}

int report_pages(const struct report_target *target, const struct document *document,
                 const struct document *end, struct error *error)
{
    struct pages pages = {.typesetter = target->typesetter, .title = document->title};
    turn_page(&pages);
    mark_heading(&pages, pages.title);
    set_text(&pages, pages.title, title, 0);
    pages.y += 10;
    set_blocks(&pages, document);
    set_blocks(&pages, end);
    int code = pages.failed ? error_memory(error) : write_pages(&pages, target->file, error);
    for (size_t i = 0; i < pages.count; i++)
        picture_free(pages.picture[i]);
    return code;
}
