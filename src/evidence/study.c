#include "evidence/study.h"

#include "base/array.h"
#include "evidence/study_parts.h"

#include <math.h>
#include <stdlib.h>

const double reach_levels[REACH_COUNT] = {1, 1.5, 2, 2.5, 4, 6.5};
const size_t followed_bars[FOLLOWED_COUNT] = {1, 2, 3, 5, 10, 20};
const double excursion_levels[EXCURSION_LEVELS] = {0.05, 0.25, 0.5, 0.75, 0.95};

static const double seconds_a_year = 365.25 * 86400;

static void describe_range(struct study *study, const struct study_series *series, size_t count)
{
    bool found = false;
    for (size_t i = 0; i < count; i++) {
        const struct bars *bars = series[i].bars;
        study->ended += series[i].terms.ended;
        study->flows = study->flows || series[i].terms.flow_count > 0;
        if (bars->count <= series[i].first)
            continue;
        study->bars += bars->count - series[i].first;
        int64_t first = bars->time[series[i].first];
        int64_t last = bars->time[bars->count - 1];
        study->instrument_years += (double)(last - first) / seconds_a_year;
        study->first_time = !found || first < study->first_time ? first : study->first_time;
        study->last_time = !found || last > study->last_time ? last : study->last_time;
        found = true;
    }
    study->instruments = count;
}

int study_grid(struct date_grid *grid, const struct study_series *series, size_t count,
               struct error *error)
{
    *grid = (struct date_grid){0};
    const struct bars **all = array_new(count, sizeof *all);
    struct bars *looked_at = array_new(count, sizeof *looked_at);
    bool whole = all != NULL && looked_at != NULL;
    for (size_t i = 0; whole && i < count; i++) {
        size_t first = series[i].first < series[i].bars->count ? series[i].first
                                                               : series[i].bars->count;
        looked_at[i] = *series[i].bars;
        looked_at[i].count -= first;
        if (first > 0)
            looked_at[i].time += first;
        all[i] = &looked_at[i];
    }
    int code = whole ? date_grid_init(grid, all, count, error) : error_memory(error);
    free(all);
    free(looked_at);
    return code;
}

static bool join(struct collected *all, const struct collected *part)
{
    bool whole = list_join(&all->trades, &part->trades);
    for (size_t a = 0; a < ARM_COUNT && whole; a++) {
        whole = list_join(&all->candle[a].trades, &part->candle[a].trades) &&
                list_join(&all->place[a].trades, &part->place[a].trades) &&
                list_join(&all->followed[a], &part->followed[a]);
        all->candle[a].signals += part->candle[a].signals;
        all->place[a].signals += part->place[a].signals;
        for (size_t k = 0; k < CONFIRM_LIMIT && whole; k++) {
            whole = list_join(&all->confirm[k][a].trades, &part->confirm[k][a].trades);
            all->confirm[k][a].signals += part->confirm[k][a].signals;
        }
    }
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        all->same_bar_sum[i] += part->same_bar_sum[i];
        all->same_bar_closed[i] += part->same_bar_closed[i];
    }
    all->candidates += part->candidates;
    all->shapes += part->shapes;
    all->signals += part->signals;
    all->shape_signals += part->shape_signals;
    all->passed_over += part->passed_over;
    all->unfilled += part->unfilled;
    return whole;
}

int study_stopped(const struct study_options *options, struct error *error)
{
    if (options->stop == NULL || !atomic_load(options->stop))
        return ERROR_NONE;
    return error_set(error, ERROR_STOPPED, "it was stopped before it was done");
}

/* One instrument a task, each into a part of its own; joined in their order,
 * so that threads change nothing. */
static int collect_all(struct collected *all, struct summing *summing,
                       const struct study_setups *setups)
{
    size_t count = summing->series_count;
    struct collected *parts = array_new(count, sizeof *parts);
    int failed = ERROR_NONE;
    size_t done = 0;
    if (parts == NULL)
        return error_memory(summing->error);
    for (size_t i = 0; i < count; i++)
        collected_init(&parts[i]);
#pragma omp parallel for num_threads(summing->options->threads) schedule(dynamic)
    for (size_t i = 0; i < count; i++) {
        struct error error = {0};
        int code = study_stopped(summing->options, &error);
        if (code == ERROR_NONE)
            code = collect_series(&parts[i], setups, &summing->series[i], i, &summing->study->grid,
                                  &error);
#pragma omp critical
        {
            if (code != ERROR_NONE && failed == ERROR_NONE) {
                failed = code;
                *summing->error = error;
            }
            done++;
            if (summing->options->progress != NULL)
                summing->options->progress(summing->options->context, (double)done / (double)count);
        }
    }
    for (size_t i = 0; i < count; i++) {
        if (failed == ERROR_NONE && !join(all, &parts[i]))
            failed = error_memory(summing->error);
        collected_free(&parts[i]);
    }
    free(parts);
    return failed;
}

