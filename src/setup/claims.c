/* What a condition claims of a bar. */
#include "setup/condition_rows.h"
#include "setup/contradictions.h"

#include <math.h>
#include <string.h>

/* --- naming a value -------------------------------------------------------------- */

static void name_value(struct text *text, const char *name, const double *values, size_t count)
{
    text_append_format(text, "%s(", name);
    for (size_t i = 0; i < count; i++) {
        text_append(text, i > 0 ? " " : "");
        text_append_number(text, values[i]);
    }
    text_append_char(text, ')');
}

static void name_bars(struct text *text, struct interval interval, size_t bars_ago, const char *of)
{
    char length[INTERVAL_TEXT_SIZE];
    interval_format(length, interval);
    text_append_format(text, " on '%s' of '%s' %zu ago", length, of != NULL ? of : "", bars_ago);
}

static void name_measure(struct text *text, enum measure_id id, const double *values,
                         struct interval interval, size_t bars_ago)
{
    const struct measure *measure = &measures[id];
    name_value(text, measure->name, values, parameter_count(measure->parameters));
    name_bars(text, interval, bars_ago, NULL);
}

static void name_side(struct text *text, const struct compare_side *side, struct interval own,
                      size_t back)
{
    name_value(text, comparable_name(side->what), side->values,
               parameter_count(comparable_parameters(side->what)));
    name_bars(text, side->interval.unit != INTERVAL_NONE ? side->interval : own,
              side->bars_ago + back, side->of);
}

/* --- bounds ---------------------------------------------------------------------- */

static void claim_above(struct claim *claim, double number, bool above, bool negated)
{
    claim->kind = CLAIM_BOUND;
    claim->loose = negated;
    if (above != negated) {
        claim->least = number;
        claim->least_open = !negated;
    } else {
        claim->most = number;
        claim->most_open = !negated;
    }
}

static void give_range(struct claim *claim, enum comparable_kind kind)
{
    bool hundred = kind == COMPARABLE_HUNDRED || kind == COMPARABLE_SHARE;
    bool from_nought = hundred || kind == COMPARABLE_LENGTH || kind == COMPARABLE_VOLUME;
    claim->range[0] = from_nought ? 0 : -INFINITY;
    claim->range[1] = hundred ? 100 : INFINITY;
}

/* Conditions that put a measure against a number of their own. */
static const struct {
    struct reading (*read)(const struct condition_view *view);
    enum measure_id id;
    size_t level; /* which of the values is the number; PARAMETER_LIMIT: nought */
    bool above;
    enum comparable_kind kind;
} levels[] = {
    {read_rsi_below, MEASURE_RSI, 1, false, COMPARABLE_HUNDRED},
    {read_stochastic_below, MEASURE_STOCHASTIC, 3, false, COMPARABLE_HUNDRED},
    {read_adx_below, MEASURE_ADX, 1, false, COMPARABLE_SHARE},
    {read_macd_above_zero, MEASURE_MACD, PARAMETER_LIMIT, true, COMPARABLE_DIFFERENCE},
};

static void claim_level(struct claim *claim, const struct criterion *criterion, bool negated)
{
    const struct condition *row = criterion->condition;
    for (size_t i = 0; i < sizeof levels / sizeof levels[0]; i++) {
        if (row->read != levels[i].read)
            continue;
        size_t level = levels[i].level;
        double number = level < PARAMETER_LIMIT ? criterion->values[level] : 0;
        if (criterion->mirrored && level < PARAMETER_LIMIT)
            number = parameter_mirrored(&row->parameters[level], number);
        name_measure(&claim->what, levels[i].id, criterion->values, criterion->interval, 0);
        give_range(claim, levels[i].kind);
        claim_above(claim, number, levels[i].above != criterion->mirrored, negated);
    }
}

/* --- one value above another ------------------------------------------------------- */

