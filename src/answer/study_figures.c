#include "answer/answer_parts.h"

#include "base/array.h"
#include "evidence/proportion.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* What the figures of a study draw from. */
struct study_figures {
    const struct study *study;
    struct document *document;
    /* Of the closed trades, in order of exit. */
    double *r;
    double *mae_r;
    double *mfe_r;
    bool *won;
};

struct ordered {
    int64_t time;
    size_t place; /* in the study's list: ties keep its order */
};

static int by_exit(const void *a, const void *b)
{
    const struct ordered *x = a;
    const struct ordered *y = b;
    if (x->time != y->time)
        return (x->time > y->time) - (x->time < y->time);
    return (x->place > y->place) - (x->place < y->place);
}

static bool order_trades(struct study_figures *figures)
{
    const struct study *study = figures->study;
    struct ordered *order = array_new(study->closed, sizeof *order);
    size_t count = 0;
    figures->r = array_new(study->closed, sizeof(double));
    figures->mae_r = array_new(study->closed, sizeof(double));
    figures->mfe_r = array_new(study->closed, sizeof(double));
    figures->won = array_new(study->closed, sizeof(bool));
    if (order == NULL || figures->r == NULL || figures->mae_r == NULL || figures->mfe_r == NULL ||
        figures->won == NULL) {
        free(order);
        return false;
    }
    for (size_t i = 0; i < study->filled; i++)
        if (!isnan(study->trades[i].r))
            order[count++] = (struct ordered){study->trades[i].exit_time, i};
    qsort(order, count, sizeof *order, by_exit);
    for (size_t i = 0; i < count; i++) {
        const struct study_trade *trade = &study->trades[order[i].place];
        figures->r[i] = trade->r;
        figures->mae_r[i] = trade->mae_r;
        figures->mfe_r[i] = trade->mfe_r;
        figures->won[i] = trade->r > 0;
    }
    free(order);
    return true;
}

struct chart_row estimate_row(const char *label, const struct estimate *estimate)
{
    return (struct chart_row){label, estimate->value, estimate->low, estimate->high,
                              !estimate_has_p(estimate)};
}

static struct chart named(const struct chart *chart, const char *x_name, const char *y_name)
{
    struct chart with_names = *chart;
    with_names.x_name = x_name;
    with_names.y_name = y_name;
    return with_names;
}

static void draw_results(const struct chart *chart, const void *data)
{
    const struct study_figures *figures = data;
    const struct study *study = figures->study;
    char words[64];
    snprintf(words, sizeof words, "mean %+.2f", study->mean_r.value);
    const struct chart here = named(chart,
                                    study->costs_matter ? "R after costs" : "R, before costs",
                                    "trades");
    const struct chart_mark mark = {study->mean_r.value, words, INK_ACCENT};
    chart_histogram(&here, &(struct chart_values){figures->r, study->closed, 0, -1}, &mark, 1);
}

static void draw_cumulated(const struct chart *chart, const void *data)
{
    const struct study_figures *figures = data;
    const struct chart here = named(chart, "trades, in order of their exit", "sum of R");
    const struct chart_mark mark = {0, "", INK_SOFT};
    chart_cumulated(&here,
                    &(struct chart_line){.y = figures->r,
                                         .count = figures->study->closed,
                                         .cumulate = true},
                    &mark, 1);
}

static void draw_excursions(const struct chart *chart, const void *data)
{
    const struct study_figures *figures = data;
    const struct chart here = named(chart, "worst excursion, R", "best excursion, R");
    chart_scatter(&here, figures->mae_r, figures->mfe_r, figures->won, figures->study->closed);
}

static size_t control_rows(const struct study *study, struct chart_row rows[3 + CONFIRM_LIMIT])
{
    size_t count = 0;
    rows[count++] = estimate_row("mean of the setup", &study->mean_r);
    rows[count++] = estimate_row("the candle, less its place", &study->candle.control.difference);
    if (study->place.name != NULL)
        rows[count++] = estimate_row("the place, less elsewhere", &study->place.control.difference);
    for (size_t k = 0; k < study->confirmation_count; k++)
        rows[count++] = estimate_row(study->confirmations[k].name,
                                     &study->confirmations[k].control.difference);
    return count;
}

