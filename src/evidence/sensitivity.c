#include "evidence/sensitivity.h"

#include "base/array.h"
#include "evidence/collect.h"
#include "evidence/joint.h"

#include <math.h>
#include <stdlib.h>

/* A closed trade of one instrument. */
struct quick_trade {
    size_t date;
    size_t held; /* dates from signal to exit */
    double r;
};

static int quick_series(struct list *list, const struct setup *setup,
                        const struct study_series *series, struct swept *swept, size_t index,
                        struct error *error)
{
    struct setup_view view;
    struct trades trades = {0};
    const int64_t *time = series->bars->time;
    const struct date_grid *grid = &swept->grid;
    int code = swept_view(swept, index, series, setup, &view, error);
    if (code == ERROR_NONE)
        code = trades_find(&view, &series->terms, series->first, sheet_count(view.plain), false,
                           &trades, error);
    for (size_t i = 0; code == ERROR_NONE && i < trades.count; i++) {
        const struct trade *trade = &trades.list[i];
        if (!trade_closed(trade->reason))
            continue;
        struct quick_trade *added = list_add(list);
        if (added == NULL)
            code = error_memory(error);
        else
            *added = (struct quick_trade){date_grid_find(grid, time[trade->entry_bar]),
                                          date_grid_find(grid, time[trade->exit_bar]) -
                                              date_grid_find(grid, time[trade->signal.at]),
                                          trade->r};
    }
    if (code == ERROR_NONE && sheet_failed(view.plain))
        code = error_memory(error);
    trades_free(&trades);
    return code;
}

static int quick_all(struct list *all, const struct setup *setup, const struct study_series *series,
                     struct swept *swept, int threads, struct error *error)
{
    size_t count = swept->count;
    struct list *lists = array_new(count, sizeof *lists);
    struct joint joint;
    if (lists == NULL)
        return error_memory(error);
    joint_init(&joint, error);
    for (size_t i = 0; i < count; i++)
        list_init(&lists[i], sizeof(struct quick_trade));
#pragma omp parallel for num_threads(threads) schedule(dynamic)
    for (size_t i = 0; i < count; i++) {
        struct error own = {0};
        joint_tell(&joint, quick_series(&lists[i], setup, &series[i], swept, i, &own), &own);
    }
    int failed = joint_end(&joint);
    for (size_t i = 0; i < count; i++) {
        if (failed == ERROR_NONE && !list_join(all, &lists[i]))
            failed = error_memory(error);
        list_free(&lists[i]);
    }
    free(lists);
    swept_trim(swept);
    return failed;
}

int mean_run(struct estimate *mean, struct closed_trades *closed, struct setup *setup,
             const struct study_series *series, struct swept *swept,
             const struct study_options *options, struct error *error)
{
    struct list list;
    struct estimate_plan plan = {.resamples = options->resamples,
                                 .seed = options->seed,
                                 .threads = options->threads};
    list_init(&list, sizeof(struct quick_trade));
    int code = criterion_texts_number(&swept->texts, setup, error);
    if (code == ERROR_NONE)
        code = quick_all(&list, setup, series, swept, options->threads, error);
    *closed = (struct closed_trades){list.count, array_new(list.count, sizeof *closed->date),
                                     array_new(list.count, sizeof *closed->r)};
    const struct quick_trade *trades = list.items;
    if (code == ERROR_NONE && (closed->date == NULL || closed->r == NULL))
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < list.count; i++) {
        closed->date[i] = trades[i].date;
        closed->r[i] = trades[i].r;
        plan.held_dates += (double)trades[i].held / (double)list.count;
    }
    const struct arm arm = {list.count, closed->date, closed->r, NULL};
    if (code == ERROR_NONE)
        code = estimate_mean(mean, swept->grid.count, &arm, &plan, error);
    list_free(&list);
    return code;
}

