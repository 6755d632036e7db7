#include "evidence/study_run.h"

#include "base/array.h"
#include "evidence/joint.h"
#include "evidence/study_summing.h"

#include <math.h>
#include <stdlib.h>

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
    all->hung += part->hung;
    all->untold += part->untold;
    all->dated_back += part->dated_back;
    all->candidates += part->candidates;
    all->shapes += part->shapes;
    all->signals += part->signals;
    all->shape_signals += part->shape_signals;
    all->passed_over += part->passed_over;
    all->unfilled += part->unfilled;
    return whole;
}

/* One instrument a task, each into a part of its own; joined in their order,
 * so that threads change nothing. */
static int collect_all(struct collected *all, struct summing *summing,
                       const struct study_setups *setups)
{
    size_t count = summing->series_count;
    struct collected *parts = array_new(count, sizeof *parts);
    struct joint joint;
    size_t done = 0;
    if (parts == NULL)
        return error_memory(summing->error);
    joint_init(&joint, summing->error);
    for (size_t i = 0; i < count; i++)
        collected_init(&parts[i]);
#pragma omp parallel for num_threads(summing->options->threads) schedule(dynamic)
    for (size_t i = 0; i < count; i++) {
        struct error error = {0};
        int code = study_stopped(summing->options, &error);
        if (code == ERROR_NONE)
            code = collect_series(&parts[i], setups, &summing->series[i], i, &summing->study->grid,
                                  &error);
        joint_enter(&joint);
        joint_note(&joint, code, &error);
        done++;
        if (summing->options->progress != NULL)
            summing->options->progress(summing->options->context, (double)done / (double)count);
        joint_leave(&joint);
    }
    int failed = joint_end(&joint);
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
    for (size_t i = 0; i < study->filled; i++)
        study->closed += isnan(study->trades[i].r) ? 0 : 1;
    study->same_bar = all->hung;
    study->open_at_end = study->filled - study->closed;
    study->candidates = all->candidates;
    study->shapes = all->shapes;
    study->signals = all->signals;
    study->shape_signals = all->shape_signals;
    study->passed_over = all->passed_over;
    study->unfilled = all->unfilled;
    study->untold = all->untold;
    study->dated_back = all->dated_back;
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
    *study = (struct study){.least_mean_r = setup->least_mean_r};
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
