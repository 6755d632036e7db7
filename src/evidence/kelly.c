#include "evidence/kelly.h"

#include "base/array.h"
#include "evidence/blocks.h"
#include "evidence/size.h"
#include "evidence/summary.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

enum { SHARES = 16, NODES = 12 };

struct kelly_work {
    const struct arm *arm;
    const size_t *first;
    size_t date_count;
    struct block_law law;
    const struct estimate_plan *draw;
    double fraction; /* of all trades */
    bool one_sided;  /* nothing was ever won, or nothing lost */
    /* The slope of growth, sum of R / (1 + f R), of each date at NODES places f
     * around `fraction`: those of Chebyshev, ascending. NULL: not worth it. */
    double *slope;
    double place[NODES];
    double share[NODES]; /* barycentric weights of the interpolation */
};

/* What one thread needs for its replicates. */
struct kelly_room {
    size_t *drawn; /* how often each date was drawn */
    double *results;
    size_t capacity;
};

static void draw_dates(const struct kelly_work *work, size_t number, size_t *drawn)
{
    struct block_draw draw;
    struct block block;
    assert(work->date_count > 0);
    for (size_t d = 0; d < work->date_count; d++)
        drawn[d] = 0;
    blocks_start(&draw, work->draw->seed, number, work->date_count, &work->law);
    while (blocks_next(&draw, &block))
        for (size_t k = 0; k < block.length; k++)
            drawn[(block.start + k) % work->date_count]++;
}

/* Of trades that only win or only lose: all, or nothing. */
static double fraction_of_one_side(const struct kelly_work *work, const size_t *drawn)
{
    double fraction = NAN;
    for (size_t d = 0; d < work->date_count; d++) {
        if (drawn[d] == 0)
            continue;
        for (size_t i = work->first[d]; i < work->first[d + 1]; i++) {
            if (work->arm->value[i] > 0)
                return INFINITY;
            fraction = 0;
        }
    }
    return fraction;
}

/* Trade by trade; false without memory. */
static bool fraction_of_trades(const struct kelly_work *work, struct kelly_room *room,
                               double *fraction)
{
    size_t count = 0;
    for (size_t d = 0; d < work->date_count; d++)
        count += room->drawn[d] * (work->first[d + 1] - work->first[d]);
    double *results = array_reserve(room->results, &room->capacity, count, sizeof *results);
    if (results == NULL)
        return false;
    room->results = results;
    count = 0;
    for (size_t d = 0; d < work->date_count; d++)
        for (size_t k = 0; k < room->drawn[d]; k++)
            for (size_t i = work->first[d]; i < work->first[d + 1]; i++)
                results[count++] = work->arm->value[i];
    *fraction = kelly_fraction(results, count);
    return true;
}

/* The interpolated slope at f, between the places (Berrut & Trefethen 2004,
 * SIAM Rev. 46, 501). */
static double interpolated(const struct kelly_work *work, const double *slope, double f)
{
    double above = 0;
    double below = 0;
    for (size_t j = 0; j < NODES; j++) {
        if (f == work->place[j])
            return slope[j];
        double weight = work->share[j] / (f - work->place[j]);
        above += weight * slope[j];
        below += weight;
    }
    return above / below;
}

/* From the slopes of the dates; NaN where the fraction lies outside the places.
 * The slope falls with f, so a negative one at the first place, where that is
 * not above 0, means that nothing should be risked. */
static double fraction_of_slopes(const struct kelly_work *work, const size_t *drawn)
{
    double slope[NODES] = {0};
    for (size_t d = 0; d < work->date_count; d++)
        for (size_t j = 0; j < NODES; j++)
            slope[j] += (double)drawn[d] * work->slope[d * NODES + j];
    double low = work->place[0];
    double high = work->place[NODES - 1];
    if (slope[NODES - 1] >= 0 || (slope[0] <= 0 && low > 0))
        return NAN;
    if (slope[0] <= 0)
        return 0;
    for (int i = 0; i < 200; i++) {
        double middle = low + (high - low) / 2;
        if (middle <= low || middle >= high)
            break;
        if (interpolated(work, slope, middle) > 0)
            low = middle;
        else
            high = middle;
    }
    return fmax(0, low);
}

/* A replicate's fraction, NaN where it has no trade; false without memory. */
static bool replicate(const struct kelly_work *work, size_t number, struct kelly_room *room,
                      double *fraction)
{
    draw_dates(work, number, room->drawn);
    if (work->one_sided) {
        *fraction = fraction_of_one_side(work, room->drawn);
        return true;
    }
    *fraction = work->slope != NULL ? fraction_of_slopes(work, room->drawn) : NAN;
    return !isnan(*fraction) || fraction_of_trades(work, room, fraction);
}

