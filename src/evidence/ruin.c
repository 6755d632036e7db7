#include "evidence/ruin.h"

#include "base/array.h"
#include "evidence/blocks.h"
#include "evidence/envelope.h"
#include "evidence/kelly.h"
#include "evidence/summary.h"

#include <math.h>
#include <stdlib.h>

const double ruin_levels[RUIN_LEVELS] = {0.05, 0.25, 0.5, 0.75, 0.95};

static const double whole_paths = 0.95;

/* One column for each figure of a path. */
enum { PATH_DRAWDOWN_R, PATH_DRAWDOWN_SHARE, PATH_STREAK, PATH_GROWTH, PATH_SUM_R, PATH_COLUMNS };

struct paths {
    size_t date_count;
    const struct arm *arm;
    size_t *first; /* date_count + 1: where each date's trades begin */
    const struct ruin_plan *plan;
    struct block_law law;
    double *column[PATH_COLUMNS];
    unsigned char *limits; /* bits: daily, total, trailing */
    size_t steps;
    size_t step[RUIN_STEPS]; /* after how many trades; the last is all of them */
    double *on_the_way;      /* cumulated R, [step * paths + path] */
};

/* The running state of one path. */
struct account {
    double level; /* 1 at the start */
    double peak;
    double sum_r;
    double peak_r;
    double deepest_r;
    double deepest_share;
    size_t streak;
    size_t longest;
    size_t trades;
    size_t steps; /* passed */
    unsigned char limits;
};

static void account_trade(struct account *account, const struct ruin_plan *plan, double r,
                          double day_start)
{
    account->trades++;
    account->level = fmax(0, account->level * (1 + plan->risk * r));
    account->peak = fmax(account->peak, account->level);
    account->sum_r += r;
    account->peak_r = fmax(account->peak_r, account->sum_r);
    account->deepest_r = fmax(account->deepest_r, account->peak_r - account->sum_r);
    double fall = 1 - account->level / account->peak;
    account->deepest_share = fmax(account->deepest_share, fall);
    account->streak = r > 0 ? 0 : account->streak + 1;
    if (account->streak > account->longest)
        account->longest = account->streak;
    if (plan->daily_limit > 0 && account->level <= day_start * (1 - plan->daily_limit))
        account->limits |= 1;
    if (plan->total_limit > 0 && account->level <= 1 - plan->total_limit)
        account->limits |= 2;
    if (plan->trailing_limit > 0 && fall >= plan->trailing_limit)
        account->limits |= 4;
}

/* The trades `from` to before `to`, in order of their dates; dates without any
 * cost no time. */
static void walk_trades(struct paths *paths, struct account *account, size_t number, size_t from,
                        size_t to)
{
    const struct ruin_plan *plan = paths->plan;
    double day_start = account->level;
    for (size_t i = from; i < to && account->trades < plan->trades; i++) {
        if (i > from && paths->arm->date[i] != paths->arm->date[i - 1])
            day_start = account->level;
        account_trade(account, plan, paths->arm->value[i], day_start);
        if (account->trades == paths->step[account->steps])
            paths->on_the_way[account->steps++ * plan->draw.resamples + number] = account->sum_r;
    }
}

/* Blocks are drawn, circle after circle, until there are enough trades. */
static void walk_path(struct paths *paths, size_t number)
{
    const struct ruin_plan *plan = paths->plan;
    struct account account = {.level = 1, .peak = 1};
    struct block_draw draw;
    struct block block;
    size_t dates = paths->date_count;
    blocks_start(&draw, plan->draw.seed, number, dates, &paths->law);
    while (account.trades < plan->trades) {
        if (!blocks_next(&draw, &block)) {
            draw.left = dates;
            continue;
        }
        size_t end = block.start + block.length;
        walk_trades(paths, &account, number, paths->first[block.start],
                    paths->first[end < dates ? end : dates]);
        if (end > dates)
            walk_trades(paths, &account, number, 0, paths->first[end - dates]);
    }
    paths->column[PATH_DRAWDOWN_R][number] = account.deepest_r;
    paths->column[PATH_DRAWDOWN_SHARE][number] = account.deepest_share;
    paths->column[PATH_STREAK][number] = (double)account.longest;
    paths->column[PATH_GROWTH][number] = account.level;
    paths->column[PATH_SUM_R][number] = account.sum_r;
    paths->limits[number] = account.limits;
}

/* Evenly spread over the trades, each once. */
static void lay_steps(struct paths *paths)
{
    size_t trades = paths->plan->trades;
    paths->steps = trades < RUIN_STEPS ? trades : RUIN_STEPS;
    for (size_t i = 0; i < paths->steps; i++)
        paths->step[i] = (trades * (i + 1) + paths->steps - 1) / paths->steps;
}

static int index_dates(struct paths *paths, struct error *error)
{
    paths->first = calloc(paths->date_count + 2, sizeof *paths->first);
    if (paths->first == NULL)
        return error_memory(error);
    for (size_t i = 0; i < paths->arm->count; i++)
        paths->first[paths->arm->date[i] + 1]++;
    for (size_t d = 0; d < paths->date_count; d++)
        paths->first[d + 1] += paths->first[d];
    return ERROR_NONE;
}