/* The conditions that do so; on the other side it is below. */
static void name_pair(struct text *value, struct text *other, const struct criterion *criterion)
{
    const double *v = criterion->values;
    struct interval on = criterion->interval;
    struct reading (*read)(const struct condition_view *view) = criterion->condition->read;
    if (read == read_close_above_average) {
        name_value(value, "close", NULL, 0);
        name_bars(value, on, 0, NULL);
        name_measure(other, MEASURE_AVERAGE, v, on, 0);
    } else if (read == read_average_rising) {
        name_measure(value, MEASURE_AVERAGE, v, on, 0);
        name_measure(other, MEASURE_AVERAGE, v, on, (size_t)v[1]);
    } else if (read == read_macd_turns_up) {
        name_measure(value, MEASURE_MACD_HISTOGRAM, v, on, 0);
        name_measure(other, MEASURE_MACD_HISTOGRAM, v, on, 1);
    } else if (read == read_macd_crosses_signal_up) {
        name_measure(value, MEASURE_MACD, v, on, 0);
        name_measure(other, MEASURE_MACD_SIGNAL, v, on, 0);
    } else if (read == read_rsi_crosses_above_average) {
        name_measure(value, MEASURE_RSI, v, on, 0);
        name_measure(other, MEASURE_RSI_AVERAGE, v, on, 0);
    } else if (read == read_lower_swings) {
        /* The newest swing before the last but one: on the other side the lows. */
        name_value(other, "newest swings", v, 1);
        name_bars(other, on, 0, NULL);
        name_value(value, "swings before", v, 1);
        name_bars(value, on, 0, NULL);
    }
}

/* Only where it holds: where it does not, the two may be equal within a tolerance,
 * and each condition has its own. */
static void claim_pair(struct claim *claim, const struct criterion *criterion)
{
    bool down = criterion->mirrored;
    name_pair(down ? &claim->other : &claim->what, down ? &claim->what : &claim->other, criterion);
    if (claim->what.length > 0)
        claim->kind = CLAIM_ORDER;
}

/* --- compare ------------------------------------------------------------------------ */

static double beyond(const struct compare_rule *rule, bool above)
{
    double by = rule->by_unit == BY_UNITS     ? rule->by
                : rule->by_unit == BY_PERCENT ? rule->by / 100 * fabs(rule->other.number)
                                              : 0;
    return above ? rule->other.number + by : rule->other.number - by;
}

static void claim_compare(struct claim *claim, const struct criterion *criterion, bool negated)
{
    struct compare_rule rule = *criterion->compare;
    if (criterion->mirrored)
        compare_turn(&rule); /* as it is seen on the chart */
    bool above = rule.way == WAY_ABOVE || rule.way == WAY_CROSSES_ABOVE ||
                 rule.way == WAY_RISES_FOR;
    bool plain = rule.way == WAY_ABOVE || rule.way == WAY_BELOW;
    bool exact = rule.by_unit == BY_NOTHING || rule.by_unit == BY_UNITS ||
                 rule.by_unit == BY_PERCENT;
    /* A crossing that is none may fail one bar ago; so many ATR or ticks are no
     * number that is known. */
    if (negated && (!plain || !exact || rule.other.what != NULL))
        return;
    if (!compare_has_run(&rule) && rule.other.what == NULL) {
        name_side(&claim->what, &rule.value, criterion->interval, 0);
        give_range(claim, rule.value.what->kind);
        claim_above(claim, beyond(&rule, above), above, negated);
        return;
    }
    struct text *value = above ? &claim->what : &claim->other;
    struct text *other = above ? &claim->other : &claim->what;
    claim->kind = CLAIM_ORDER;
    name_side(value, &rule.value, criterion->interval, 0);
    if (compare_has_run(&rule))
        name_side(other, &rule.value, criterion->interval, 1);
    else
        name_side(other, &rule.other, criterion->interval, 0);
}

/* --- the whole ----------------------------------------------------------------------- */