static void draw_controls(const struct chart *chart, const void *data)
{
    struct chart_row rows[3 + CONFIRM_LIMIT];
    const struct study_figures *figures = data;
    const struct chart here = named(chart, "R, with 95% interval", NULL);
    chart_intervals(&here, rows, control_rows(figures->study, rows), 0, 2);
}

static void draw_same_bar(const struct chart *chart, const void *data)
{
    const struct study *study = ((const struct study_figures *)data)->study;
    const struct chart here = named(chart, "mean R", NULL);
    struct chart_row rows[SAME_BAR_COUNT];
    for (size_t i = 0; i < SAME_BAR_COUNT; i++)
        rows[i] = (struct chart_row){same_bar_name(study->same_bar_means[i].rule),
                                     study->same_bar_means[i].mean, NAN, NAN, false};
    chart_intervals(&here, rows, SAME_BAR_COUNT, 0, 2);
}

static void draw_reach(const struct chart *chart, const void *data)
{
    const struct study *study = ((const struct study_figures *)data)->study;
    const struct chart here = named(chart, "share of trades, with 95% interval", NULL);
    char labels[REACH_COUNT][32];
    struct chart_row rows[REACH_COUNT];
    for (size_t k = 0; k < REACH_COUNT; k++) {
        const struct study_share *share = &study->reach[k];
        snprintf(labels[k], sizeof labels[k], "%g R", share->level);
        rows[k] = (struct chart_row){labels[k], share->share, share->limits.low, share->limits.high,
                                     false};
    }
    chart_intervals(&here, rows, REACH_COUNT, 0, 2);
}

static void draw_followed(const struct chart *chart, const void *data)
{
    const struct study *study = ((const struct study_figures *)data)->study;
    const struct chart here = named(chart, "ATR more than after other bars of the place", NULL);
    char labels[FOLLOWED_COUNT][32];
    struct chart_row rows[FOLLOWED_COUNT];
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        size_t bars = study->followed[h].bars;
        snprintf(labels[h], sizeof labels[h], "after %zu bar%s", bars, bars == 1 ? "" : "s");
        rows[h] = estimate_row(labels[h], &study->followed[h].difference);
    }
    chart_intervals(&here, rows, FOLLOWED_COUNT, 0, 2);
}

enum { SPLIT_ROWS = 30 };

struct split_rows {
    struct chart_row row[SPLIT_ROWS];
    char label[SPLIT_ROWS][INSTRUMENT_NAME_SIZE + 16];
    size_t count;
};

/* The last cells with trades, no more than a page holds. */
static void add_split(struct split_rows *rows, const struct study_split *split, const char *lead)
{
    size_t with_trades = 0;
    for (size_t c = 0; c < split->count; c++)
        with_trades += split->cells[c].trades > 0;
    for (size_t c = 0; c < split->count; c++) {
        const struct study_split_cell *cell = &split->cells[c];
        if (cell->trades == 0 || with_trades-- > SPLIT_ROWS - rows->count)
            continue;
        double half = NORMAL_975 * cell->deviation;
        char *label = rows->label[rows->count];
        snprintf(label, sizeof rows->label[0], "%s%s", lead, cell->label);
        rows->row[rows->count++] = (struct chart_row){label, cell->mean, cell->mean - half,
                                                      cell->mean + half, isnan(cell->deviation)};
    }
}

static void years(struct split_rows *rows, const struct study *study)
{
    *rows = (struct split_rows){.count = 0};
    add_split(rows, &study->splits[SPLIT_YEAR], "");
}

static void instruments(struct split_rows *rows, const struct study *study)
{
    *rows = (struct split_rows){.count = 0};
    add_split(rows, &study->splits[SPLIT_INSTRUMENT], "");
}

