#include "work/case_wall.h"

#include "base/array.h"
#include "figures/average_path.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- what followed ------------------------------------------------------------------------ */

static int series_of(const struct wall *wall, struct study_series **series, struct error *error)
{
    *series = array_new(wall->held.count, sizeof **series);
    if (*series == NULL)
        return error_memory(error);
    for (size_t i = 0; i < wall->held.count; i++)
        (*series)[i] = trial_series(&wall->held.list[i].opened);
    return ERROR_NONE;
}

/* What became of one case, as it is said under its figure. */
static void say_result(struct wall_case *one)
{
    const struct trade *trade = &one->trade;
    one->r = trade_closed(trade->reason) ? trade->r : NAN;
    if (!isnan(one->r))
        snprintf(one->result, sizeof one->result, "%+.1f R", fabs(one->r) < 0.05 ? 0 : one->r);
    else
        snprintf(one->result, sizeof one->result, "%s", trade_reason_name(trade->reason));
}

static int look_at_trades(struct wall *wall, const struct setup *setup, struct wall_case *all,
                          struct outcomes *outcomes, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t i = 0; i < wall->found && code == ERROR_NONE; i++) {
        struct setup_view view;
        const struct held_case *found = &all[i].found;
        const struct rules_case *opened = &wall->held.list[found->series].opened;
        code = held_view(&wall->held, found->series, setup, &view, error);
        if (code != ERROR_NONE)
            break;
        const struct trade *trade = &all[i].trade;
        all[i].trade = trade_of_signal(&view, &opened->terms, &found->signal, NULL);
        say_result(&all[i]);
        if (trade_closed(trade->reason)) {
            wall->closed++;
            code = outcomes_add(outcomes, opened->series.bars.time[trade->entry_bar], trade->r,
                                error);
        }
    }
    return code;
}

/* The interval of the mean at one bar after the candle, as of any mean. */
static int estimate_bar(struct wall *wall, size_t bar, const size_t *dates, size_t date_count,
                        const struct estimate_plan *plan, struct error *error)
{
    double *values = array_new(wall->found, sizeof *values);
    size_t *own = array_new(wall->found, sizeof *own);
    struct estimate estimate = {0};
    size_t count = 0;
    int code = values != NULL && own != NULL ? ERROR_NONE : error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < wall->found; i++) {
        double move = wall->moves[i * (WALL_BARS + 1) + bar];
        if (isnan(move))
            continue;
        values[count] = move;
        own[count++] = dates[i];
    }
    const struct arm arm = {count, own, values, NULL};
    if (code == ERROR_NONE)
        code = estimate_mean(&estimate, date_count, &arm, plan, error);
    bool told = code == ERROR_NONE && estimate_has_p(&estimate);
    wall->lows[bar] = told ? estimate.low : NAN;
    wall->highs[bar] = told ? estimate.high : NAN;
    wall->has_interval = wall->has_interval || told;
    free(values);
    free(own);
    return code;
}

/* By date and instrument, so that none is chosen by what followed. */
static int thin_out(struct wall *wall, struct error *error)
{
    size_t step = (wall->found + WALL_LINES - 1) / WALL_LINES;
    const size_t each = WALL_BARS + 1;
    wall->drawn = array_new(wall->found * each, sizeof *wall->drawn);
    if (wall->drawn == NULL)
        return error_memory(error);
    for (size_t i = 0; i < wall->found; i += step)
        memcpy(wall->drawn + wall->drawn_count++ * each, wall->moves + i * each,
               each * sizeof *wall->drawn);
    return ERROR_NONE;
}

static int make_path(struct wall *wall, const struct setup *setup, const struct wall_case *all,
                     const struct study_series *series, const struct estimate_plan *plan,
                     struct error *error)
{
    struct date_grid grid = {0};
    size_t numbers[WALL_BARS + 1];
    size_t *dates = array_new(wall->found, sizeof *dates);
    wall->moves = array_new(wall->found * (WALL_BARS + 1), sizeof *wall->moves);
    int code = dates != NULL && wall->moves != NULL
                   ? study_grid(&grid, series, wall->held.count, error)
                   : error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < wall->found; i++) {
        const struct rules_case *opened = &wall->held.list[all[i].found.series].opened;
        const struct bars *bars = &opened->series.bars;
        size_t at = all[i].found.signal.candle.at;
        const double *atr = sheet_atr(opened->sheet, 14);
        dates[i] = date_grid_find(&grid, bars->time[at]);
        path_moves(bars, at, sheet_count(opened->sheet), atr != NULL ? atr[at] : NAN,
                   setup->side == SIDE_SHORT, WALL_BARS, wall->moves + i * (WALL_BARS + 1));
    }
    if (code == ERROR_NONE)
        path_means(wall->moves, wall->found, WALL_BARS, wall->means, numbers);
    wall->lows[0] = wall->highs[0] = 0;
    for (size_t bar = 1; code == ERROR_NONE && bar <= WALL_BARS; bar++)
        code = estimate_bar(wall, bar, dates, grid.count, plan, error);
    wall->has_path = code == ERROR_NONE && wall->found > 0;
    if (code == ERROR_NONE)
        code = thin_out(wall, error);
    date_grid_free(&grid);
    free(dates);
    return code;
}

/* --- order --------------------------------------------------------------------------------- */

static int by_time(const void *a, const void *b)
{
    return held_case_by_time(&((const struct wall_case *)a)->found,
                             &((const struct wall_case *)b)->found);
}

static int by_nearness(const void *a, const void *b)
{
    return held_case_by_nearness(&((const struct wall_case *)a)->found,
                                 &((const struct wall_case *)b)->found);
}

