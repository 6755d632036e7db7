#include "report/study_report.h"

#include "base/array.h"
#include "report/study_figures.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIGURE_WIDTH = 720, FIGURE_MARGIN = 12 };

/* A report that is being written. */
struct writing {
    struct text *html;
    const struct study *study;
    struct typesetter *typesetter;
    size_t figures;
    struct error *error;
};

static const char head[] =
    "<meta charset=\"utf-8\">\n"
    "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
    "'unsafe-inline'\">\n"
    "<style>\n"
    ":root{color-scheme:light dark}\n"
    "body{font:16px/1.5 Lato,Carlito,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem}\n"
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
    "@media print{body{max-width:none;margin:0}h2,figure,tr{break-inside:avoid}}\n"
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

static int figure(struct writing *writing, const struct study_figure *shown,
                  const struct figure_data *data)
{
    char prefix[16];
    double height = shown->height(data) + 2 * FIGURE_MARGIN;
    snprintf(prefix, sizeof prefix, "f%zu", ++writing->figures);
    struct picture *picture = picture_new(writing->typesetter, FIGURE_WIDTH, height, prefix);
    if (picture == NULL)
        return error_memory(writing->error);
    picture_describe(picture, shown->title, shown->description);
    shown->draw(data, picture,
                (struct box){FIGURE_MARGIN, FIGURE_MARGIN, FIGURE_WIDTH - FIGURE_MARGIN,
                             height - FIGURE_MARGIN});
    text_append(writing->html, "<figure>\n");
    int code = picture_write(picture, THEME_AUTO, writing->html, writing->error);
    picture_free(picture);
    text_append_format(writing->html, "<figcaption><b>Figure %zu.</b> ", writing->figures);
    text_append_xml(writing->html, shown->caption);
    text_append(writing->html, "</figcaption>\n</figure>\n");
    return code;
}

static int figures(struct writing *writing)
{
    struct figure_data data;
    text_append(writing->html, "<h2>Figures</h2>\n");
    int code = figure_data_init(&data, writing->study, writing->error);
    for (size_t i = 0; study_figures[i].title != NULL && code == ERROR_NONE; i++)
        code = figure(writing, &study_figures[i], &data);
    figure_data_free(&data);
    return code;
}

static void table(struct text *html, const struct study_section *section)
{
    const char *cell = section->cells.bytes;
    text_append(html, "<h2>");
    text_append_xml(html, section->title);
    text_append(html, "</h2>\n<div class=\"wide\"><table>\n<thead><tr>");
    for (size_t c = 0; c < section->column_count; c++) {
        text_append(html, "<th scope=\"col\">");
        text_append_xml(html, section->columns[c]);
        text_append(html, "</th>");
    }
    text_append(html, "</tr></thead>\n<tbody>\n");
    for (size_t r = 0; r < section->row_count; r++) {
        text_append(html, "<tr>");
        for (size_t c = 0; c < section->column_count; c++) {
            text_append(html, c == 0 ? "<th scope=\"row\">" : "<td>");
            text_append_xml(html, cell);
            text_append(html, c == 0 ? "</th>" : "</td>");
            cell += strlen(cell) + 1;
        }
        text_append(html, "</tr>\n");
    }
    text_append(html, "</tbody></table></div>\n<p class=\"note\">");
    text_append_xml(html, section->note);
    text_append(html, "</p>\n");
}

static int tables(struct writing *writing)
{
    struct study_sections sections;
    int code = study_sections_init(&sections, writing->study, writing->error);
    for (size_t s = 0; code == ERROR_NONE && s < sections.count; s++)
        table(writing->html, &sections.list[s]);
    study_sections_free(&sections);
    return code;
}

static void making(struct text *html, const struct report_facts *facts)
{
    text_append(html, "<h2>What the words mean</h2>\n<dl class=\"small\">\n");
    for (size_t i = 0; report_definitions[i].term != NULL; i++) {
        text_append(html, "<dt><b>");
        text_append_xml(html, report_definitions[i].term);
        text_append(html, "</b></dt><dd>");
        text_append_xml(html, report_definitions[i].meaning);
        text_append(html, "</dd>\n");
    }
    text_append(html, "</dl>\n<h2>The setup</h2>\n<pre>");
    text_append_xml(html, facts->setup_text);
    text_append(html, "</pre>\n<h2>How this was made</h2>\n<p class=\"small\">");
    text_append_format(html,
                       "rushlight %s, seed %llu, %zu resamples of dates. Data (XXH128 of names and "
                       "bars): <code>%s</code>. The same again:</p>\n<pre>",
                       facts->version, (unsigned long long)facts->seed, facts->resamples,
                       facts->data_hash);
    text_append_xml(html, facts->command);
    text_append(html, "</pre>\n<p class=\"small\">");
    text_append_xml(html, study_caution);
    text_append(html, "</p>\n");
}

int study_report_html(struct text *html, const struct study *study, const struct setup *setup,
                      const struct study_tries *tries, const struct report_facts *facts,
                      struct typesetter *typesetter, struct error *error)
{
    struct writing writing = {.html = html,
                              .study = study,
                              .typesetter = typesetter,
                              .error = error};
    struct text opening;
    const char *title = setup->title != NULL ? setup->title : setup->name;
    text_append(html, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n");
    text_append(html, head);
    text_append(html, "<title>");
    text_append_xml(html, title);
    text_append(html, ": the evidence</title>\n</head>\n<body>\n<h1>");
    text_append_xml(html, title);
    text_append(html, ": the evidence</h1>\n");
    text_init(&opening);
    study_opening(&opening, study, setup, tries);
    paragraphs(html, opening.bytes, "opening");
    int code = text_failed(&opening) ? error_memory(error) : ERROR_NONE;
    text_free(&opening);
    text_append(html, "<p class=\"small\">");
    text_append_xml(html, study_caution);
    text_append(html, "</p>\n");
    if (code == ERROR_NONE && study->closed > 0)
        code = figures(&writing);
    if (code == ERROR_NONE)
        code = tables(&writing);
    making(html, facts);
    text_append(html, "</body>\n</html>\n");
    if (code == ERROR_NONE && text_failed(html))
        code = error_memory(error);
    return code;
}
