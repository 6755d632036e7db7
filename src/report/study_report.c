#include "report/study_report.h"

#include "base/array.h"
#include "report/plot.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static struct plot begin_figure(struct writing *writing, char prefix[16], const char *title,
                                const char *unit, const char *description)
{
    snprintf(prefix, 16, "f%zu", ++writing->figures);
    text_append(writing->html, "<figure>\n");
    return (struct plot){.typesetter = writing->typesetter,
                         .theme = THEME_AUTO,
                         .prefix = prefix,
                         .title = title,
                         .description = description,
                         .unit = unit,
                         .width = 720};
}

static void end_figure(struct writing *writing, const char *caption)
{
    text_append_format(writing->html, "<figcaption><b>Figure %zu.</b> ", writing->figures);
    text_append_xml(writing->html, caption);
    text_append(writing->html, "</figcaption>\n</figure>\n");
}

static int figure_results(struct writing *writing, const struct closed_trades *closed)
{
    char prefix[16];
    char mark[64];
    struct plot plot = begin_figure(writing, prefix, "Results of the trades", "R after costs",
                                    "A histogram of the results in R with a rule at their mean.");
    snprintf(mark, sizeof mark, "mean %+.2f", writing->study->mean_r.value);
    int code = plot_histogram(writing->html, &plot, closed->r, closed->count,
                              writing->study->mean_r.value, mark, writing->error);
    end_figure(writing, "What the trades made, each in units of the risk taken. One lucky trade is one "
                        "of these bars.");
    return code;
}

struct ordered {
    int64_t time;
    size_t place;
    double r;
};

static int by_exit(const void *a, const void *b)
{
    const struct ordered *x = a;
    const struct ordered *y = b;
    if (x->time != y->time)
        return (x->time > y->time) - (x->time < y->time);
    return (x->place > y->place) - (x->place < y->place);
}

static int figure_cumulated(struct writing *writing)
{
    char prefix[16];
    const struct study *study = writing->study;
    struct ordered *order = array_new(study->closed, sizeof *order);
    double *values = array_new(study->closed, sizeof *values);
    size_t count = 0;
    int code = order == NULL || values == NULL ? error_memory(writing->error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < study->filled; i++)
        if (!isnan(study->trades[i].r))
            order[count++] = (struct ordered){study->trades[i].exit_time, i, study->trades[i].r};
    if (code == ERROR_NONE) {
        struct plot plot =
            begin_figure(writing, prefix, "Sum of R", "trades, in order of their exit",
                         "A line of the running sum of results over the number of trades.");
        qsort(order, count, sizeof *order, by_exit);
        for (size_t i = 0; i < count; i++)
            values[i] = order[i].r;
        code = plot_cumulated(writing->html, &plot, values, count, writing->error);
        end_figure(writing, "The running sum of R. Its falls are what one would have had to sit "
                            "through.");
    }
    free(order);
    free(values);
    return code;
}

static struct plot_row row_of(const char *label, const struct estimate *estimate)
{
    return (struct plot_row){label, estimate->value, estimate->low, estimate->high,
                             !estimate_has_p(estimate)};
}

static int figure_controls(struct writing *writing)
{
    char prefix[16];
    const struct study *study = writing->study;
    struct plot_row rows[3 + CONFIRM_LIMIT];
    size_t count = 0;
    rows[count++] = row_of("mean of the setup", &study->mean_r);
    rows[count++] = row_of("the candle, less its place", &study->candle.control.difference);
    if (study->place.name != NULL)
        rows[count++] = row_of("the place, less elsewhere", &study->place.control.difference);
    for (size_t k = 0; k < study->confirmation_count; k++)
        rows[count++] = row_of(study->confirmations[k].name,
                               &study->confirmations[k].control.difference);
    struct plot plot = begin_figure(writing, prefix, "The mean and its controls", "R, with 95% interval",
                                    "Dots with intervals: the mean, and the difference that each part "
                                    "of the setup makes.");
    int code = plot_intervals(writing->html, &plot, rows, count, 0, writing->error);
    end_figure(writing, "The mean, and what the candle, the place and each confirmation add to the "
                        "rest. An interval that crosses the dashed line at 0 says that nothing can be "
                        "said. Hollow dots rest on too few trades.");
    return code;
}