/* The best first; what has no result last. */
static int by_result(const void *a, const void *b)
{
    double x = ((const struct wall_case *)a)->r;
    double y = ((const struct wall_case *)b)->r;
    if (isnan(x) || isnan(y))
        return isnan(x) && isnan(y) ? by_time(a, b) : isnan(x) ? 1 : -1;
    return x > y || y > x ? (x > y ? -1 : 1) : by_time(a, b);
}

/* --- the wall --------------------------------------------------------------------------------- */

static void small_of(const struct wall *wall, const struct setup *setup, bool outcome,
                     const struct wall_case *one, struct small_case *small)
{
    const struct trade *trade = &one->trade;
    const struct rules_case *opened = &wall->held.list[one->found.series].opened;
    const struct signal *signal = &one->found.signal;
    const double *atr = sheet_atr(opened->sheet, 14);
    bool filled = outcome && trade_filled(trade->reason);
    *small = (struct small_case){.bars = &opened->series.bars,
                                 .is_short = setup->side == SIDE_SHORT,
                                 .candle_first = signal->candle.first,
                                 .candle = signal->candle.at,
                                 .end = outcome ? SIZE_MAX : signal->at + 1,
                                 .atr = atr != NULL ? atr[signal->candle.at] : NAN,
                                 .entry = filled ? trade->entry : NAN,
                                 .stop = filled ? trade->stop : NAN,
                                 .exit_bar = filled && trade_closed(trade->reason) ? trade->exit_bar
                                                                                   : SIZE_MAX,
                                 .exit_price = filled ? trade->exit : NAN,
                                 .name = opened->series.instrument.name,
                                 .when = one->when,
                                 .result = outcome ? one->result : NULL,
                                 .closed = !isnan(one->r)};
}

/* Those shown, in their order: the newest where there are more than wished. */
static int choose(struct wall *wall, const struct setup *setup, const struct wall_wish *wish,
                  struct wall_case *all, struct error *error)
{
    static int (*const orders[])(const void *, const void *) = {by_time, by_nearness, by_result};
    size_t most = wish->most == 0 || wish->most > wall->found ? wall->found : wish->most;
    size_t left_out = wall->found - most;
    wall->cases = array_new(most, sizeof *wall->cases);
    wall->small = calloc(most + 1, sizeof *wall->small);
    if (wall->cases == NULL || wall->small == NULL)
        return error_memory(error);
    memcpy(wall->cases, all + left_out, most * sizeof *wall->cases);
    wall->count = most;
    if (most > 0)
        qsort(wall->cases, most, sizeof *wall->cases, orders[wish->order]);
    for (size_t i = 0; i < most; i++)
        small_of(wall, setup, wish->outcome, &wall->cases[i], &wall->small[i]);
    return ERROR_NONE;
}

/* In the ledger before anything is looked at, and with its result before anything
 * is shown. */
static int follow(struct work *work, struct trial *trial, const struct setup *setup,
                  const struct wall_wish *wish, struct wall *wall, struct wall_case *all,
                  struct error *error)
{
    struct study_series *series = NULL;
    struct outcomes outcomes = {0};
    const struct estimate_plan plan = {.held_dates = WALL_BARS,
                                       .resamples = wish->resamples,
                                       .seed = work_wishes(work)->seed,
                                       .threads = work_wishes(work)->threads};
    int code = series_of(wall, &series, error);
    if (code == ERROR_NONE)
        code = trial_enter(work, trial, TRIAL_CASES, setup, series, NULL, wall->held.count, error);
    if (code == ERROR_NONE)
        code = look_at_trades(wall, setup, all, &outcomes, error);
    if (code == ERROR_NONE)
        code = trial_finish_outcomes(trial, &outcomes, error);
    if (code == ERROR_NONE)
        code = make_path(wall, setup, all, series, &plan, error);
    outcomes_free(&outcomes);
    free(series);
    return code;
}

int wall_make(struct work *work, struct trial *trial, struct setup *setup,
              const struct wall_wish *wish, struct wall *wall, struct error *error)
{
    struct held_cases cases = {0};
    struct wall_case *all = NULL;
    *wall = (struct wall){0};
    if (wish->order == WALL_FOLLOWED && !wish->outcome)
        return error_set(
            error, ERROR_USAGE,
            "the order by what followed shows what followed, which is to be asked for");
    int code = held_open(&wall->held, work, setup, "", error);
    if (code == ERROR_NONE)
        code = held_cases_find(&wall->held, work, setup, &cases, error);
    if (code == ERROR_NONE && (all = calloc(cases.count + 1, sizeof *all)) == NULL)
        code = error_memory(error);
    for (size_t i = 0; code == ERROR_NONE && i < cases.count; i++) {
        const struct bars *bars = &wall->held.list[cases.list[i].series].opened.series.bars;
        all[i].found = cases.list[i];
        all[i].r = NAN;
        time_format(all[i].when, cases.list[i].time, interval_is_dated(bars->interval));
    }
    wall->found = cases.count;
    held_cases_free(&cases);
    if (code == ERROR_NONE && wish->outcome)
        code = follow(work, trial, setup, wish, wall, all, error);
    if (code == ERROR_NONE)
        code = choose(wall, setup, wish, all, error);
    free(all);
    return code;
}

void wall_free(struct wall *wall)
{
    free(wall->cases);
    free(wall->small);
    free(wall->moves);
    free(wall->drawn);
    held_free(&wall->held);
    *wall = (struct wall){0};
}
