/* A report as one HTML file. */
#include "document/document_write.h"
#include "draw/chart.h"
#include "draw/font_face.h"
#include "report/report_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIGURE_WIDTH = 720, FIGURE_MARGIN = 12 };

static const char head[] =
    "<meta charset=\"utf-8\">\n"
    "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
    "'unsafe-inline'; font-src data:\">\n"
    "<style>\n"
    ":root{color-scheme:light dark}\n"
    "body{font:16px/1.5 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;"
    "background:#fdfbf4;color:#1c1b19}\n"
    "h1{font-size:1.6rem;line-height:1.25}h2{font-size:1.15rem;margin-top:2.2rem}\n"
    "figure{margin:1.6rem 0}figcaption{font-size:.9rem;margin-top:.3rem}\n"
    "svg{max-width:100%;height:auto}\n"
    ".wide{overflow-x:auto}\n"
    "table{border-collapse:collapse;font-size:.88rem;font-variant-numeric:tabular-nums}\n"
    "th,td{padding:.15rem .7rem .15rem 0;text-align:right;vertical-align:top}\n"
    "th:first-child,td:first-child{text-align:left}\n"
    "thead th{border-bottom:1px solid;font-weight:600}\n"
    ".note,.small{font-size:.88rem}pre{overflow-x:auto;font-size:.82rem}\n"
    ".answer{font-size:1.3rem;line-height:1.35;margin:.6rem 0}.comes{font-weight:600}.opening{font-size:1.05rem}dt{font-weight:600}td.word,th.word{text-align:left}\n"
    "@media screen and (prefers-color-scheme:dark){body{background:#1b1a17;color:#ebe8e1}}\n"
    "@media print{body{max-width:none;margin:0;background:#fff;color:#000}h2,figure,tr{break-inside:avoid}}\n"
    "</style>\n";

/* The pictures of a page, whose letters it has to bring along. */
struct pictures {
    struct typesetter *typesetter;
    struct picture **list;
    size_t count;
};

static int draw_figure(void *context, const struct document_figure *figure, size_t number,
                       struct text *svg, struct error *error)
{
    struct pictures *pictures = context;
    char prefix[32];
    double height = figure->height + 2 * FIGURE_MARGIN;
    snprintf(prefix, sizeof prefix, "f%zu", number);
    struct picture *picture = picture_new(pictures->typesetter, FIGURE_WIDTH, height, prefix);
    if (picture == NULL)
        return error_memory(error);
    pictures->list[pictures->count++] = picture;
    picture_describe(picture, figure->title, figure->description);
    const struct chart chart = {.picture = picture,
                                .box = {FIGURE_MARGIN, FIGURE_MARGIN, FIGURE_WIDTH - FIGURE_MARGIN,
                                        height - FIGURE_MARGIN}};
    figure->draw(&chart, figure->data);
    return picture_write(picture, THEME_AUTO, svg, error);
}

static int append_letters(struct text *css, const struct pictures *pictures, struct error *error)
{
    struct output_figure *output = calloc(pictures->count + 1, sizeof *output);
    if (output == NULL)
        return error_memory(error);
    for (size_t i = 0; i < pictures->count; i++)
        output[i].picture = pictures->list[i];
    if (pictures->count > 0)
        font_face_css(output, pictures->count, css);
    free(output);
    return ERROR_NONE;
}

void report_page(struct text *page, const char *title, const struct text *css,
                 const struct text *body)
{
    struct html html;
    html_init(&html, page);
    html_markup(&html, "<!DOCTYPE html>\n");
    html_open(&html, "html");
    html_attribute(&html, "lang", "en");
    html_line(&html);
    html_open(&html, "head");
    html_line(&html);
    html_markup(&html, head);
    html_open(&html, "style");
    html_markup(&html, css->bytes);
    html_close(&html);
    html_line(&html);
    html_element(&html, "title", title);
    html_line(&html);
    html_close(&html);
    html_line(&html);
    html_open(&html, "body");
    html_line(&html);
    html_markup(&html, body->bytes);
    html_close_all(&html, 2);
    html_line(&html);
    page->failed = page->failed || text_failed(css) || text_failed(body);
}

int report_html(const struct report_target *target, const struct document *document,
                const struct document *end, struct error *error)
{
    struct pictures pictures = {.typesetter = target->typesetter};
    struct text css;
    struct text body;
    struct html html;
    text_init(&css);
    text_init(&body);
    html_init(&html, &body);
    pictures.list = calloc(document->count + 1, sizeof *pictures.list);
    int code = pictures.list == NULL ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        code = document_write_html(&html, document, draw_figure, &pictures, error);
    if (code == ERROR_NONE)
        code = document_write_html(&html, end, NULL, NULL, error);
    if (code == ERROR_NONE)
        code = append_letters(&css, &pictures, error);
    if (code == ERROR_NONE)
        report_page(target->file, document->title, &css, &body);
    if (code == ERROR_NONE && text_failed(target->file))
        code = error_memory(error);
    for (size_t i = 0; i < pictures.count; i++)
        picture_free(pictures.list[i]);
    free(pictures.list);
    text_free(&css);
    text_free(&body);
    return code;
}
