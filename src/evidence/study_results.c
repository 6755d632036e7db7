/* The setup's own trades, summed up. */
#include "base/array.h"
#include "evidence/study_summing.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>

/* The closed trades as plain arrays. */
struct closed {
    size_t count;
    size_t *date;
    double *r;
    double *before;
    double *ordered; /* r in order of exit */
    double *room;    /* for sorting */
};

static int closed_init(struct closed *closed, const struct study *study, struct error *error)
{
    *closed = (struct closed){0};
    closed->date = array_new(study->closed, sizeof *closed->date);
    double **columns[] = {&closed->r, &closed->before, &closed->ordered, &closed->room};
    for (size_t c = 0; c < sizeof columns / sizeof columns[0]; c++)
        *columns[c] = array_new(study->closed, sizeof(double));
    if (closed->date == NULL || closed->r == NULL || closed->before == NULL ||
        closed->ordered == NULL || closed->room == NULL)
        return error_memory(error);
    for (size_t i = 0; i < study->filled; i++) {
        const struct study_trade *trade = &study->trades[i];
        if (isnan(trade->r))
            continue;
        closed->date[closed->count] = trade->date;
        closed->r[closed->count] = trade->r;
        closed->before[closed->count++] = trade->r_before_costs;
    }
    return ERROR_NONE;
}

static void closed_free(struct closed *closed)
{
    free(closed->date);
    free(closed->r);
    free(closed->before);
    free(closed->ordered);
    free(closed->room);
}

struct exit_order {
    int64_t time;
    size_t place; /* in the study's list: ties keep its order */
    double r;
};

static int by_exit(const void *a, const void *b)
{
    const struct exit_order *x = a;
    const struct exit_order *y = b;
    if (x->time != y->time)
        return (x->time > y->time) - (x->time < y->time);
    return (x->place > y->place) - (x->place < y->place);
}

static int order_by_exit(struct closed *closed, const struct study *study, struct error *error)
{
    struct exit_order *order = array_new(study->closed, sizeof *order);
    size_t count = 0;
    if (order == NULL)
        return error_memory(error);
    for (size_t i = 0; i < study->filled; i++)
        if (!isnan(study->trades[i].r))
            order[count++] = (struct exit_order){study->trades[i].exit_time, i, study->trades[i].r};
    qsort(order, count, sizeof *order, by_exit);
    for (size_t i = 0; i < count; i++)
        closed->ordered[i] = order[i].r;
    free(order);
    return ERROR_NONE;
}

static void sum_plain(struct study *study, struct closed *closed)
{
    size_t n = closed->count;
    double bars = 0;
    for (size_t i = 0; i < study->filled; i++)
        bars += isnan(study->trades[i].r) ? 0 : (double)study->trades[i].bars;
    for (size_t i = 0; i < n; i++)
        closed->room[i] = closed->r[i];
    sort_numbers(closed->room, n);
    study->median_r = quantile_sorted(closed->room, n, 0.5);
    study->sd_r = deviation_of(closed->r, n);
    study->profit_factor = profit_factor(closed->r, n);
    double loss = mean_loss(closed->r, n);
    study->payoff = loss < 0 ? mean_win(closed->r, n) / -loss : NAN;
    study->mean_bars = n > 0 ? bars / (double)n : NAN;
    study->max_drawdown_r = largest_drawdown(closed->ordered, n);
    study->longest_losing_streak = longest_losing_streak(closed->ordered, n);
    study->win_rate = n > 0 ? (double)wins_of(closed->r, n) / (double)n : NAN;
    study->expected_longest_streak = n > 0 ? expected_longest_run(1 - study->win_rate, n) : NAN;
}

static void sum_excursions(struct study *study, struct closed *closed, bool adverse)
{
    size_t count = 0;
    for (size_t i = 0; i < study->filled; i++)
        if (!isnan(study->trades[i].r))
            closed->room[count++] = adverse ? study->trades[i].mae_r : study->trades[i].mfe_r;
    sort_numbers(closed->room, count);
    for (size_t q = 0; q < EXCURSION_LEVELS; q++)
        (adverse ? study->mae_r : study->mfe_r)[q] = quantile_sorted(closed->room, count,
                                                                     excursion_levels[q]);
}

/* Effective number of n results: never more than there are. */
static double effective(double n, double design_effect)
{
    return n / fmax(1, isnan(design_effect) ? 1 : design_effect);
}

