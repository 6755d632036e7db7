#include "evidence/compare.h"

#include "base/array.h"
#include "evidence/collect.h"
#include "evidence/joint.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>

struct pairing {
    const struct setup *const *setups;
    const struct study_series *series;
    const struct date_grid *grid;
    struct sheet *sheet;
    struct setup_view view[2];
    const double *atr;
    struct list *pairs;
    size_t own[2];
};

static void trade_candidate(struct pairing *pairing, size_t side, const struct candle *candle,
                            struct comparison_pair *pair)
{
    struct signal signal = signal_of(&pairing->view[side], candle);
    if (signal.state != SIGNAL_GIVEN)
        return;
    struct trade trade = trade_of_signal(&pairing->view[side], &pairing->series->terms, &signal,
                                         NULL);
    if (!trade_filled(trade.reason))
        return;
    if (!trade_closed(trade.reason)) {
        pair->r[side] = NAN;
        return;
    }
    pair->closed[side] = true;
    pair->r[side] = trade.r;
    pair->entry_date[side] = date_grid_find(pairing->grid,
                                            pairing->series->bars->time[trade.entry_bar]);
    pair->against_r[side] = -trade.mae_r;
    pair->against_atr[side] = -trade.mae_r * trade.risk /
                              (pairing->atr != NULL ? pairing->atr[signal.at] : NAN);
    size_t held = trade.exit_bar - candle->at;
    pair->held = held > pair->held ? held : pair->held;
}

static int pair_bars(struct pairing *pairing, struct error *error)
{
    for (size_t t = pairing->series->first; t < sheet_count(pairing->sheet); t++) {
        struct candle candle[2];
        bool here[2];
        for (size_t s = 0; s < 2; s++) {
            here[s] = candidate_at(&pairing->view[s], t, &candle[s]);
            pairing->own[s] += here[s];
        }
        if (!here[0] && !here[1])
            continue;
        struct comparison_pair *pair = list_add(pairing->pairs);
        if (pair == NULL)
            return error_memory(error);
        *pair = (struct comparison_pair){
            .date = date_grid_find(pairing->grid, pairing->series->bars->time[t])};
        for (size_t s = 0; s < 2; s++)
            if (here[s])
                trade_candidate(pairing, s, &candle[s], pair);
    }
    return ERROR_NONE;
}

static int pair_series(struct pairing *pairing, struct error *error)
{
    pairing->sheet = sheet_of_instrument(pairing->series->bars, pairing->series->instrument);
    if (pairing->sheet == NULL)
        return error_memory(error);
    int code = ERROR_NONE;
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++)
        code = setup_view_init(&pairing->view[s], pairing->setups[s], pairing->sheet,
                               pairing->series->around, error);
    if (code == ERROR_NONE) {
        pairing->atr = sheet_atr(pairing->sheet, 14);
        code = pair_bars(pairing, error);
    }
    if (code == ERROR_NONE && sheet_failed(pairing->sheet))
        code = error_memory(error);
    sheet_free(pairing->sheet);
    return code;
}

static int pair_all(struct setup_comparison *comparison, struct list *pairs,
                    const struct setup *const setups[2], const struct study_series *series,
                    size_t count, const struct date_grid *grid, int threads, struct error *error)
{
    struct pairing *parts = calloc(count, sizeof *parts);
    struct list *lists = array_new(count, sizeof *lists);
    int failed = parts == NULL || lists == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; failed == ERROR_NONE && i < count; i++) {
        list_init(&lists[i], sizeof(struct comparison_pair));
        parts[i] = (struct pairing){.setups = setups,
                                    .series = &series[i],
                                    .grid = grid,
                                    .pairs = &lists[i]};
    }
    if (failed == ERROR_NONE) {
        struct joint joint;
        joint_init(&joint, error);
#pragma omp parallel for num_threads(threads) schedule(dynamic)
        for (size_t i = 0; i < count; i++) {
            struct error own = {0};
            joint_tell(&joint, pair_series(&parts[i], &own), &own);
        }
        failed = joint_end(&joint);
    }
    for (size_t i = 0; lists != NULL && parts != NULL && i < count; i++) {
        if (failed == ERROR_NONE && !list_join(pairs, &lists[i]))
            failed = error_memory(error);
        for (size_t s = 0; s < 2; s++)
            comparison->own[s] += parts[i].own[s];
        list_free(&lists[i]);
    }
    free(parts);
    free(lists);
    return failed;
}

/* Which figure of a pair is compared. */
enum compared { COMPARE_ALL, COMPARE_BOTH, COMPARE_AGAINST_ATR, COMPARE_AGAINST_R };

static bool compared_value(const struct comparison_pair *pair, enum compared what, double value[2])
{
    bool both = pair->closed[0] && pair->closed[1];
    const double *from = what == COMPARE_AGAINST_ATR ? pair->against_atr
                         : what == COMPARE_AGAINST_R ? pair->against_r
                                                     : pair->r;
    value[0] = from[0];
    value[1] = from[1];
    return !isnan(value[0]) && !isnan(value[1]) && (what == COMPARE_ALL || both);
}

