#include "report/sheet_file.h"

#include "document/table_write.h"
#include "draw/font_face.h"
#include "report/report_parts.h"

static const char language[] = "en";

/* A sheet is wider than a report; what it shows need not be printed twice. */
static const char wide[] = "body{max-width:80rem}figure svg{width:100%}\n"
                           "@media print{details{display:none}}\n";

static int write_html(const struct output_figure *figure, const struct table *table,
                      struct text *file, struct error *error)
{
    struct text css;
    struct text body;
    struct html html;
    text_init(&css);
    text_init(&body);
    html_init(&html, &body);
    text_append(&css, wide);
    font_face_css(figure, 1, &css);
    html_open(&html, "figure");
    html_line(&html);
    html_markup(&html, figure->svg->bytes);
    html_open(&html, "details");
    html_element(&html, "summary", table->title);
    html_line(&html);
    table_write_html(&html, table);
    html_close_all(&html, 2);
    html_line(&html);
    report_page(file, picture_title(figure->picture), &css, &body);
    text_free(&css);
    text_free(&body);
    return text_failed(file) ? error_memory(error) : ERROR_NONE;
}

int sheet_write(struct picture *picture, const struct table *table,
                const struct sheet_target *target, struct text *file, struct error *error)
{
    struct text svg;
    text_init(&svg);
    const struct output_figure figure = {picture, &svg};
    const struct output_words words = {picture_title(picture), language};
    int code = picture_write(picture, target->theme, &svg, error);
    if (code == ERROR_NONE)
        switch (target->form) {
        case SHEET_SVG:
            text_append_bytes(file, svg.bytes, svg.length);
            code = text_failed(file) ? error_memory(error) : ERROR_NONE;
            break;
        case SHEET_PNG: code = output_png(&figure, target->scale, file, error); break;
        case SHEET_PDF: code = output_pdf(&figure, 1, target->paper, &words, file, error); break;
        case SHEET_HTML: code = write_html(&figure, table, file, error); break;
        }
    text_free(&svg);
    return code;
}