static void thirds(struct split_rows *rows, const struct study *study)
{
    *rows = (struct split_rows){.count = 0};
    add_split(rows, &study->splits[SPLIT_VOLATILITY], "volatility: ");
    add_split(rows, &study->splits[SPLIT_TREND], "trend: ");
}

static void draw_split(const struct chart *chart, const struct split_rows *rows)
{
    const struct chart here = named(chart, "mean R", NULL);
    chart_intervals(&here, rows->row, rows->count, 0, 2);
}

static void draw_years(const struct chart *chart, const void *data)
{
    struct split_rows rows;
    years(&rows, ((const struct study_figures *)data)->study);
    draw_split(chart, &rows);
}

static void draw_instruments(const struct chart *chart, const void *data)
{
    struct split_rows rows;
    instruments(&rows, ((const struct study_figures *)data)->study);
    draw_split(chart, &rows);
}

static void draw_thirds(const struct chart *chart, const void *data)
{
    struct split_rows rows;
    thirds(&rows, ((const struct study_figures *)data)->study);
    draw_split(chart, &rows);
}

static void draw_next(const struct chart *chart, const void *data)
{
    const struct ruin *next = &((const struct study_figures *)data)->study->next;
    const struct chart here = named(chart, "trades", "sum of R");
    chart_fan(&here, &(struct chart_fan){.x = next->step,
                                         .count = next->steps,
                                         .levels = ruin_levels,
                                         .level_count = RUIN_LEVELS,
                                         .values = next->path_r,
                                         .whole_low = next->whole_low,
                                         .whole_high = next->whole_high});
}

static void draw_drawdowns(const struct chart *chart, const void *data)
{
    const struct ruin *next = &((const struct study_figures *)data)->study->next;
    const struct chart here = named(chart, "largest drawdown on the way, R", "paths");
    char half[48];
    char most[48];
    snprintf(half, sizeof half, "half of them: %.1f", next->drawdown_r[2]);
    snprintf(most, sizeof most, "19 of 20: %.1f", next->drawdown_r[4]);
    const struct chart_mark marks[] = {{next->drawdown_r[2], half, INK_SOFT},
                                       {next->drawdown_r[4], most, INK_ACCENT}};
    chart_histogram(&here, &(struct chart_values){next->drawdowns, next->paths, NAN, NAN}, marks,
                    2);
}

static void draw_resampled(const struct chart *chart, const void *data)
{
    const struct study *study = ((const struct study_figures *)data)->study;
    const struct chart here = named(chart, "mean R", "markets");
    char words[48];
    snprintf(words, sizeof words, "here %+.2f", study->mean_r.value);
    const struct chart_mark mark = {study->mean_r.value, words, INK_ACCENT};
    chart_histogram(&here,
                    &(struct chart_values){study->resampled, study->resampled_count,
                                           study->mean_r.value, NAN},
                    &mark, 1);
}

static void add(struct study_figures *figures, double height,
                void (*draw)(const struct chart *chart, const void *data), const char *title,
                const char *description, const char *caption)
{
    document_figure(figures->document,
                    &(struct document_figure){title, description, caption, height, draw, figures});
}

static void add_results(struct study_figures *figures)
{
    struct chart_row rows[3 + CONFIRM_LIMIT];
    double plain = figure_plain_height();
    add(figures, plain, draw_results, "Results of the trades",
        "A histogram of the results in R with a rule at their mean.",
        "What the trades made, each in units of the risk taken; losses are filled, and those of "
        "just 1 R have a column of their own. One lucky trade is one of these columns.");
    add(figures, plain, draw_cumulated, "Sum of R",
        "A line of the running sum of results over the number of trades.",
        "The running sum of R. Its falls are what one would have had to sit through.");
    add(figures, plain, draw_excursions, "Excursions of the trades",
        "Points: the best excursion over the worst of each trade, winners filled.",
        "How far each trade went against and for the position while it was open. Filled diamonds "
        "won.");
    add(figures, figure_rows_height(control_rows(figures->study, rows)), draw_controls,
        "The mean and its controls",
        "Dots with intervals: the mean, and the difference that each part of the setup makes.",
        "The mean, and what the candle, the place and each confirmation add to the rest. An "
        "interval that crosses the dashed line at 0 says that nothing can be said. Hollow dots "
        "rest on too few trades.");
    add(figures, figure_rows_height(SAME_BAR_COUNT), draw_same_bar,
        "One bar that reached both sides",
        "Dots: the mean under three assumptions of what came first inside a bar.",
        "The mean, if in every bar that reached both stop and target the nearer, the worse or the "
        "better came first. What lies between the dots the bars cannot tell.");
    add(figures, figure_rows_height(REACH_COUNT), draw_reach, "Reach before the first stop",
        "Dots with intervals: the share of trades that reached each multiple of the risk.",
        "How many trades went so far before their stop, whatever the target.");
    add(figures, figure_rows_height(FOLLOWED_COUNT), draw_followed, "What followed the candle",
        "Dots with intervals: how much farther price went after the candle than after other bars "
        "of its place.",
        "The move after the candle less that after the other bars of its place, without entry or "
        "stop.");
}