static double share_with(const unsigned char *limits, size_t count, int bit, double limit)
{
    size_t hits = 0;
    if (!(limit > 0))
        return NAN;
    for (size_t i = 0; i < count; i++)
        hits += (limits[i] & bit) != 0;
    return (double)hits / (double)count;
}

static void read_column(double out[RUIN_LEVELS], double *column, size_t count)
{
    sort_numbers(column, count);
    for (size_t i = 0; i < RUIN_LEVELS; i++)
        out[i] = quantile_sorted(column, count, ruin_levels[i]);
}

static void read_paths(struct ruin *ruin, struct paths *paths)
{
    const struct ruin_plan *plan = paths->plan;
    size_t count = plan->draw.resamples;
    size_t below = 0;
    for (size_t i = 0; i < count; i++)
        below += paths->column[PATH_GROWTH][i] < 1;
    ruin->loses = (double)below / (double)count;
    read_column(ruin->drawdown_r, paths->column[PATH_DRAWDOWN_R], count);
    read_column(ruin->drawdown_share, paths->column[PATH_DRAWDOWN_SHARE], count);
    read_column(ruin->streak, paths->column[PATH_STREAK], count);
    read_column(ruin->growth, paths->column[PATH_GROWTH], count);
    read_column(ruin->band_r, paths->column[PATH_SUM_R], count);
    ruin->hits_daily = share_with(paths->limits, count, 1, plan->daily_limit);
    ruin->hits_total = share_with(paths->limits, count, 2, plan->total_limit);
    ruin->hits_trailing = share_with(paths->limits, count, 4, plan->trailing_limit);
}

static int read_steps(struct ruin *ruin, struct paths *paths, struct error *error)
{
    size_t count = paths->plan->draw.resamples;
    double level[RUIN_LEVELS];
    int code = path_envelope(ruin->whole_low, ruin->whole_high, paths->on_the_way, count,
                             paths->steps, whole_paths, error);
    ruin->steps = paths->steps;
    for (size_t i = 0; i < paths->steps; i++) {
        ruin->step[i] = (double)paths->step[i];
        read_column(level, paths->on_the_way + i * count, count);
        for (size_t k = 0; k < RUIN_LEVELS; k++)
            ruin->path_r[k * paths->steps + i] = level[k];
    }
    return code;
}

static int kelly_interval(struct ruin *ruin, const struct paths *paths, struct error *error)
{
    struct kelly kelly;
    int code = kelly_limits(&kelly, paths->arm, paths->first, paths->date_count,
                            paths->plan->block_length, &paths->plan->draw, error);
    ruin->kelly = kelly.fraction;
    ruin->kelly_low = kelly.low;
    ruin->kelly_high = kelly.high;
    return code;
}

static int all_paths(struct ruin *ruin, struct paths *paths, struct error *error)
{
    size_t count = paths->plan->draw.resamples;
    for (size_t c = 0; c < PATH_COLUMNS; c++) {
        paths->column[c] = array_new(count, sizeof(double));
        if (paths->column[c] == NULL)
            return error_memory(error);
    }
    lay_steps(paths);
    block_law_init(&paths->law, paths->plan->block_length);
    paths->limits = array_new(count, 1);
    paths->on_the_way = array_new(count * paths->steps, sizeof(double));
    if (paths->limits == NULL || paths->on_the_way == NULL)
        return error_memory(error);
#pragma omp parallel for num_threads(paths->plan->draw.threads) schedule(dynamic, 64)
    for (size_t r = 0; r < count; r++)
        walk_path(paths, r);
    read_paths(ruin, paths);
    ruin->paths = count;
    ruin->drawdowns = paths->column[PATH_DRAWDOWN_R];
    paths->column[PATH_DRAWDOWN_R] = NULL;
    int code = read_steps(ruin, paths, error);
    return code == ERROR_NONE ? kelly_interval(ruin, paths, error) : code;
}

static void fill_nan(struct ruin *ruin)
{
    *ruin = (struct ruin){.loses = NAN,
                          .hits_daily = NAN,
                          .hits_total = NAN,
                          .hits_trailing = NAN,
                          .kelly = NAN,
                          .kelly_low = NAN,
                          .kelly_high = NAN};
    for (size_t i = 0; i < RUIN_LEVELS; i++)
        ruin->drawdown_r[i] = ruin->drawdown_share
                                  [i] = ruin->streak[i] = ruin->growth[i] = ruin->band_r[i] = NAN;
}

int ruin_estimate(struct ruin *ruin, size_t date_count, const struct arm *arm,
                  const struct ruin_plan *plan, struct error *error)
{
    struct paths paths = {.date_count = date_count, .arm = arm, .plan = plan};
    fill_nan(ruin);
    if (arm->count == 0 || date_count == 0)
        return ERROR_NONE;
    int code = index_dates(&paths, error);
    if (code == ERROR_NONE)
        code = all_paths(ruin, &paths, error);
    for (size_t c = 0; c < PATH_COLUMNS; c++)
        free(paths.column[c]);
    free(paths.limits);
    free(paths.on_the_way);
    free(paths.first);
    return code;
}

void ruin_free(struct ruin *ruin)
{
    free(ruin->drawdowns);
    *ruin = (struct ruin){0};
}
