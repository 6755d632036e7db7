#include "setup/agreement.h"

#include "base/array.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void add_limits(struct agreement *agreement, const char *rule,
                       const struct parameter *parameters, bool mirrored, const double *values)
{
    size_t count = parameter_count(parameters);
    for (size_t i = 0; i < count && agreement->limit_count < MOVABLE_LIMITS; i++) {
        double value = mirrored ? parameter_mirrored(&parameters[i], values[i]) : values[i];
        agreement->limits
            [agreement
                 ->limit_count++] = (struct movable_limit){.rule = rule,
                                                           .name = parameter_name(&parameters[i],
                                                                                  mirrored),
                                                           .limit = value,
                                                           .best = value};
    }
}

/* Whether a criterion's limit decides one bar by itself. */
static bool is_movable(const struct criterion *criterion)
{
    return criterion->kind == CRITERION_CONDITION && criterion->within == 0;
}

/* Whether a comparison has a number that decides it alone. */
static bool compares_with_number(const struct criterion *criterion)
{
    const struct compare_rule *rule = criterion->compare;
    return rule != NULL && (rule->way == WAY_ABOVE || rule->way == WAY_BELOW) &&
           rule->other.what == NULL && rule->by_unit == BY_NOTHING;
}

static size_t count_limits(const struct criterion *criterion)
{
    if (!is_movable(criterion))
        return 0;
    return compares_with_number(criterion) ? 1 : parameter_count(criterion->condition->parameters);
}

static void add_criterion(struct agreement *agreement, const struct criterion *criterion)
{
    const char *name = criterion_name(criterion);
    if (!compares_with_number(criterion)) {
        add_limits(agreement, name, criterion->condition->parameters, criterion->mirrored,
                   criterion->values);
        return;
    }
    struct compare_rule seen = *criterion->compare;
    if (criterion->mirrored)
        compare_turn(&seen);
    if (agreement->limit_count < MOVABLE_LIMITS)
        agreement->limits[agreement->limit_count++] = (struct movable_limit){
            .rule = name,
            .name = compare_way_words[seen.way],
            .limit = seen.other.number,
            .best = seen.other.number,
        };
}

void agreement_init(struct agreement *agreement, const struct setup *setup)
{
    *agreement = (struct agreement){0};
    if (setup->candle_count == 1)
        add_limits(agreement, shape_name(&setup->candles[0]), setup->candles[0].shape->limits,
                   setup->candles[0].mirrored, setup->candles[0].limits);
    for (size_t i = 0; i < setup->place.count; i++) {
        const struct criterion *criterion = &setup->place.list[i];
        if (is_movable(criterion))
            add_criterion(agreement, criterion);
    }
}

void agreement_free(struct agreement *agreement)
{
    free(agreement->bars);
    *agreement = (struct agreement){0};
}

/* The movable limit that a check reads, SIZE_MAX if none. */
static size_t limit_of(const struct agreement *agreement, const struct setup *setup,
                       const struct check *check, size_t place_index)
{
    size_t first = 0;
    bool number = check->section == CHECK_PLACE &&
                  compares_with_number(&setup->place.list[place_index]);
    if ((check->reading.parameter == 0 && !number) || check->negated)
        return SIZE_MAX;
    if (check->section == CHECK_CANDLE)
        return setup->candle_count == 1 ? check->reading.parameter - 1U : SIZE_MAX;
    if (check->section != CHECK_PLACE || !is_movable(&setup->place.list[place_index]))
        return SIZE_MAX;
    if (setup->candle_count == 1)
        first = parameter_count(setup->candles[0].shape->limits);
    for (size_t i = 0; i < place_index; i++)
        first += count_limits(&setup->place.list[i]);
    size_t index = first + (number ? 0 : check->reading.parameter - 1U);
    return index < agreement->limit_count ? index : SIZE_MAX;
}