static void add_splits(struct study_figures *figures)
{
    const struct study *study = figures->study;
    struct split_rows rows;
    years(&rows, study);
    add(figures, figure_rows_height(rows.count), draw_years, "Mean by year",
        "Dots: the mean result of each year's trades.",
        "The mean of each year. Years with fewer than 20 dates of entry are hollow and have no "
        "interval: their scatter is what chance looks like.");
    instruments(&rows, study);
    if (!isnan(study->splits[SPLIT_INSTRUMENT].p))
        add(figures, figure_rows_height(rows.count), draw_instruments, "Mean by instrument",
            "Dots: the mean result of each instrument's trades.",
            "The mean of each instrument (of the last 30, where there are more). The best of them "
            "is the best of many.");
    thirds(&rows, study);
    if (!isnan(study->splits[SPLIT_VOLATILITY].p) || !isnan(study->splits[SPLIT_TREND].p))
        add(figures, figure_rows_height(rows.count), draw_thirds,
            "Mean by volatility and trend before the signal",
            "Dots: the mean result by thirds of volatility and of trend.",
            "The mean by thirds of the volatility and of the trend before the signal.");
}

static void add_chances(struct study_figures *figures)
{
    const struct study *study = figures->study;
    /* From a handful of trades there are no paths to speak of. */
    bool enough = estimate_has_p(&study->mean_r);
    if (study->next.steps > 1 && enough)
        add(figures, figure_plain_height() + 40, draw_next, "The next trades",
            "Bands of the sum of R over the number of trades.",
            "The sum of R over the next trades, if they were drawn from these and their mean were "
            "the true one, which is not known. Half of all paths are in the inner band at each "
            "point, nine in ten in the outer one; between the dashed lines 95% stay all the way, "
            "which is what a record of one's own may be held against, once.");
    if (study->next.paths > 0 && enough)
        add(figures, figure_plain_height(), draw_drawdowns, "Largest drawdown of the next trades",
            "A histogram of the largest drawdown of each path.",
            "The largest drawdown on each of those paths: not if, but how deep.");
    if (study->resampled_count > 0)
        add(figures, figure_plain_height(), draw_resampled, "Resampled markets",
            "A histogram of the mean R in each resampled market, with a rule at the study's own.",
            "The mean of the same setup in markets rebuilt from dates drawn at random, in which no "
            "candle can know what follows, and the mean seen here. Filled columns did worse than "
            "it.");
}

static void let_go(void *kept)
{
    struct study_figures *figures = kept;
    free(figures->r);
    free(figures->mae_r);
    free(figures->mfe_r);
    free(figures->won);
    free(figures);
}

void study_figures(struct document *document, const struct study *study)
{
    if (study->closed == 0)
        return;
    struct study_figures *figures = calloc(1, sizeof *figures);
    if (figures == NULL) {
        document->failed = true;
        return;
    }
    figures->study = study;
    figures->document = document;
    document_keep(document, figures, let_go);
    if (!order_trades(figures))
        document->failed = true;
    add_results(figures);
    add_splits(figures);
    add_chances(figures);
}