/* The list of trades goes over to the study. */
static void take_counts(struct study *study, struct collected *all)
{
    study->trades = all->trades.items;
    study->filled = all->trades.count;
    list_init(&all->trades, all->trades.size);
    for (size_t i = 0; i < study->filled; i++) {
        study->closed += isnan(study->trades[i].r) ? 0 : 1;
        study->same_bar += study->trades[i].same_bar;
    }
    study->open_at_end = study->filled - study->closed;
    study->candidates = all->candidates;
    study->shapes = all->shapes;
    study->signals = all->signals;
    study->shape_signals = all->shape_signals;
    study->passed_over = all->passed_over;
    study->unfilled = all->unfilled;
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        size_t closed = all->same_bar_closed[i];
        study->same_bar_means[i].rule = (enum same_bar_rule)i;
        study->same_bar_means[i].closed = closed;
        study->same_bar_means[i].mean = closed > 0 ? all->same_bar_sum[i] / (double)closed : NAN;
    }
    study->bars_cannot_tell = study->same_bar_means[SAME_BAR_WORST].mean < 0 &&
                              study->same_bar_means[SAME_BAR_BEST].mean > 0;
}

static double mean_held_dates(const struct summing *summing)
{
    const struct study *study = summing->study;
    double sum = 0;
    for (size_t i = 0; i < study->filled; i++) {
        const struct study_trade *trade = &study->trades[i];
        const struct bars *bars = summing->series[trade->instrument].bars;
        size_t signal = date_grid_find(&study->grid, bars->time[trade->signal]);
        size_t exit = date_grid_find(&study->grid, trade->exit_time);
        sum += (double)(exit - signal);
    }
    return study->filled > 0 ? sum / (double)study->filled : 0;
}

int study_run(struct study *study, const struct setup *setup, const struct study_series *series,
              size_t series_count, const struct study_options *options, struct error *error)
{
    struct summing summing = {.study = study,
                              .setup = setup,
                              .series = series,
                              .series_count = series_count,
                              .options = options,
                              .error = error};
    struct study_setups setups;
    struct collected all;
    *study = (struct study){.worth_r = setup->worth_r};
    collected_init(&all);
    describe_range(study, series, series_count);
    int code = study_setups_init(&setups, setup, error);
    if (code == ERROR_NONE)
        code = study_grid(&study->grid, series, series_count, error);
    if (code == ERROR_NONE)
        code = collect_all(&all, &summing, &setups);
    if (code == ERROR_NONE) {
        take_counts(study, &all);
        summing.plan = (struct estimate_plan){.held_dates = mean_held_dates(&summing),
                                              .resamples = options->resamples,
                                              .seed = options->seed,
                                              .threads = options->threads};
        code = sum_results(&summing);
    }
    if (code == ERROR_NONE)
        code = sum_controls(&summing, &all);
    if (code == ERROR_NONE)
        code = sum_splits(&summing);
    if (code == ERROR_NONE)
        code = sum_next(&summing);
    if (code == ERROR_NONE)
        code = sum_resampled(&summing);
    collected_free(&all);
    study_setups_free(&setups);
    return code;
}

void study_free(struct study *study)
{
    date_grid_free(&study->grid);
    free(study->trades);
    free(study->resampled);
    ruin_free(&study->next);
    for (size_t k = 0; k < SPLIT_KINDS; k++)
        free(study->splits[k].cells);
    *study = (struct study){0};
}

int closed_trades_of(struct closed_trades *closed, const struct study *study, struct error *error)
{
    closed->count = 0;
    closed->date = array_new(study->closed, sizeof *closed->date);
    closed->r = array_new(study->closed, sizeof *closed->r);
    if (closed->date == NULL || closed->r == NULL)
        return error_memory(error);
    for (size_t i = 0; i < study->filled; i++) {
        if (isnan(study->trades[i].r))
            continue;
        closed->date[closed->count] = study->trades[i].date;
        closed->r[closed->count++] = study->trades[i].r;
    }
    return ERROR_NONE;
}

void closed_trades_free(struct closed_trades *closed)
{
    free(closed->date);
    free(closed->r);
    *closed = (struct closed_trades){0};
}