/* A strip's form, from the cell of the setup itself and its two neighbours. */
static enum sensitivity_form form_of(const struct sensitivity *strip)
{
    size_t own = 0;
    double best = -INFINITY;
    for (size_t i = 0; i < strip->cell_count; i++) {
        own = strip->cells[i].own ? i : own;
        best = fmax(best, strip->cells[i].mean.value);
    }
    const struct estimate *here = &strip->cells[own].mean;
    if (!estimate_has_p(here))
        return FORM_TOO_LITTLE;
    bool near = true;
    bool far = true;
    for (size_t i = own > 0 ? own - 1 : 0; i <= own + 1 && i < strip->cell_count; i++) {
        double value = strip->cells[i].mean.value;
        if (i == own)
            continue;
        near = near && fabs(value - here->value) <= sqrt(here->variance);
        far = far && !(value >= here->value / 2);
    }
    if (here->value > 0 && here->value >= best && far && strip->cell_count > 1)
        return FORM_PEAK;
    return near ? FORM_PLATEAU : FORM_SLOPE;
}

static int run_cell(struct sensitivity *sensitivity, struct sensitivity_cell *cell,
                    const struct setup *setup, const struct named_number *const *numbers,
                    const struct study_series *series, struct swept *swept,
                    const struct study_options *options, const struct sweep_watch *watch,
                    struct error *error)
{
    struct setup moved;
    struct closed_trades closed = {0};
    int code = setup_with(&moved, setup, numbers, cell->value, sensitivity->number_count, error);
    if (code != ERROR_NONE)
        return code;
    if (watch != NULL)
        code = watch->before(watch->context, &moved, error);
    if (code == ERROR_NONE)
        code = mean_run(&cell->mean, &closed, &moved, series, swept, options, error);
    if (code == ERROR_NONE && watch != NULL)
        code = watch->after(watch->context, &cell->mean, &swept->grid, &closed, error);
    cell->closed = closed.count;
    closed_trades_free(&closed);
    setup_free(&moved);
    return code;
}

static int lay_out(struct sensitivity *sensitivity, const struct named_number *const *numbers,
                   size_t number_count, struct error *error)
{
    double values[2][SWEEP_LIMIT] = {{0}};
    *sensitivity = (struct sensitivity){.number_count = number_count, .sizes = {1, 1}};
    for (size_t n = 0; n < number_count; n++) {
        sensitivity->numbers[n] = *numbers[n];
        sensitivity->sizes[n] = sweep_values(numbers[n], values[n]);
    }
    sensitivity->cell_count = sensitivity->sizes[0] * sensitivity->sizes[1];
    sensitivity->cells = calloc(sensitivity->cell_count, sizeof *sensitivity->cells);
    if (sensitivity->cells == NULL)
        return error_memory(error);
    for (size_t i = 0; i < sensitivity->cell_count; i++) {
        struct sensitivity_cell *cell = &sensitivity->cells[i];
        cell->value[0] = values[0][i / sensitivity->sizes[1]];
        cell->value[1] = values[1][i % sensitivity->sizes[1]];
        cell->own = cell->value[0] == numbers[0]->value &&
                    (number_count == 1 || cell->value[1] == numbers[1]->value);
    }
    return ERROR_NONE;
}

int sensitivity_run(struct sensitivity *sensitivity, const struct setup *setup,
                    const struct named_number *const *numbers, size_t number_count,
                    const struct study_series *series, struct swept *swept,
                    const struct study_options *options, const struct sweep_watch *watch,
                    struct error *error)
{
    int code = lay_out(sensitivity, numbers, number_count, error);
    for (size_t i = 0; code == ERROR_NONE && i < sensitivity->cell_count; i++) {
        code = study_stopped(options, error);
        if (code == ERROR_NONE)
            code = run_cell(sensitivity, &sensitivity->cells[i], setup, numbers, series, swept,
                            options, watch, error);
        if (options->progress != NULL)
            options->progress(options->context, (double)(i + 1) / (double)sensitivity->cell_count);
    }
    if (code == ERROR_NONE)
        sensitivity->form = form_of(sensitivity);
    return code;
}

void sensitivity_free(struct sensitivity *sensitivity)
{
    free(sensitivity->cells);
    *sensitivity = (struct sensitivity){0};
}