static void read_bar(struct agreement *agreement, const struct setup_view *view,
                     const struct candle *candle, struct agreement_bar *bar)
{
    struct checklist checklist;
    struct signal signal = signal_of(view, candle);
    size_t place = 0;
    checklist_read(view, candle, candle->at, &checklist);
    bar->rest = signal.state == SIGNAL_GIVEN && checklist.count > 0;
    for (size_t i = 0; i < MOVABLE_LIMITS; i++)
        bar->values[i] = NAN;
    for (size_t i = 0; i < checklist.count; i++) {
        const struct check *check = &checklist.list[i];
        if (check->section == CHECK_CONFIRM)
            continue;
        size_t index = limit_of(agreement, view->setup, check, place);
        place += check->section == CHECK_PLACE;
        if (index == SIZE_MAX) {
            bar->rest = bar->rest && check->holds == TRUTH_YES;
            continue;
        }
        bar->values[index] = check->reading.value;
        agreement->limits[index].comparison = check->reading.comparison;
        bar->rest = bar->rest && check->holds != TRUTH_UNDEFINED;
    }
}

static struct agreement_bar *next_bar(struct agreement *agreement)
{
    struct agreement_bar *bars = array_reserve(agreement->bars, &agreement->room,
                                               agreement->count + 1, sizeof *bars);
    if (bars == NULL)
        return NULL;
    agreement->bars = bars;
    return &bars[agreement->count];
}

static void count_verdict(struct agreement *agreement, enum verdict verdict)
{
    agreement->both += verdict == VERDICT_BOTH;
    agreement->person += verdict == VERDICT_PERSON;
    agreement->rule += verdict == VERDICT_RULE;
}

int agreement_add(struct agreement *agreement, const struct setup_view *view, size_t instrument,
                  size_t first, const bool *marked, struct error *error)
{
    const struct bars *bars = sheet_bars(view->plain);
    size_t shape_bars = view->setup->candles[0].shape->bars;
    for (size_t at = first; at < sheet_count(view->plain); at++) {
        struct candle candle;
        bool fits = candle_at(view, at, &candle);
        if (!fits) {
            candle = candle_of_bar(view, at);
            candle.first = at + 1 >= shape_bars ? at + 1 - shape_bars : at;
        }
        bool rule = fits && place_holds(view, &candle) &&
                    signal_of(view, &candle).state == SIGNAL_GIVEN;
        struct agreement_bar *bar = next_bar(agreement);
        if (bar == NULL)
            return error_memory(error);
        *bar = (struct agreement_bar){.instrument = instrument, .bar = at, .marked = marked[at]};
        bar->verdict = rule ? (marked[at] ? VERDICT_BOTH : VERDICT_RULE)
                            : (marked[at] ? VERDICT_PERSON : VERDICT_NEITHER);
        if (bars->high[at] != bars->low[at])
            read_bar(agreement, view, &candle, bar);
        count_verdict(agreement, bar->verdict);
        /* A bar that nobody wants and no limit can bring in says nothing. */
        agreement->count += bar->rest || bar->verdict != VERDICT_NEITHER;
    }
    return sheet_failed(view->plain) ? error_memory(error) : ERROR_NONE;
}

/* --- the search ------------------------------------------------------------------ */

static bool within_limit(const struct movable_limit *limit, double value, double at)
{
    bool up = limit->comparison == COMPARE_AT_LEAST || limit->comparison == COMPARE_ABOVE;
    bool strict = limit->comparison == COMPARE_ABOVE || limit->comparison == COMPARE_BELOW;
    double over = up ? value - at : at - value;
    double tolerance = 1e-9 * fmax(1, fabs(at));
    return isnan(value) || (strict ? over > tolerance : over >= -tolerance);
}

/* Whether a bar is the rule's with the best limits, limit `except` left out. */
static bool passes(const struct agreement *agreement, const struct agreement_bar *bar,
                   size_t except)
{
    if (!bar->rest)
        return false;
    for (size_t i = 0; i < agreement->limit_count; i++)
        if (i != except &&
            !within_limit(&agreement->limits[i], bar->values[i], agreement->limits[i].best))
            return false;
    return true;
}

