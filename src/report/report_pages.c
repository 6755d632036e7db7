/* A report as pages. */
#include "base/array.h"
#include "draw/output.h"
#include "evidence/study_words.h"
#include "report/report_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A4 upright, in units of about a point. */
enum { PAGE_WIDTH = 640, PAGE_HEIGHT = 905, SIDE = 36, TOP = 40, BOTTOM = 56, PAGE_LIMIT = 200 };

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
    picture_word(picture, "Arithmetic about the past, not advice: trading can lose money.", small,
                 INK_SOFT, PRIORITY_HEADING, (struct spot){SIDE, PAGE_HEIGHT - 24, ALIGN_START},
                 PAGE_WIDTH - 2 * SIDE - 60);
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

/* Text with its own line ends, broken to the page, over pages if need be. */
static void set_text(struct pages *pages, const char *text, struct type type, double indent)
{
    struct line_context context = {pages, type, indent};
    while (*text != '\0' && !pages->failed) {
        size_t length = strcspn(text, "\n");
        char *raw = array_new(length + 1, 1);
        if (raw != NULL) {
            memcpy(raw, text, length);
            raw[length] = '\0';
        }
        char *clean = raw != NULL ? text_clean(raw) : NULL;
        if (clean == NULL)
            pages->failed = true;
        else if (length > 0)
            typesetter_wrap(pages->typesetter, type, clean, PAGE_WIDTH - 2 * SIDE - indent,
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

static void set_heading(struct pages *pages, const char *text)
{
    pages->y += 8;
    need(pages, 90);
    set_text(pages, text, heading, 0);
    pages->y += 4;
}

static void set_figure(struct pages *pages, const struct report_figure *figure, size_t number)
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

/* The widths that the cells of a table want, the first column cut to what the
 * others leave. */
static void measure_columns(struct pages *pages, const struct section *section, double *width)
{
    const char *cell = section->cells.bytes;
    double rest = PAGE_WIDTH - 2 * SIDE;
    for (size_t c = 0; c < section->column_count; c++)
        width[c] = 0;
    for (size_t r = 0; r <= section_rows(section); r++) {
        const char *row[SECTION_COLUMNS];
        cell = section_next_row(section, cell, row);
        for (size_t c = 0; c < section->column_count; c++)
            width[c] = fmax(width[c], typesetter_measure(pages->typesetter, small, row[c]).width);
    }
    for (size_t c = 1; c < section->column_count; c++) {
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

static void set_table(struct pages *pages, const struct section *section)
{
    double width[SECTION_COLUMNS];
    const char *cell = section->cells.bytes;
    set_heading(pages, section->title.bytes);
    measure_columns(pages, section, width);
    for (size_t r = 0; r <= section_rows(section); r++) {
        const char *row[SECTION_COLUMNS];
        cell = section_next_row(section, cell, row);
        set_cells(pages, row, width, section->column_count,
                  r == 0 ? (struct type){FACE_ITALIC, small.size} : small);
    }
    pages->y += 3;
    set_text(pages, section->note, small, 0);
}

static void set_making(struct pages *pages, const struct report_target *target)
{
    struct text text;
    set_heading(pages, "What the words mean");
    text_init(&text);
    for (size_t i = 0; report_definitions[i].term != NULL; i++) {
        text_clear(&text);
        text_append_format(&text, "%s: %s", report_definitions[i].term,
                           report_definitions[i].meaning);
        set_text(pages, text.bytes, small, 0);
    }
    for (size_t i = 0; i < target->setup_count; i++) {
        text_clear(&text);
        text_append_format(&text, "The setup %s", target->setups[i].name);
        set_heading(pages, text.bytes);
        set_text(pages, target->setups[i].text, small, 0);
    }
    set_heading(pages, "How this was made");
    text_clear(&text);
    report_making(&text, &target->facts);
    set_paragraph(pages, text.bytes, small);
    set_paragraph(pages, target->facts.command, small);
    set_paragraph(pages, study_caution, small);
    pages->failed = pages->failed || text_failed(&text);
    text_free(&text);
}

static int write_pages(const struct pages *pages, struct text *pdf, struct error *error)
{
    struct text *svg = array_new(pages->count, sizeof *svg);
    struct output_figure *figures = array_new(pages->count, sizeof *figures);
    const struct document document = {pages->title, "en"};
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

int report_pages(const struct report_target *target, const struct report *report,
                 struct error *error)
{
    struct pages pages = {.typesetter = target->typesetter, .title = report->title.bytes};
    turn_page(&pages);
    set_text(&pages, pages.title, title, 0);
    pages.y += 10;
    set_paragraph(&pages, report->opening.bytes, body);
    set_paragraph(&pages, study_caution, small);
    for (size_t i = 0; i < report->figure_count; i++)
        set_figure(&pages, &report->figures[i], i + 1);
    for (size_t s = 0; s < report->tables.count; s++)
        set_table(&pages, &report->tables.list[s]);
    set_making(&pages, target);
    int code = pages.failed ? error_memory(error) : write_pages(&pages, target->file, error);
    for (size_t i = 0; i < pages.count; i++)
        picture_free(pages.picture[i]);
    return code;
}