static void sum_reach(struct study *study)
{
    for (size_t k = 0; k < REACH_COUNT; k++) {
        size_t known = 0;
        size_t reached = 0;
        for (size_t i = 0; i < study->filled; i++) {
            known += isnan(study->trades[i].reach_r) ? 0 : 1;
            /* A hair's breadth of rounding in (price - fill) / risk. */
            reached += study->trades[i].reach_r >= reach_levels[k] - 1e-9;
        }
        double share = known > 0 ? (double)reached / (double)known : NAN;
        study->reach[k] = (struct study_share){reach_levels[k], share,
                                               wilson_limits(share,
                                                             effective((double)known,
                                                                       study->mean_r.design_effect),
                                                             NORMAL_975)};
    }
}

static void sum_beyond(struct study *study)
{
    double sum = 0;
    study->beyond_worst_r = NAN;
    for (size_t i = 0; i < study->filled; i++) {
        double excess = study->trades[i].stop_excess_r;
        if (isnan(excess))
            continue;
        study->stops++;
        if (excess <= 1e-9)
            continue;
        study->stops_beyond++;
        sum += excess;
        study->beyond_worst_r = fmax(study->beyond_worst_r, excess);
    }
    study->beyond_mean_r = study->stops_beyond > 0 ? sum / (double)study->stops_beyond : NAN;
}

static void sum_needed(struct study *study)
{
    const double means[NEEDED_COUNT] = {0.1, 0.2, 0.3, 0.5, study->least_mean_r};
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        study->needed[k].mean_r = means[k];
        study->needed[k].trades = trades_needed(means[k], study->sd_r,
                                                fmax(1, study->mean_r.design_effect));
    }
}

int sum_results(struct summing *summing)
{
    struct study *study = summing->study;
    struct closed closed;
    int code = closed_init(&closed, study, summing->error);
    if (code == ERROR_NONE)
        code = order_by_exit(&closed, study, summing->error);
    struct arm arm = {closed.count, closed.date, closed.r, NULL};
    if (code == ERROR_NONE)
        code = estimate_mean(&study->mean_r, study->grid.count, &arm, &summing->plan,
                             summing->error);
    arm.value = closed.before;
    for (size_t i = 0; code == ERROR_NONE && i < closed.count; i++)
        study->costs_matter = study->costs_matter || closed.r[i] != closed.before[i];
    study->mean_r_before = study->mean_r;
    if (code == ERROR_NONE && study->costs_matter)
        code = estimate_mean(&study->mean_r_before, study->grid.count, &arm, &summing->plan,
                             summing->error);
    if (code == ERROR_NONE) {
        sum_plain(study, &closed);
        study->win_limits = wilson_limits(study->win_rate,
                                          effective((double)closed.count,
                                                    study->mean_r.design_effect),
                                          NORMAL_975);
        sum_excursions(study, &closed, true);
        sum_excursions(study, &closed, false);
        sum_reach(study);
        sum_beyond(study);
        sum_needed(study);
    }
    closed_free(&closed);
    return code;
}

struct dated {
    size_t date;
    size_t place; /* in the study's list: ties keep its order */
    double r;
};

static int by_date(const void *a, const void *b)
{
    const struct dated *x = a;
    const struct dated *y = b;
    if (x->date != y->date)
        return (x->date > y->date) - (x->date < y->date);
    return (x->place > y->place) - (x->place < y->place);
}

/* Puts the trades in order of their dates, as the paths want them. */
static int order_by_date(struct closed_trades *closed, struct error *error)
{
    struct dated *order = array_new(closed->count, sizeof *order);
    if (order == NULL)
        return error_memory(error);
    for (size_t i = 0; i < closed->count; i++)
        order[i] = (struct dated){closed->date[i], i, closed->r[i]};
    qsort(order, closed->count, sizeof *order, by_date);
    for (size_t i = 0; i < closed->count; i++) {
        closed->date[i] = order[i].date;
        closed->r[i] = order[i].r;
    }
    free(order);
    return ERROR_NONE;
}

int sum_next(struct summing *summing)
{
    struct study *study = summing->study;
    const struct study_options *options = summing->options;
    struct closed_trades closed;
    struct ruin_plan plan = {.trades = options->next_trades,
                             .risk = options->risk,
                             .daily_limit = options->daily_limit,
                             .total_limit = options->total_limit,
                             .trailing_limit = options->trailing_limit,
                             .block_length = fmax(1, study->mean_r.block_length),
                             .draw = summing->plan};
    study->next_trades = options->next_trades;
    study->risk = options->risk;
    int code = closed_trades_of(&closed, study, summing->error);
    if (code == ERROR_NONE)
        code = order_by_date(&closed, summing->error);
    if (code == ERROR_NONE) {
        bool asked = options->next_trades > 0;
        const struct arm arm = {asked ? closed.count : 0, closed.date, closed.r, NULL};
        code = ruin_estimate(&study->next, study->grid.count, &arm, &plan, summing->error);
    }
    closed_trades_free(&closed);
    return code;
}
