/* The controls of a study: candle, place, confirmations, what followed, and
 * markets that might have been. */
#include "base/array.h"
#include "evidence/joint.h"
#include "evidence/resample.h"
#include "evidence/study_summing.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>

static int sum_control(struct summing *summing, struct study_control *result, const char *name,
                       const struct collected_arm arms[ARM_COUNT])
{
    *result = (struct study_control){.name = name};
    for (size_t a = 0; a < ARM_COUNT; a++) {
        result->signals[a] = arms[a].signals;
        result->filled[a] = arms[a].trades.count;
    }
    return control_estimate(&result->control, arms[ARM_SETUP].trades.items,
                            arms[ARM_SETUP].trades.count, arms[ARM_OTHERS].trades.items,
                            arms[ARM_OTHERS].trades.count, summing->series_count,
                            summing->study->grid.count, &summing->plan, NULL, summing->error);
}

/* The moves of one horizon as trades with one band. */
static struct control_trade *moves_at(const struct list *moves, size_t horizon)
{
    struct control_trade *trades = array_new(moves->count, sizeof *trades);
    const struct followed_move *items = moves->items;
    for (size_t i = 0; trades != NULL && i < moves->count; i++)
        trades[i] = (struct control_trade){items[i].instrument, items[i].date,
                                           items[i].move[horizon], 1};
    return trades;
}

static int sum_followed(struct summing *summing, const struct collected *collected, size_t h)
{
    struct study_followed *followed = &summing->study->followed[h];
    struct control_trade *arms[ARM_COUNT];
    struct control control;
    struct estimate_plan plan = summing->plan;
    int code = ERROR_NONE;
    for (size_t a = 0; a < ARM_COUNT; a++)
        arms[a] = moves_at(&collected->followed[a], h);
    if (arms[ARM_SETUP] == NULL || arms[ARM_OTHERS] == NULL)
        code = error_memory(summing->error);
    plan.held_dates = (double)followed_bars[h];
    if (code == ERROR_NONE)
        code = control_estimate(&control, arms[ARM_SETUP], collected->followed[ARM_SETUP].count,
                                arms[ARM_OTHERS], collected->followed[ARM_OTHERS].count,
                                summing->series_count, summing->study->grid.count, &plan, NULL,
                                summing->error);
    if (code == ERROR_NONE)
        *followed = (struct study_followed){followed_bars[h], control.difference};
    free(arms[ARM_SETUP]);
    free(arms[ARM_OTHERS]);
    return code;
}

int sum_controls(struct summing *summing, const struct collected *collected)
{
    struct study *study = summing->study;
    const struct setup *setup = summing->setup;
    int code = sum_control(summing, &study->candle, "candle", collected->candle);
    if (code == ERROR_NONE && setup->place.count > 0)
        code = sum_control(summing, &study->place, "place", collected->place);
    for (size_t k = 0; k < setup->confirm.count && code == ERROR_NONE; k++) {
        code = sum_control(summing, &study->confirmations[k],
                           criterion_name(&setup->confirm.list[k]), collected->confirm[k]);
        study->confirmation_count = k + 1;
    }
    for (size_t h = 0; h < FOLLOWED_COUNT && code == ERROR_NONE; h++)
        code = sum_followed(summing, collected, h);
    return code;
}

/* ATR(14) as the study has it, and the moves of it drawn by the same dates. */
static int rebuild(struct bars *copy, const struct bars *bars, const struct instrument *instrument,
                   const struct tick *tick, const struct date_grid *grid, const size_t *source,
                   struct error *error)
{
    struct sheet *sheet = sheet_of_instrument(bars, instrument);
    const double *atr = sheet != NULL ? sheet_atr(sheet, 14) : NULL;
    bars_init(copy);
    int code = atr == NULL ? error_memory(error)
                           : resample_bars(copy, bars, atr, tick, grid, source, error);
    sheet_free(sheet);
    return code;
}

/* The instruments that the setup reads beside its own: in the same market, so drawn
 * by the same dates. */
struct rebuilt_others {
    struct surroundings around;
    struct other_bars *list;
    struct bars *bars;
};

