/* The ledger in words: what was tried, and how much of the best is luck. */
#include "answer/answer_parts.h"
#include "answer/ledger_rows.h"
#include "base/array.h"
#include "document/cautions.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { SHOWN_TRIALS = 40, LABEL_SIZE = 96 };

struct ledger_figures {
    struct chart_row row[SHOWN_TRIALS];
    char label[SHOWN_TRIALS][LABEL_SIZE];
    size_t rows;
    double *p; /* ascending */
    double *none;
    double *allowed; /* 5% times rank over number */
    size_t with_p;
};

static void draw_means(const struct chart *chart, const void *data)
{
    const struct ledger_figures *figures = data;
    struct chart here = *chart;
    here.x_name = "mean R, with 95% interval";
    chart_intervals(&here, figures->row, figures->rows, 0, 2);
}

static void draw_chances(const struct chart *chart, const void *data)
{
    const struct ledger_figures *figures = data;
    struct chart here = *chart;
    here.x_name = "trials, by their p";
    here.y_name = "p, one-sided";
    chart_cumulated(&here,
                    &(struct chart_line){.y = figures->p,
                                         .count = figures->with_p,
                                         .low = figures->none,
                                         .high = figures->allowed,
                                         .band_words = "what many trials allow at 5%"},
                    NULL, 0);
}

/* The newest trials with a mean. */
static void gather_means(struct ledger_figures *figures, const struct ledger *ledger)
{
    size_t with_mean = 0;
    for (size_t i = 0; i < ledger->count; i++)
        with_mean += isnan(ledger->lines[i].mean_r) ? 0 : 1;
    for (size_t i = 0; i < ledger->count; i++) {
        const struct ledger_line *line = &ledger->lines[i];
        if (isnan(line->mean_r) || with_mean-- > SHOWN_TRIALS)
            continue;
        char *label = figures->label[figures->rows];
        snprintf(label, LABEL_SIZE, "%lld, %s: %s (%lld)", (long long)line->id, line->command,
                 line->setup, (long long)line->closed);
        figures->row[figures->rows++] = (struct chart_row){label, line->mean_r, line->low,
                                                           line->high, isnan(line->p)};
    }
}

static bool gather_chances(struct ledger_figures *figures, const struct ledger *ledger)
{
    figures->p = array_new(ledger->count, sizeof(double));
    figures->none = array_new(ledger->count, sizeof(double));
    figures->allowed = array_new(ledger->count, sizeof(double));
    if (figures->p == NULL || figures->none == NULL || figures->allowed == NULL)
        return false;
    for (size_t i = 0; i < ledger->count; i++)
        if (!isnan(ledger->lines[i].p))
            figures->p[figures->with_p++] = ledger->lines[i].p;
    sort_numbers(figures->p, figures->with_p);
    for (size_t i = 0; i < figures->with_p; i++) {
        figures->none[i] = 0;
        figures->allowed[i] = 0.05 * (double)(i + 1) / (double)ledger->count;
    }
    return true;
}

static void let_go(void *kept)
{
    struct ledger_figures *figures = kept;
    free(figures->p);
    free(figures->none);
    free(figures->allowed);
    free(figures);
}

static void add_figures(struct document *document, const struct ledger_figures *figures)
{
    if (figures->rows > 0)
        document_figure(
            document,
            &(struct document_figure){
                "Every trial", "Dots with intervals: the mean of each trial, oldest first.",
                "What was tried, oldest first (the newest 40, where there are more), with the number "
                "of trades. The best of them is the best of many. Hollow: no p.",
                figure_rows_height(figures->rows), draw_means, figures});
    if (figures->with_p > 1)
        document_figure(
            document,
            &(struct document_figure){
                "The p of many trials",
                "A line of the p of all trials in order of size, over a band.",
                "The p of the trials in order of size. Those up to the last one that lies in the band "
                "would still be found at a false discovery rate of 5% (Benjamini & Hochberg 1995), "
                "counting those without p too; a single p below 0.05 is what one trial in 20 gives for "
                "nothing.",
                figure_plain_height(), draw_chances, figures});
}

static void say_ledger(struct text *opening, const struct ledger *ledger, const double *adjusted)
{
    size_t with_p = 0;
    size_t small = 0;
    double least = 1;
    for (size_t i = 0; i < ledger->count; i++) {
        if (isnan(ledger->lines[i].p))
            continue;
        with_p++;
        small += ledger->lines[i].p < 0.05;
        least = fmin(least, adjusted[i]);
    }
    text_append_format(opening,
                       "%zu trials, of which %zu have a p. The more trials, the better the best of "
                       "them looks by luck alone.",
                       ledger->count, with_p);
    if (with_p > 0)
        text_append_format(
            opening,
            " %zu have a p below 0.05, where %.1f would if there were nothing in any "
            "of them; counting them all, the smallest p becomes %.3f.",
            small, 0.05 * (double)with_p, least);
    text_append(opening,
                "\nTries that share their data, as the cells of a sensitivity map do, are "
                "nearly one trial repeated: that many of them agree is no more evidence.\n");
}

void answer_ledger(struct document *document, const struct ledger *ledger, const double *adjusted)
{
    struct text opening;
    struct ledger_figures *figures = calloc(1, sizeof *figures);
    document_title(document, "The ledger: everything that was tried");
    text_init(&opening);
    say_ledger(&opening, ledger, adjusted);
    document_lines(document, BLOCK_OPENING, &opening);
    document_words(document, BLOCK_CAUTION, caution_results);
    if (figures == NULL) {
        document->failed = true;
        return;
    }
    document_keep(document, figures, let_go);
    gather_means(figures, ledger);
    if (gather_chances(figures, ledger))
        add_figures(document, figures);
    else
        document->failed = true;
    ledger_table(document, ledger, adjusted);
}