static int figure_reach(struct writing *writing)
{
    char prefix[16];
    char labels[REACH_COUNT][32];
    struct plot_row rows[REACH_COUNT];
    for (size_t k = 0; k < REACH_COUNT; k++) {
        const struct study_share *share = &writing->study->reach[k];
        snprintf(labels[k], sizeof labels[k], "%g R", share->level);
        rows[k] = (struct plot_row){labels[k], share->share, share->limits.low, share->limits.high,
                                    false};
    }
    struct plot plot = begin_figure(writing, prefix, "Reach before the first stop",
                                    "share of trades, with 95% interval",
                                    "Dots with intervals: the share of trades that reached each "
                                    "multiple of the risk.");
    int code = plot_intervals(writing->html, &plot, rows, REACH_COUNT, 0, writing->error);
    end_figure(writing, "How many trades went so far before their stop, whatever the target.");
    return code;
}

static int figure_followed(struct writing *writing)
{
    char prefix[16];
    char labels[FOLLOWED_COUNT][32];
    struct plot_row rows[FOLLOWED_COUNT];
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        size_t bars = writing->study->followed[h].bars;
        snprintf(labels[h], sizeof labels[h], "%zu bar%s", bars, bars == 1 ? "" : "s");
        rows[h] = row_of(labels[h], &writing->study->followed[h].difference);
    }
    struct plot plot = begin_figure(writing, prefix, "What followed the candle",
                                    "ATR more than after other bars of the place",
                                    "Dots with intervals: how much farther price went after the candle "
                                    "than after other bars of its place.");
    int code = plot_intervals(writing->html, &plot, rows, FOLLOWED_COUNT, 0, writing->error);
    end_figure(writing, "The move after the candle less that after the other bars of its place, without "
                        "entry or stop.");
    return code;
}

static int figure_years(struct writing *writing)
{
    static const double normal = NORMAL_975;
    char prefix[16];
    const struct study_split *split = &writing->study->splits[SPLIT_YEAR];
    struct plot_row *rows = array_new(split->count, sizeof *rows);
    size_t count = 0;
    if (rows == NULL)
        return error_memory(writing->error);
    for (size_t c = 0; c < split->count; c++) {
        const struct study_split_cell *cell = &split->cells[c];
        if (cell->trades > 0)
            rows[count++] = (struct plot_row){cell->label, cell->mean,
                                              cell->mean - normal * cell->deviation,
                                              cell->mean + normal * cell->deviation,
                                              isnan(cell->deviation)};
    }
    struct plot plot = begin_figure(writing, prefix, "Mean by year", "R",
                                    "Dots: the mean result of each year's trades.");
    int code = plot_intervals(writing->html, &plot, rows, count, 0, writing->error);
    end_figure(writing, "The mean of each year. Years with fewer than 20 dates of entry are hollow and "
                        "have no interval: their scatter is what chance looks like.");
    free(rows);
    return code;
}

static int figures(struct writing *writing)
{
    struct closed_trades closed;
    text_append(writing->html, "<h2>Figures</h2>\n");
    int code = closed_trades_of(&closed, writing->study, writing->error);
    if (code == ERROR_NONE)
        code = figure_results(writing, &closed);
    closed_trades_free(&closed);
    int (*const others[])(struct writing *) = {figure_cumulated, figure_controls, figure_reach,
                                               figure_followed, figure_years};
    for (size_t i = 0; i < sizeof others / sizeof others[0] && code == ERROR_NONE; i++)
        code = others[i](writing);
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

/* Term and meaning, in pairs. */
static const char *const definitions[] = {
    "R",
    "A trade's result over the risk taken, the distance from fill to first stop. -1 R is a trade that "
    "lost what it risked.",
    "95% interval",
    "Made from blocks of dates drawn again with replacement, studentised, since trades of one date and "
    "of overlapping days rise and fall together; Student's t where dates are few.",
    "p, one-sided",
    "How often chance alone would show at least so much if there were nothing.",
    "design effect of dates",
    "How much larger the variance of the mean is than that of as many independent trades.",
    "the candle, less its place",
    "The setup's trades less those of the other bars of the same place, by the same rules, at like risk "
    "and on the same instruments.",
    "reach",
    "How far a trade went before its first stop, in R.",
    "ATR",
    "Wilder's mean of the true range over 14 bars (Wilder 1978).",
    "try",
    "A setup whose outcomes were shown. The more tries, the better the best looks by luck.",
};

static void making(struct text *html, const struct report_facts *facts)
{
    text_append(html, "<h2>What the words mean</h2>\n<dl class=\"small\">\n");
    for (size_t i = 0; i < sizeof definitions / sizeof definitions[0]; i += 2) {
        text_append(html, "<dt><b>");
        text_append_xml(html, definitions[i]);
        text_append(html, "</b></dt><dd>");
        text_append_xml(html, definitions[i + 1]);
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
    struct writing writing = {
        .html = html, .study = study, .typesetter = typesetter, .error = error};
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
