/* The figures of two setups compared. */
#include "answer/answer_parts.h"
#include "base/array.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

struct comparison_figures {
    const struct setup_comparison *comparison;
    struct document *document;
    /* Of all candidates in order of their dates: the difference in R. */
    double *difference;
    size_t difference_count;
    /* Of those on which both traded: against the position at equal risk, and
     * whether the first made more. */
    double *against[2];
    bool *first_better;
    size_t both;
    char y_name[96];
    char x_name[96];
};

static void draw_differences(const struct chart *chart, const void *data)
{
    const struct comparison_figures *figures = data;
    const struct setup_comparison *comparison = figures->comparison;
    struct chart here = *chart;
    here.x_name = "R, first less second, with 95% interval";
    const struct chart_row rows[] = {estimate_row("all candidates", &comparison->all),
                                     estimate_row("where both traded", &comparison->common),
                                     estimate_row("against the position, at equal risk",
                                                  &comparison->against_r_difference)};
    chart_intervals(&here, rows, 3, 0, 2);
}

static void draw_against(const struct chart *chart, const void *data)
{
    const struct comparison_figures *figures = data;
    const struct setup_comparison *comparison = figures->comparison;
    struct chart here = *chart;
    here.x_name = "ATR against the position while open, mean";
    const struct chart_row rows[] =
        {{comparison->name[0], comparison->against_atr[0], NAN, NAN, false},
         {comparison->name[1], comparison->against_atr[1], NAN, NAN, false},
         estimate_row("first less second", &comparison->against_atr_difference)};
    chart_intervals(&here, rows, 3, 0, 2);
}

static void draw_running(const struct chart *chart, const void *data)
{
    const struct comparison_figures *figures = data;
    struct chart here = *chart;
    here.x_name = "candidates, in order of their dates";
    here.y_name = "sum of the difference, R";
    const struct chart_mark mark = {0, "", INK_SOFT};
    chart_cumulated(&here,
                    &(struct chart_line){.y = figures->difference,
                                         .count = figures->difference_count,
                                         .cumulate = true},
                    &mark, 1);
}

static void draw_pairs(const struct chart *chart, const void *data)
{
    const struct comparison_figures *figures = data;
    struct chart here = *chart;
    here.x_name = figures->x_name;
    here.y_name = figures->y_name;
    chart_scatter(&here, figures->against[0], figures->against[1], figures->first_better,
                  figures->both);
}

struct dated_pair {
    size_t date;
    size_t place; /* in the comparison's list: ties keep its order */
};

static int by_date(const void *a, const void *b)
{
    const struct dated_pair *x = a;
    const struct dated_pair *y = b;
    if (x->date != y->date)
        return (x->date > y->date) - (x->date < y->date);
    return (x->place > y->place) - (x->place < y->place);
}

static bool gather(struct comparison_figures *figures)
{
    const struct setup_comparison *comparison = figures->comparison;
    size_t count = comparison->candidates;
    struct dated_pair *order = array_new(count, sizeof *order);
    figures->difference = array_new(count, sizeof(double));
    figures->against[0] = array_new(count, sizeof(double));
    figures->against[1] = array_new(count, sizeof(double));
    figures->first_better = array_new(count, sizeof(bool));
    if (order == NULL || figures->difference == NULL || figures->against[0] == NULL ||
        figures->against[1] == NULL || figures->first_better == NULL) {
        free(order);
        return false;
    }
    for (size_t i = 0; i < count; i++)
        order[i] = (struct dated_pair){comparison->pairs[i].date, i};
    qsort(order, count, sizeof *order, by_date);
    for (size_t i = 0; i < count; i++) {
        const struct comparison_pair *pair = &comparison->pairs[order[i].place];
        if (isnan(pair->r[0]) || isnan(pair->r[1]))
            continue;
        figures->difference[figures->difference_count++] = pair->r[0] - pair->r[1];
        if (!pair->closed[0] || !pair->closed[1])
            continue;
        for (size_t s = 0; s < 2; s++)
            figures->against[s][figures->both] = pair->against_r[s];
        figures->first_better[figures->both++] = pair->r[0] > pair->r[1];
    }
    free(order);
    return true;
}

static void add(struct comparison_figures *figures, double height,
                void (*draw)(const struct chart *chart, const void *data), const char *title,
                const char *description, const char *caption)
{
    document_figure(figures->document,
                    &(struct document_figure){title, description, caption, height, draw, figures});
}

static void let_go(void *kept)
{
    struct comparison_figures *figures = kept;
    free(figures->difference);
    free(figures->against[0]);
    free(figures->against[1]);
    free(figures->first_better);
    free(figures);
}

static void add_figures(struct comparison_figures *figures)
{
    const struct setup_comparison *comparison = figures->comparison;
    snprintf(figures->x_name, sizeof figures->x_name, "%s: against the position, R",
             comparison->name[0]);
    snprintf(figures->y_name, sizeof figures->y_name, "%s: against the position, R",
             comparison->name[1]);
    add(figures, figure_rows_height(3), draw_differences, "The difference",
        "Dots with intervals: what the first setup makes more than the second.",
        "What the first makes more than the second on the same candidates, and how much farther "
        "it goes against the position. An interval that crosses the dashed line at 0 says that "
        "neither can be called better.");
    add(figures, figure_plain_height(), draw_running, "The difference, candidate by candidate",
        "A line of the running sum of differences over the candidates.",
        "The running sum of the difference; not filled counts as 0 R. A line that owes its height "
        "to one step owes it to one candidate.");
    if (comparison->both > 0) {
        add(figures, figure_rows_height(3), draw_against, "Against the position",
            "Dots: how far trades of each setup went against the position, in ATR.",
            "How far trades went against the position while open, where both traded.");
        add(figures, figure_plain_height() + 60, draw_pairs, "Against the position, pair by pair",
            "Points: one for each candidate on which both traded.",
            "The worst excursion at equal risk under either setup, a point for each candidate on "
            "which both traded. Filled diamonds: the first made more.");
    }
}

void comparison_figures(struct document *document, const struct setup_comparison *comparison)
{
    if (comparison->filled[0] + comparison->filled[1] == 0)
        return;
    struct comparison_figures *figures = calloc(1, sizeof *figures);
    if (figures == NULL) {
        document->failed = true;
        return;
    }
    figures->comparison = comparison;
    figures->document = document;
    document_keep(document, figures, let_go);
    /* comparison->both says how many pairs there are; gathering counts them. */
    if (!gather(figures))
        document->failed = true;
    add_figures(figures);
}