/* Value of one limit on a bar that all others let in. */
struct entrant {
    double value; /* turned so that the limit keeps what is at or above it */
    bool marked;
};

static int compare_entrants(const void *a, const void *b)
{
    double x = ((const struct entrant *)a)->value;
    double y = ((const struct entrant *)b)->value;
    return (x < y) - (x > y);
}

/* The shortest decimal in (low, high]; `high` itself where low is not below. */
static double short_between(double low, double high)
{
    double scale = 1;
    for (int digits = 0; digits <= 12; digits++, scale *= 10) {
        double candidate = floor(high * scale) / scale;
        if (candidate > low && candidate <= high)
            return candidate;
    }
    return high;
}

/* Best place for the limit among sorted entrants: after how many of them, and
 * the gain over the differences with none of them let in. */
static size_t best_cut(const struct entrant *entrants, size_t count, size_t now, long *gain_now,
                       long *gain_best)
{
    long gain = 0;
    size_t best = 0;
    *gain_best = 0;
    *gain_now = now == 0 ? 0 : *gain_now;
    for (size_t i = 0; i < count; i++) {
        gain += entrants[i].marked ? 1 : -1;
        if (i + 1 == now)
            *gain_now = gain;
        /* A limit cannot part equal values. */
        if (i + 1 < count && entrants[i + 1].value == entrants[i].value)
            continue;
        if (gain > *gain_best) {
            *gain_best = gain;
            best = i + 1;
        }
    }
    return best;
}

/* Moves one limit where that helps; returns how many differences fewer. */
static long improve(struct agreement *agreement, size_t index, struct entrant *entrants)
{
    struct movable_limit *limit = &agreement->limits[index];
    bool up = limit->comparison == COMPARE_AT_LEAST || limit->comparison == COMPARE_ABOVE;
    double sign = up ? 1 : -1;
    size_t count = 0;
    size_t now = 0;
    long gain_now = 0;
    long gain_best = 0;
    for (size_t i = 0; i < agreement->count; i++) {
        const struct agreement_bar *bar = &agreement->bars[i];
        if (isnan(bar->values[index]) || !passes(agreement, bar, index))
            continue;
        entrants[count++] = (struct entrant){sign * bar->values[index], bar->marked};
        now += within_limit(limit, bar->values[index], limit->best);
    }
    qsort(entrants, count, sizeof *entrants, compare_entrants);
    size_t cut = best_cut(entrants, count, now, &gain_now, &gain_best);
    if (gain_best <= gain_now || cut == 0)
        return 0;
    double last_in = entrants[cut - 1].value;
    double first_out = cut < count ? entrants[cut].value : last_in - fabs(last_in) - 1;
    double edge = short_between(first_out, last_in);
    /* A strict limit has to lie beyond the value that it lets in. */
    if (limit->comparison == COMPARE_ABOVE || limit->comparison == COMPARE_BELOW)
        edge = short_between(first_out, first_out + (last_in - first_out) / 2);
    limit->best = sign * edge;
    return gain_best - gain_now;
}

int agreement_search(struct agreement *agreement, struct error *error)
{
    enum { MOST_ROUNDS = 50 };
    struct entrant *entrants = array_new(agreement->count, sizeof *entrants);
    if (entrants == NULL)
        return error_memory(error);
    for (int round = 0; round < MOST_ROUNDS; round++) {
        long gained = 0;
        for (size_t i = 0; i < agreement->limit_count; i++)
            gained += improve(agreement, i, entrants);
        if (gained == 0)
            break;
    }
    free(entrants);
    for (size_t i = 0; i < agreement->count; i++) {
        const struct agreement_bar *bar = &agreement->bars[i];
        bool rule = passes(agreement, bar, SIZE_MAX);
        agreement->best_both += rule && bar->marked;
        agreement->best_rule += rule && !bar->marked;
        agreement->best_person += !rule && bar->marked;
    }
    return ERROR_NONE;
}
