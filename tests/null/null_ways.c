#include "null_ways.h"

#include "base/array.h"
#include "base/random.h"
#include "evidence/collect.h"
#include "evidence/summary.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

const char *const wrong_way_names[WAY_COUNT] = {"random draws", "shifted labels", "single trades"};

enum { DRAWS = 400 };

/* A closed trade of the place, the setup's own or another's. */
struct labelled {
    double r;
    bool own;
};

/* The trades of one instrument, in order of their dates. */
struct strand {
    size_t first;
    size_t count;
};

struct pool {
    struct list trades; /* struct labelled, instrument after instrument */
    struct list strands;
    struct list r[2]; /* doubles: of the setup's, of the others' */
};

static bool add_trade(struct pool *pool, const struct control_trade *trade, bool own)
{
    if (isnan(trade->r))
        return true;
    struct labelled *added = list_add(&pool->trades);
    double *r = list_add(&pool->r[own ? ARM_SETUP : ARM_OTHERS]);
    if (added == NULL || r == NULL)
        return false;
    *added = (struct labelled){trade->r, own};
    *r = trade->r;
    return true;
}

/* Both arms of one instrument, merged by date. */
static bool add_strand(struct pool *pool, const struct collected *collected)
{
    const struct list *arms[2] = {&collected->candle[ARM_SETUP].trades,
                                  &collected->candle[ARM_OTHERS].trades};
    size_t next[2] = {0, 0};
    struct strand *strand = list_add(&pool->strands);
    bool whole = strand != NULL;
    size_t first = pool->trades.count;
    while (whole && (next[0] < arms[0]->count || next[1] < arms[1]->count)) {
        const struct control_trade *own = arms[0]->items;
        const struct control_trade *other = arms[1]->items;
        bool take_own = next[1] == arms[1]->count ||
                        (next[0] < arms[0]->count && own[next[0]].date <= other[next[1]].date);
        whole = take_own ? add_trade(pool, &own[next[0]++], true)
                         : add_trade(pool, &other[next[1]++], false);
    }
    if (whole)
        *strand = (struct strand){first, pool->trades.count - first};
    return whole;
}

static bool gather(struct pool *pool, const struct setup *setup, const struct study_series *series,
                   size_t count, const struct date_grid *grid)
{
    struct study_setups setups;
    struct error error;
    bool whole = study_setups_init(&setups, setup, &error) == ERROR_NONE;
    for (size_t i = 0; i < count && whole; i++) {
        struct collected collected;
        collected_init(&collected);
        whole = collect_series(&collected, &setups, &series[i], i, grid, &error) == ERROR_NONE &&
                add_strand(pool, &collected);
        collected_free(&collected);
    }
    study_setups_free(&setups);
    return whole;
}

static double draws_p(const struct pool *pool, double own_mean, uint64_t seed)
{
    const double *others = pool->r[ARM_OTHERS].items;
    size_t beyond = 0;
    for (size_t d = 0; d < DRAWS; d++) {
        struct random_stream stream;
        double sum = 0;
        random_start(&stream, seed, d);
        for (size_t i = 0; i < pool->r[ARM_SETUP].count; i++)
            sum += others[random_below(&stream, pool->r[ARM_OTHERS].count)];
        beyond += sum / (double)pool->r[ARM_SETUP].count >= own_mean;
    }
    return (1 + (double)beyond) / (1 + DRAWS);
}

/* Sum of R of those that bear the label after all strands moved by `share`. */
static double shifted_sum(const struct pool *pool, double share)
{
    const struct labelled *trades = pool->trades.items;
    const struct strand *strands = pool->strands.items;
    double sum = 0;
    for (size_t s = 0; s < pool->strands.count; s++) {
        const struct labelled *at = trades + strands[s].first;
        size_t length = strands[s].count;
        size_t shift = (size_t)(share * (double)length);
        for (size_t i = 0; i < length; i++)
            if (at[i].own)
                sum += at[(i + shift) % length].r;
    }
    return sum;
}

static double shifts_p(const struct pool *pool, double own_sum, uint64_t seed)
{
    struct random_stream stream;
    size_t beyond = 0;
    random_start(&stream, seed, DRAWS);
    for (size_t d = 0; d < DRAWS; d++)
        beyond += shifted_sum(pool, random_unit(&stream)) >= own_sum - 1e-9;
    return (1 + (double)beyond) / (1 + DRAWS);
}

static double single_p(const struct pool *pool)
{
    double mean[2];
    double variance = 0;
    for (size_t a = 0; a < 2; a++) {
        const double *r = pool->r[a].items;
        double deviation = deviation_of(r, pool->r[a].count);
        mean[a] = mean_of(r, pool->r[a].count);
        variance += deviation * deviation / (double)pool->r[a].count;
    }
    return gsl_cdf_ugaussian_Q((mean[ARM_SETUP] - mean[ARM_OTHERS]) / sqrt(variance));
}

bool wrong_ways(double p[WAY_COUNT], const struct setup *setup, const struct study_series *series,
                size_t count, const struct date_grid *grid, uint64_t seed)
{
    struct pool pool;
    list_init(&pool.trades, sizeof(struct labelled));
    list_init(&pool.strands, sizeof(struct strand));
    list_init(&pool.r[ARM_SETUP], sizeof(double));
    list_init(&pool.r[ARM_OTHERS], sizeof(double));
    for (size_t w = 0; w < WAY_COUNT; w++)
        p[w] = NAN;
    bool whole = gather(&pool, setup, series, count, grid);
    if (whole && pool.r[ARM_SETUP].count > 1 && pool.r[ARM_OTHERS].count > 1) {
        double mean = mean_of(pool.r[ARM_SETUP].items, pool.r[ARM_SETUP].count);
        p[WAY_DRAWS] = draws_p(&pool, mean, seed);
        p[WAY_SHIFTS] = shifts_p(&pool, mean * (double)pool.r[ARM_SETUP].count, seed);
        p[WAY_SINGLE] = single_p(&pool);
    }
    list_free(&pool.trades);
    list_free(&pool.strands);
    list_free(&pool.r[ARM_SETUP]);
    list_free(&pool.r[ARM_OTHERS]);
    return whole;
}
