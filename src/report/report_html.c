/* A report as one HTML file. */
#include "base/array.h"
#include "draw/font_face.h"
#include "evidence/study_words.h"
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
    ".opening{font-size:1.05rem}\n"
    "@media screen and (prefers-color-scheme:dark){body{background:#1b1a17;color:#ebe8e1}}\n"
    "@media print{body{max-width:none;margin:0;background:#fff;color:#000}h2,figure,tr{break-inside:avoid}}\n"
    "</style>\n";

static void paragraphs(struct text *html, const char *text, const char *class)
{
    while (*text != '\0') {
        size_t length = strcspn(text, "\n");
        char *line = array_new(length + 1, 1);
        if (line == NULL) {
            html->failed = true;
            return;
        }
        memcpy(line, text, length);
        line[length] = '\0';
        if (length > 0) {
            text_append_format(html, "<p class=\"%s\">", class);
            text_append_xml(html, line);
            text_append(html, "</p>\n");
        }
        free(line);
        text += length + (text[length] == '\n');
    }
}

static int draw_figure(const struct report_figure *figure, size_t number, struct text *svg,
                       struct picture **picture, struct typesetter *typesetter, struct error *error)
{
    char prefix[32];
    double height = figure->height + 2 * FIGURE_MARGIN;
    snprintf(prefix, sizeof prefix, "f%zu", number);
    *picture = picture_new(typesetter, FIGURE_WIDTH, height, prefix);
    if (*picture == NULL)
        return error_memory(error);
    picture_describe(*picture, figure->title, figure->description);
    const struct chart chart = {.picture = *picture,
                                .box = {FIGURE_MARGIN, FIGURE_MARGIN, FIGURE_WIDTH - FIGURE_MARGIN,
                                        height - FIGURE_MARGIN}};
    figure->draw(&chart, figure->data);
    return picture_write(*picture, THEME_AUTO, svg, error);
}

/* The figures as they stand in the page, and the letters they need as CSS. */
static int figures(struct text *html, struct text *css, const struct report *report,
                   struct typesetter *typesetter, struct error *error)
{
    size_t count = report->figure_count;
    struct picture **pictures = calloc(count + 1, sizeof *pictures);
    struct output_figure *output = calloc(count + 1, sizeof *output);
    int code = pictures == NULL || output == NULL ? error_memory(error) : ERROR_NONE;
    if (count > 0)
        text_append(html, "<h2>Figures</h2>\n");
    for (size_t i = 0; i < count && code == ERROR_NONE; i++) {
        text_append(html, "<figure>\n");
        code = draw_figure(&report->figures[i], i + 1, html, &pictures[i], typesetter, error);
        text_append_format(html, "<figcaption><b>Figure %zu.</b> ", i + 1);
        text_append_xml(html, report->figures[i].caption);
        text_append(html, "</figcaption>\n</figure>\n");
        output[i].picture = pictures[i];
    }
    if (code == ERROR_NONE && count > 0)
        font_face_css(output, count, css);
    for (size_t i = 0; pictures != NULL && i < count; i++)
        picture_free(pictures[i]);
    free(pictures);
    free(output);
    return code;
}

static void table(struct text *html, const struct section *section)
{
    const char *cell = section->cells.bytes;
    text_append(html, "<h2>");
    text_append_xml(html, section->title.bytes);
    text_append(html, "</h2>\n<div class=\"wide\"><table>\n");
    for (size_t r = 0; r <= section_rows(section); r++) {
        const char *row[SECTION_COLUMNS];
        cell = section_next_row(section, cell, row);
        text_append(html, r == 0 ? "<thead><tr>" : "<tr>");
        for (size_t c = 0; c < section->column_count; c++) {
            const char *kind = r == 0 ? "th scope=\"col\"" : c == 0 ? "th scope=\"row\"" : "td";
            text_append_format(html, "<%s>", kind);
            text_append_xml(html, row[c]);
            text_append(html, r == 0 || c == 0 ? "</th>" : "</td>");
        }
        text_append(html, r == 0 ? "</tr></thead>\n<tbody>\n" : "</tr>\n");
    }
    text_append(html, "</tbody></table></div>\n<p class=\"note\">");
    text_append_xml(html, section->note);
    text_append(html, "</p>\n");
}

static void definitions(struct text *html)
{
    text_append(html, "<h2>What the words mean</h2>\n<dl class=\"small\">\n");
    for (size_t i = 0; report_definitions[i].term != NULL; i++) {
        text_append(html, "<dt><b>");
        text_append_xml(html, report_definitions[i].term);
        text_append(html, "</b></dt><dd>");
        text_append_xml(html, report_definitions[i].meaning);
        text_append(html, "</dd>\n");
    }
    text_append(html, "</dl>\n");
}

static void making(struct text *html, const struct report_target *target)
{
    struct text made;
    for (size_t i = 0; i < target->setup_count; i++) {
        text_append(html, "<h2>The setup ");
        text_append_xml(html, target->setups[i].name);
        text_append(html, "</h2>\n<pre>");
        text_append_xml(html, target->setups[i].text);
        text_append(html, "</pre>\n");
    }
    text_init(&made);
    report_making(&made, &target->facts);
    text_append(html, "<h2>How this was made</h2>\n<p class=\"small\">");
    text_append_xml(html, made.bytes);
    text_append(html, "</p>\n<pre>");
    text_append_xml(html, target->facts.command);
    text_append(html, "</pre>\n<p class=\"small\">");
    text_append_xml(html, study_caution);
    text_append(html, "</p>\n");
    html->failed = html->failed || text_failed(&made);
    text_free(&made);
}

int report_html(const struct report_target *target, const struct report *report,
                struct error *error)
{
    struct text *html = target->file;
    struct text css;
    struct text shown;
    text_init(&css);
    text_init(&shown);
    int code = figures(&shown, &css, report, target->typesetter, error);
    text_append(html, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n");
    text_append(html, head);
    text_append(html, "<style>\n");
    text_append_bytes(html, css.bytes, css.length);
    text_append(html, "</style>\n<title>");
    text_append_xml(html, report->title.bytes);
    text_append(html, "</title>\n</head>\n<body>\n<h1>");
    text_append_xml(html, report->title.bytes);
    text_append(html, "</h1>\n");
    paragraphs(html, report->opening.bytes, "opening");
    text_append(html, "<p class=\"small\">");
    text_append_xml(html, study_caution);
    text_append(html, "</p>\n");
    text_append_bytes(html, shown.bytes, shown.length);
    for (size_t s = 0; s < report->tables.count; s++)
        table(html, &report->tables.list[s]);
    definitions(html);
    making(html, target);
    text_append(html, "</body>\n</html>\n");
    if (code == ERROR_NONE && (text_failed(html) || text_failed(&css) || text_failed(&shown)))
        code = error_memory(error);
    text_free(&css);
    text_free(&shown);
    return code;
}