static bool all_replicates(const struct kelly_work *work, double *fractions)
{
    bool failed = false;
#pragma omp parallel for num_threads(work->draw->threads) schedule(dynamic) reduction(|| : failed)
    for (size_t s = 0; s < SHARES; s++) {
        struct kelly_room room = {.drawn = array_new(work->date_count, sizeof *room.drawn)};
        failed = failed || room.drawn == NULL;
        for (size_t r = KELLY_DRAWS * s / SHARES; r < KELLY_DRAWS * (s + 1) / SHARES; r++)
            failed = failed || !replicate(work, r, &room, &fractions[r]);
        free(room.drawn);
        free(room.results);
    }
    return !failed;
}

/* The standard error of the fraction were dates independent, from the slopes
 * of the dates at it: sqrt(sum of squares) over the slope of their sum. */
static double error_of_fraction(const struct kelly_work *work)
{
    double squares = 0;
    double bend = 0;
    for (size_t d = 0; d < work->date_count; d++) {
        double slope = 0;
        for (size_t i = work->first[d]; i < work->first[d + 1]; i++) {
            double part = work->arm->value[i] / (1 + work->fraction * work->arm->value[i]);
            slope += part;
            bend += part * part;
        }
        squares += slope * slope;
    }
    return sqrt(squares) / bend;
}

/* Lays the places up to ten standard errors to each side; false where the slope
 * has a pole (at -1/R of the best and of the worst trade) within four times
 * that, since only without one do twelve places give it to about 1e-11. */
static bool lay_places(struct kelly_work *work, double worst, double best)
{
    double width = 10 * error_of_fraction(work);
    const double pi = acos(-1);
    double pole = fmin(-1 / worst - work->fraction, work->fraction + 1 / best);
    for (size_t j = 0; j < NODES; j++) {
        double angle = pi * (double)(2 * j + 1) / (2 * NODES);
        work->place[j] = work->fraction - width * cos(angle);
        work->share[j] = (j % 2 == 0 ? 1 : -1) * sin(angle);
    }
    return 4 * width < pole;
}

static int sum_slopes(struct kelly_work *work, struct error *error)
{
    double worst = 0;
    double best = 0;
    for (size_t i = 0; i < work->arm->count; i++) {
        worst = fmin(worst, work->arm->value[i]);
        best = fmax(best, work->arm->value[i]);
    }
    work->one_sided = !(worst < 0 && best > 0);
    if (work->one_sided || !lay_places(work, worst, best))
        return ERROR_NONE;
    work->slope = array_new(work->date_count * NODES, sizeof *work->slope);
    if (work->slope == NULL)
        return error_memory(error);
#pragma omp parallel for num_threads(work->draw->threads)
    for (size_t d = 0; d < work->date_count; d++) {
        double *slope = work->slope + d * NODES;
        for (size_t j = 0; j < NODES; j++)
            slope[j] = 0;
        for (size_t i = work->first[d]; i < work->first[d + 1]; i++)
            for (size_t j = 0; j < NODES; j++)
                slope[j] += work->arm->value[i] / (1 + work->place[j] * work->arm->value[i]);
    }
    return ERROR_NONE;
}

int kelly_limits(struct kelly *kelly, const struct arm *arm, const size_t *first, size_t date_count,
                 double block_length, const struct estimate_plan *draw, struct error *error)
{
    struct kelly_work work = {.arm = arm,
                              .first = first,
                              .date_count = date_count,
                              .draw = draw,
                              .fraction = kelly_fraction(arm->value, arm->count)};
    assert(arm->count > 0 && date_count > 0);
    *kelly = (struct kelly){work.fraction, NAN, NAN};
    block_law_init(&work.law, block_length);
    double *fractions = array_new(KELLY_DRAWS, sizeof *fractions);
    int code = fractions == NULL ? error_memory(error) : sum_slopes(&work, error);
    if (code == ERROR_NONE && !all_replicates(&work, fractions))
        code = error_memory(error);
    if (code == ERROR_NONE) {
        size_t kept = 0;
        for (size_t r = 0; r < KELLY_DRAWS; r++)
            if (!isnan(fractions[r]))
                fractions[kept++] = fractions[r];
        sort_numbers(fractions, kept);
        kelly->low = quantile_sorted(fractions, kept, 0.025);
        kelly->high = quantile_sorted(fractions, kept, 0.975);
    }
    free(work.slope);
    free(fractions);
    return code;
}
