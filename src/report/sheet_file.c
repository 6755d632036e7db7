#include "report/sheet_file.h"

#include "base/array.h"
#include "document/table_write.h"
#include "draw/font_face.h"
#include "report/report_parts.h"

#include <stdlib.h>

static const char language[] = "en";

/* A sheet is wider than a report; what it shows need not be printed twice. */
static const char wide[] = "body{max-width:80rem}figure svg{width:100%}\n"
                           "@media print{details{display:none}}\n";

enum { NARROW = 480 };

static int write_html(const struct output_figure *figures, size_t count, const struct table *table,
                      struct text *file, struct error *error)
{
    struct text css;
    struct text body;
    struct html html;
    text_init(&css);
    text_init(&body);
    html_init(&html, &body);
    text_append(&css, wide);
    /* Made for a phone it is not blown up on a larger screen. */
    if (picture_width(figures[0].picture) < NARROW)
        text_append_format(&css, "figure svg{max-width:%.0fpx}\n",
                           1.25 * picture_width(figures[0].picture));
    font_face_css(figures, count, &css);
    for (size_t i = 0; i < count; i++) {
        html_open(&html, "figure");
        html_line(&html);
        html_markup(&html, figures[i].svg->bytes);
        if (i == 0) {
            html_open(&html, "details");
            html_element(&html, "summary", table->title);
            html_line(&html);
            table_write_html(&html, table);
            html_close(&html);
        }
        html_close(&html);
        html_line(&html);
    }
    report_page(file, picture_title(figures[0].picture), &css, &body);
    text_free(&css);
    text_free(&body);
    return text_failed(file) ? error_memory(error) : ERROR_NONE;
}

static int write_form(const struct output_figure *figures, size_t count, const struct table *table,
                      const struct sheet_target *target, struct text *file, struct error *error)
{
    const struct output_words words = {.title = picture_title(figures[0].picture),
                                       .language = language};
    switch (target->form) {
    case SHEET_PNG: return output_png(&figures[0], target->scale, file, error);
    case SHEET_PDF: return output_pdf(figures, count, target->paper, &words, file, error);
    case SHEET_HTML: return write_html(figures, count, table, file, error);
    case SHEET_SVG: break;
    }
    return ERROR_NONE;
}

int sheet_write_all(struct picture *const *pictures, size_t count, const struct table *table,
                    const struct sheet_target *target, struct text *file, struct error *error)
{
    if (target->form == SHEET_SVG)
        return font_face_svg(pictures[0], target->theme, file, error);
    struct output_figure *figures = array_new(count, sizeof *figures);
    struct text *svgs = array_new(count, sizeof *svgs);
    int code = figures != NULL && svgs != NULL ? ERROR_NONE : error_memory(error);
    size_t made = 0;
    for (; code == ERROR_NONE && made < count; made++) {
        text_init(&svgs[made]);
        figures[made] = (struct output_figure){pictures[made], &svgs[made]};
        code = picture_write(pictures[made], target->theme, &svgs[made], error);
    }
    if (code == ERROR_NONE)
        code = write_form(figures, count, table, target, file, error);
    for (size_t i = 0; i < made; i++)
        text_free(&svgs[i]);
    free(svgs);
    free(figures);
    return code;
}

int sheet_write(struct picture *picture, const struct table *table,
                const struct sheet_target *target, struct text *file, struct error *error)
{
    return sheet_write_all(&picture, 1, table, target, file, error);
}
