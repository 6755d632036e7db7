#include "report/study_figures.h"

#include "base/array.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

struct ordered {
    int64_t time;
    size_t place; /* in the study's list: ties keep its order */
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

int figure_data_init(struct figure_data *data, const struct study *study, struct error *error)
{
    struct ordered *order = array_new(study->closed, sizeof *order);
    size_t count = 0;
    *data = (struct figure_data){study, array_new(study->closed, sizeof(double)),
                                 array_new(study->closed + 1, sizeof(double))};
    if (order == NULL || data->ordered == NULL || data->sums == NULL) {
        free(order);
        return error_memory(error);
    }
    for (size_t i = 0; i < study->filled; i++)
        if (!isnan(study->trades[i].r))
            order[count++] = (struct ordered){study->trades[i].exit_time, i, study->trades[i].r};
    qsort(order, count, sizeof *order, by_exit);
    data->sums[0] = 0;
    for (size_t i = 0; i < count; i++) {
        data->ordered[i] = order[i].r;
        data->sums[i + 1] = data->sums[i] + order[i].r;
    }
    free(order);
    return ERROR_NONE;
}

void figure_data_free(struct figure_data *data)
{
    free(data->ordered);
    free(data->sums);
    *data = (struct figure_data){0};
}

static double plain_height(const struct figure_data *data)
{
    (void)data;
    return plot_height();
}

static void draw_results(const struct figure_data *data, struct picture *picture, struct box box)
{
    char mark[64];
    snprintf(mark, sizeof mark, "mean %+.2f", data->study->mean_r.value);
    plot_histogram(picture, box, "R after costs", data->ordered, data->study->closed,
                   data->study->mean_r.value, mark);
}

static void draw_cumulated(const struct figure_data *data, struct picture *picture, struct box box)
{
    plot_cumulated(picture, box, "trades, in order of their exit", data->sums, data->study->closed);
}

static struct plot_row row_of(const char *label, const struct estimate *estimate)
{
    return (struct plot_row){label, estimate->value, estimate->low, estimate->high,
                             !estimate_has_p(estimate)};
}

static size_t control_rows(const struct study *study, struct plot_row rows[3 + CONFIRM_LIMIT])
{
    size_t count = 0;
    rows[count++] = row_of("mean of the setup", &study->mean_r);
    rows[count++] = row_of("the candle, less its place", &study->candle.control.difference);
    if (study->place.name != NULL)
        rows[count++] = row_of("the place, less elsewhere", &study->place.control.difference);
    for (size_t k = 0; k < study->confirmation_count; k++)
        rows[count++] = row_of(study->confirmations[k].name,
                               &study->confirmations[k].control.difference);
    return count;
}

static double controls_height(const struct figure_data *data)
{
    struct plot_row rows[3 + CONFIRM_LIMIT];
    return plot_intervals_height(control_rows(data->study, rows));
}

static void draw_controls(const struct figure_data *data, struct picture *picture, struct box box)
{
    struct plot_row rows[3 + CONFIRM_LIMIT];
    size_t count = control_rows(data->study, rows);
    plot_intervals(picture, box, "R, with 95% interval", rows, count, 0);
}

static double reach_height(const struct figure_data *data)
{
    (void)data;
    return plot_intervals_height(REACH_COUNT);
}

static void draw_reach(const struct figure_data *data, struct picture *picture, struct box box)
{
    char labels[REACH_COUNT][32];
    struct plot_row rows[REACH_COUNT];
    for (size_t k = 0; k < REACH_COUNT; k++) {
        const struct study_share *share = &data->study->reach[k];
        snprintf(labels[k], sizeof labels[k], "%g R", share->level);
        rows[k] = (struct plot_row){labels[k], share->share, share->limits.low, share->limits.high,
                                    false};
    }
    plot_intervals(picture, box, "share of trades, with 95% interval", rows, REACH_COUNT, 0);
}

static double followed_height(const struct figure_data *data)
{
    (void)data;
    return plot_intervals_height(FOLLOWED_COUNT);
}

static void draw_followed(const struct figure_data *data, struct picture *picture, struct box box)
{
    char labels[FOLLOWED_COUNT][32];
    struct plot_row rows[FOLLOWED_COUNT];
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        size_t bars = data->study->followed[h].bars;
        snprintf(labels[h], sizeof labels[h], "%zu bar%s", bars, bars == 1 ? "" : "s");
        rows[h] = row_of(labels[h], &data->study->followed[h].difference);
    }
    plot_intervals(picture, box, "ATR more than after other bars of the place", rows,
                   FOLLOWED_COUNT, 0);
}

enum { YEAR_ROWS = 30 };

/* The newest years with trades, no more than a page holds. */
static size_t year_rows(const struct study *study, struct plot_row rows[YEAR_ROWS])
{
    const struct study_split *split = &study->splits[SPLIT_YEAR];
    size_t count = 0;
    size_t with_trades = 0;
    for (size_t c = 0; c < split->count; c++)
        with_trades += split->cells[c].trades > 0;
    for (size_t c = 0; c < split->count; c++) {
        const struct study_split_cell *cell = &split->cells[c];
        if (cell->trades == 0 || with_trades-- > YEAR_ROWS)
            continue;
        double half = NORMAL_975 * cell->deviation;
        rows[count++] = (struct plot_row){cell->label, cell->mean, cell->mean - half,
                                          cell->mean + half, isnan(cell->deviation)};
    }
    return count;
}

static double years_height(const struct figure_data *data)
{
    struct plot_row rows[YEAR_ROWS];
    return plot_intervals_height(year_rows(data->study, rows));
}

static void draw_years(const struct figure_data *data, struct picture *picture, struct box box)
{
    struct plot_row rows[YEAR_ROWS];
    size_t count = year_rows(data->study, rows);
    plot_intervals(picture, box, "mean R", rows, count, 0);
}

const struct study_figure study_figures[] = {
    {"Results of the trades", "A histogram of the results in R with a rule at their mean.",
     "What the trades made, each in units of the risk taken. One lucky trade is one of these "
     "columns.",
     plain_height, draw_results},
    {"Sum of R", "A line of the running sum of results over the number of trades.",
     "The running sum of R. Its falls are what one would have had to sit through.", plain_height,
     draw_cumulated},
    {"The mean and its controls",
     "Dots with intervals: the mean, and the difference that each part of the setup makes.",
     "The mean, and what the candle, the place and each confirmation add to the rest. An interval "
     "that crosses the dashed line at 0 says that nothing can be said. Hollow dots rest on too few "
     "trades.",
     controls_height, draw_controls},
    {"Reach before the first stop",
     "Dots with intervals: the share of trades that reached each multiple of the risk.",
     "How many trades went so far before their stop, whatever the target.", reach_height,
     draw_reach},
    {"What followed the candle",
     "Dots with intervals: how much farther price went after the candle than after other bars of "
     "its place.",
     "The move after the candle less that after the other bars of its place, without entry or "
     "stop.",
     followed_height, draw_followed},
    {"Mean by year", "Dots: the mean result of each year's trades.",
     "The mean of each year. Years with fewer than 20 dates of entry are hollow and have no "
     "interval: their scatter is what chance looks like.",
     years_height, draw_years},
    {0},
};