static void claim_calendar(struct claim *claim, const struct criterion *criterion, bool negated)
{
    bool days = criterion->condition->read == read_weekday;
    claim->kind = days ? CLAIM_DAYS : CLAIM_HOURS;
    name_bars(&claim->what, criterion->interval, 0, NULL);
    if (days) {
        claim->days = negated ? 127 & ~(unsigned)criterion->values[0]
                              : (unsigned)criterion->values[0];
        return;
    }
    claim->from = criterion->values[0];
    claim->to = criterion->values[1];
    claim->outside = negated;
}

void claim_of(struct claim *claim, const struct criterion *criterion, bool negated)
{
    *claim = (struct claim){.least = -INFINITY, .most = INFINITY, .range = {-INFINITY, INFINITY}};
    text_init(&claim->what);
    text_init(&claim->other);
    /* It may hold on a bar before. */
    if (criterion->within > 0 && !negated)
        return;
    if (criterion->compare != NULL)
        claim_compare(claim, criterion, negated);
    else if (criterion->condition->read == read_weekday ||
             criterion->condition->read == read_time_of_day)
        claim_calendar(claim, criterion, negated);
    else
        claim_level(claim, criterion, negated);
    if (claim->kind == CLAIM_NONE && criterion->compare == NULL && !negated)
        claim_pair(claim, criterion);
    /* Without memory nothing is said. */
    if (text_failed(&claim->what) || text_failed(&claim->other))
        claim->kind = CLAIM_NONE;
}

void claim_free(struct claim *claim)
{
    text_free(&claim->what);
    text_free(&claim->other);
}

/* --- together ------------------------------------------------------------------------- */

static bool in_hours(const struct claim *claim, double minute)
{
    bool inside = claim->from <= claim->to ? minute >= claim->from && minute < claim->to
                                           : minute >= claim->from || minute < claim->to;
    return inside != claim->outside;
}

static bool share_an_hour(const struct claim *a, const struct claim *b)
{
    for (int minute = 0; minute < 24 * 60; minute++)
        if (in_hours(a, minute) && in_hours(b, minute))
            return true;
    return false;
}

/* Whether nothing lies between the two; loosely said they overlap a little. */
static bool nothing_between(double least, bool least_open, double most, bool most_open, bool loose)
{
    if (isinf(least) || isinf(most))
        return false;
    double margin = loose ? 1e-6 * fmax(1, fabs(most)) : 0;
    return least > most + margin || (!loose && least == most && (least_open || most_open));
}

/* Of values from 0 to 100 both numbers are left by the tolerance (2.3), so that it is
 * the same on the other side, where they are 100 less. */
static bool leave_nothing(const struct claim *low, const struct claim *high)
{
    double least = low->least;
    if (low->range[1] == 100 && low->least_open && high->most_open)
        least += hundred_tolerance;
    return nothing_between(least, low->least_open, high->most, high->most_open,
                           low->loose || high->loose);
}

bool claim_is_empty(const struct claim *claim)
{
    switch (claim->kind) {
    case CLAIM_BOUND:
        return nothing_between(claim->least, claim->least_open, claim->range[1], false,
                               claim->loose) ||
               nothing_between(claim->range[0], false, claim->most, claim->most_open, claim->loose);
    case CLAIM_DAYS: return claim->days == 0;
    case CLAIM_HOURS: return !share_an_hour(claim, claim);
    case CLAIM_ORDER:
    case CLAIM_NONE: break;
    }
    return false;
}

bool claims_clash(const struct claim *a, const struct claim *b)
{
    if (a->kind != b->kind || a->kind == CLAIM_NONE)
        return false;
    if (a->kind == CLAIM_ORDER)
        return strcmp(a->what.bytes, b->other.bytes) == 0 &&
               strcmp(a->other.bytes, b->what.bytes) == 0;
    if (strcmp(a->what.bytes, b->what.bytes) != 0)
        return false;
    if (a->kind == CLAIM_DAYS)
        return (a->days & b->days) == 0;
    if (a->kind == CLAIM_HOURS)
        return !share_an_hour(a, b);
    return leave_nothing(a, b) || leave_nothing(b, a);
}