static int estimate_pairs(const struct list *pairs, size_t date_count, enum compared what,
                          const struct estimate_plan *plan, struct estimate *difference,
                          double mean[2], size_t *counted, struct error *error)
{
    size_t *date = array_new(pairs->count, sizeof *date);
    double *value = array_new(pairs->count, sizeof *value);
    const struct comparison_pair *items = pairs->items;
    struct arm arm = {0, date, value, NULL};
    double sum[2] = {0, 0};
    size_t unlike = 0;
    int code = date == NULL || value == NULL ? error_memory(error) : ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && i < pairs->count; i++) {
        double both[2];
        if (!compared_value(&items[i], what, both))
            continue;
        date[arm.count] = items[i].date;
        unlike += both[0] != both[1];
        value[arm.count++] = both[0] - both[1];
        sum[0] += both[0];
        sum[1] += both[1];
    }
    if (code == ERROR_NONE)
        code = estimate_mean(difference, date_count, &arm, plan, error);
    /* The limits of a win rate mean nothing for a difference; nor do replicates
     * where all but a few pairs are alike. */
    if (code == ERROR_NONE && (difference->method == ESTIMATE_WINS || unlike < STUDENT_DATES)) {
        difference->method = ESTIMATE_NONE;
        difference->low = difference->high = difference->p = NAN;
    }
    for (size_t s = 0; s < 2; s++)
        mean[s] = arm.count > 0 ? sum[s] / (double)arm.count : NAN;
    if (counted != NULL)
        *counted = arm.count;
    free(date);
    free(value);
    return code;
}

static void count_pairs(struct setup_comparison *comparison, const struct list *pairs,
                        struct estimate_plan *plan)
{
    const struct comparison_pair *items = pairs->items;
    double missed[2] = {0, 0};
    double held = 0;
    for (size_t i = 0; i < pairs->count; i++) {
        held += (double)items[i].held;
        for (size_t s = 0; s < 2; s++) {
            comparison->filled[s] += items[i].closed[s];
            if (items[i].closed[1 - s] && !items[i].closed[s] && !isnan(items[i].r[s])) {
                comparison->missed[s]++;
                missed[s] += items[i].r[1 - s];
            }
        }
    }
    for (size_t s = 0; s < 2; s++)
        comparison->missed_mean[s] = comparison->missed[s] > 0
                                         ? missed[s] / (double)comparison->missed[s]
                                         : NAN;
    comparison->candidates = pairs->count;
    plan->held_dates = pairs->count > 0 ? held / (double)pairs->count : 0;
}

/* The mean of each setup's own trades, by their dates of entry. */
static int estimate_own(struct setup_comparison *comparison, size_t date_count,
                        const struct estimate_plan *plan, struct error *error)
{
    int code = ERROR_NONE;
    for (size_t s = 0; s < 2 && code == ERROR_NONE; s++) {
        struct closed_trades closed;
        code = comparison_closed(&closed, comparison, s, error);
        const struct arm arm = {closed.count, closed.date, closed.r, NULL};
        if (code == ERROR_NONE)
            code = estimate_mean(&comparison->own_mean[s], date_count, &arm, plan, error);
        closed_trades_free(&closed);
    }
    return code;
}

int comparison_run(struct setup_comparison *comparison, const struct setup *const setups[2],
                   const struct study_series *series, size_t series_count,
                   const struct study_options *options, struct error *error)
{
    struct list pairs;
    struct estimate_plan plan = {.resamples = options->resamples,
                                 .seed = options->seed,
                                 .threads = options->threads};
    *comparison = (struct setup_comparison){.name = {setups[0]->name, setups[1]->name}};
    list_init(&pairs, sizeof(struct comparison_pair));
    if (setups[0]->side != setups[1]->side)
        return error_set(error, ERROR_INPUT,
                         "%s is %s and %s is %s; only setups of one side can be "
                         "compared",
                         setups[0]->name, side_name(setups[0]->side), setups[1]->name,
                         side_name(setups[1]->side));
    int code = study_grid(&comparison->grid, series, series_count, error);
    if (code == ERROR_NONE)
        code = pair_all(comparison, &pairs, setups, series, series_count, &comparison->grid,
                        options->threads, error);
    size_t dates = comparison->grid.count;
    comparison->pairs = pairs.items;
    if (code == ERROR_NONE)
        count_pairs(comparison, &pairs, &plan);
    if (code == ERROR_NONE)
        code = estimate_own(comparison, dates, &plan, error);
    if (code == ERROR_NONE)
        code = estimate_pairs(&pairs, dates, COMPARE_ALL, &plan, &comparison->all, comparison->mean,
                              NULL, error);
    if (code == ERROR_NONE)
        code = estimate_pairs(&pairs, dates, COMPARE_BOTH, &plan, &comparison->common,
                              comparison->mean_both, &comparison->both, error);
    if (code == ERROR_NONE)
        code = estimate_pairs(&pairs, dates, COMPARE_AGAINST_ATR, &plan,
                              &comparison->against_atr_difference, comparison->against_atr, NULL,
                              error);
    if (code == ERROR_NONE)
        code = estimate_pairs(&pairs, dates, COMPARE_AGAINST_R, &plan,
                              &comparison->against_r_difference, comparison->against_r, NULL,
                              error);
    return code;
}

void comparison_free(struct setup_comparison *comparison)
{
    free(comparison->pairs);
    date_grid_free(&comparison->grid);
    *comparison = (struct setup_comparison){0};
}

int comparison_closed(struct closed_trades *closed, const struct setup_comparison *comparison,
                      size_t side, struct error *error)
{
    *closed = (struct closed_trades){.date = array_new(comparison->filled[side], sizeof(size_t)),
                                     .r = array_new(comparison->filled[side], sizeof(double))};
    if (closed->date == NULL || closed->r == NULL)
        return error_memory(error);
    for (size_t i = 0; i < comparison->candidates; i++) {
        const struct comparison_pair *pair = &comparison->pairs[i];
        if (!pair->closed[side])
            continue;
        closed->date[closed->count] = pair->entry_date[side];
        closed->r[closed->count++] = pair->r[side];
    }
    return ERROR_NONE;
}