static int rebuild_others(struct rebuilt_others *rebuilt, const struct surroundings *around,
                          const struct date_grid *grid, const size_t *source, struct error *error)
{
    int code = ERROR_NONE;
    *rebuilt = (struct rebuilt_others){.around = *around};
    rebuilt->list = array_new(around->other_count, sizeof *rebuilt->list);
    rebuilt->bars = calloc(around->other_count + 1, sizeof *rebuilt->bars);
    if (rebuilt->list == NULL || rebuilt->bars == NULL)
        return error_memory(error);
    for (size_t i = 0; i < around->other_count && code == ERROR_NONE; i++) {
        const struct other_bars *other = &around->others[i];
        const struct tick *tick = other->instrument->tick_known ? &other->instrument->tick : NULL;
        rebuilt->list[i] = (struct other_bars){&rebuilt->bars[i], other->instrument};
        code = rebuild(&rebuilt->bars[i], other->bars, other->instrument, tick, grid, source,
                       error);
    }
    rebuilt->around.others = rebuilt->list;
    return code;
}

static void rebuilt_others_free(struct rebuilt_others *rebuilt)
{
    for (size_t i = 0; rebuilt->bars != NULL && i < rebuilt->around.other_count; i++)
        bars_free(&rebuilt->bars[i]);
    free(rebuilt->bars);
    free(rebuilt->list);
}

/* Sum of R and number of closed trades of one instrument, rebuilt. */
static int resampled_series(struct summing *summing, const struct study_series *series,
                            const size_t *source, double *sum, size_t *closed, struct error *error)
{
    const struct date_grid *grid = &summing->study->grid;
    struct study_series rebuilt = *series;
    struct rebuilt_others others = {0};
    struct bars bars;
    rebuilt.bars = &bars;
    rebuilt.terms.finer = NULL;
    int code = rebuild(&bars, series->bars, series->instrument, &series->terms.tick, grid, source,
                       error);
    if (code == ERROR_NONE && series->around != NULL && series->around->other_count > 0) {
        code = rebuild_others(&others, series->around, grid, source, error);
        rebuilt.around = &others.around;
    }
    if (code == ERROR_NONE)
        code = collect_sum(summing->setup, &rebuilt, sum, closed, error);
    rebuilt_others_free(&others);
    bars_free(&bars);
    return code;
}

static int resampled_market(struct summing *summing, size_t number, double *mean,
                            struct error *error)
{
    const struct date_grid *grid = &summing->study->grid;
    size_t *source = array_new(grid->count, sizeof *source);
    double sum = 0;
    size_t closed = 0;
    if (source == NULL)
        return error_memory(error);
    resample_dates(source, grid, 1, summing->options->seed, number);
    int code = ERROR_NONE;
    for (size_t i = 0; i < summing->series_count && code == ERROR_NONE; i++)
        code = resampled_series(summing, &summing->series[i], source, &sum, &closed, error);
    *mean = closed > 0 ? sum / (double)closed : NAN;
    free(source);
    return code;
}

static void read_draws(struct study *study, double *means)
{
    size_t kept = 0;
    size_t beyond = 0;
    for (size_t i = 0; i < study->resampled_markets; i++) {
        if (isnan(means[i]))
            continue;
        beyond += means[i] >= study->mean_r.value;
        means[kept++] = means[i];
    }
    sort_numbers(means, kept);
    study->resampled = means;
    study->resampled_count = kept;
    study->resampled_mean = mean_of(means, kept);
    study->resampled_low = quantile_sorted(means, kept, 0.025);
    study->resampled_high = quantile_sorted(means, kept, 0.975);
    bool seen = !isnan(study->mean_r.value) && kept > 0;
    study->resampled_p = seen ? (1 + (double)beyond) / (1 + (double)kept) : NAN;
}

int sum_resampled(struct summing *summing)
{
    struct study *study = summing->study;
    size_t markets = summing->options->resampled_markets;
    study->resampled_markets = markets;
    study->resampled_mean = study->resampled_low = study->resampled_high = study->resampled_p = NAN;
    if (markets == 0)
        return ERROR_NONE;
    double *means = array_new(markets, sizeof *means);
    struct joint joint;
    if (means == NULL)
        return error_memory(summing->error);
    joint_init(&joint, summing->error);
#pragma omp parallel for num_threads(summing->options->threads) schedule(dynamic)
    for (size_t r = 0; r < markets; r++) {
        struct error error = {0};
        int code = study_stopped(summing->options, &error);
        if (code == ERROR_NONE)
            code = resampled_market(summing, r, &means[r], &error);
        joint_tell(&joint, code, &error);
    }
    int failed = joint_end(&joint);
    if (failed == ERROR_NONE)
        read_draws(study, means);
    else
        free(means);
    return failed;
}
