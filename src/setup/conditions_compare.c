/* The condition `compare`. */
#include "candles/anatomy.h"
#include "market/scale.h"
#include "measures/beside.h"
#include "setup/comparing.h"
#include "setup/condition_rows.h"

#include <math.h>
#include <string.h>

/* One side of a comparison, found: a bar of the sheet it is read on. */
struct spot {
    struct sheet *sheet; /* on the row's own side; NULL: there is no such bar, or a number */
    size_t at;
    double value;
};

/* The bars of another instrument that stand beside these; NULL: none. */
static const struct other_bars *find_other(const struct condition_view *view,
                                           const struct compare_side *side, struct interval own)
{
    struct interval wanted = side->interval.unit != INTERVAL_NONE ? side->interval : own;
    const struct surroundings *around = view->around;
    for (size_t i = 0; around != NULL && i < around->other_count; i++)
        if (strcmp(around->others[i].instrument->name, side->of) == 0 &&
            interval_equal(around->others[i].bars->interval, wanted))
            return &around->others[i];
    return NULL;
}

/* Finds the sheet, as on the chart, and the bar of it that is read when bar
 * *at of the view's own is; NULL where there is none. */
static struct sheet *sheet_of_side(const struct condition_view *view,
                                   const struct compare_side *side, size_t *at)
{
    struct sheet *plain = view->sheet_is_mirror ? sheet_mirror(view->sheet) : view->sheet;
    struct interval own = sheet_bars(plain)->interval;
    struct sheet *found = plain;
    if (side->of != NULL) {
        const struct other_bars *other = find_other(view, side, own);
        const struct beside *beside = other != NULL
                                          ? sheet_beside(plain, other->bars, other->instrument)
                                          : NULL;
        if (beside == NULL)
            return NULL;
        found = beside->sheet;
        *at = beside->closed[*at];
    } else if (side->interval.unit != INTERVAL_NONE && !interval_equal(side->interval, own)) {
        found = sheet_longer(plain, side->interval);
        *at = found != NULL ? sheet_longer_index(found, *at) : SIZE_MAX;
    }
    return *at != SIZE_MAX ? found : NULL;
}

/* Memory that ran out is noted in the view's own sheet, which is the one asked. */
static double column_value(const struct condition_view *view, const struct compare_side *side,
                           struct sheet *sheet, size_t at)
{
    const struct bars *bars = sheet_bars(sheet);
    if (side->what->measure != NULL) {
        const double *column = sheet_measure(sheet, side->what->measure, side->values);
        if (column == NULL && !sheet_asked_late(sheet))
            sheet_fail(view->sheet);
        return value_at(column, at);
    }
    switch (side->what->column[0]) {
    case 'o': return bars->open[at];
    case 'h': return bars->high[at];
    case 'l': return bars->low[at];
    case 'c': return bars->close[at];
    default: return bars->volume[at];
    }
}

/* A side as it is read at bar `at` of the view's sheet, `back` of its own bars
 * before. */
static struct spot spot_of(const struct condition_view *view, const struct compare_side *side,
                           size_t at, size_t back)
{
    struct spot spot = {.sheet = NULL, .at = at, .value = NAN};
    if (side->what == NULL) {
        spot.value = side->number;
        return spot;
    }
    struct sheet *sheet = sheet_of_side(view, side, &spot.at);
    if (sheet == NULL || spot.at < side->bars_ago + back)
        return spot;
    spot.at -= side->bars_ago + back;
    spot.sheet = view->sheet_is_mirror ? sheet_mirror(sheet) : sheet;
    if (spot.sheet != NULL)
        spot.value = column_value(view, side, spot.sheet, spot.at);
    else
        sheet_fail(view->sheet);
    return spot;
}

/* MACD, which lies about nought, has a tolerance of the close: of the newer bar
 * read, of the larger close of two that begin together. */
static double difference_tolerance(const struct spot *a, const struct spot *b)
{
    double of_a = a->sheet != NULL ? macd_tolerance(sheet_bars(a->sheet), a->at) : NAN;
    double of_b = b->sheet != NULL ? macd_tolerance(sheet_bars(b->sheet), b->at) : NAN;
    if (a->sheet == NULL || b->sheet == NULL)
        return fmax(of_a, of_b);
    int64_t begins_a = sheet_bars(a->sheet)->time[a->at];
    int64_t begins_b = sheet_bars(b->sheet)->time[b->at];
    if (begins_a == begins_b)
        return fmax(of_a, of_b);
    return begins_a > begins_b ? of_a : of_b;
}

/* Prices as given are compared as they are, what is computed from them with the
 * tolerance of the bars read, 0 to 100 with that of 100, so that a value that
 * stands still does not seem to move by its rounding. */
static double tolerance_of(const struct compare_rule *rule, const struct spot *a,
                           const struct spot *b)
{
    enum comparable_kind kind = rule->value.what->kind;
    bool given = rule->by_unit == BY_NOTHING && rule->value.what->as_given &&
                 (rule->other.what == NULL || rule->other.what->as_given);
    if (kind == COMPARABLE_HUNDRED || kind == COMPARABLE_SHARE)
        return hundred_tolerance;
    if (given || kind == COMPARABLE_VOLUME || kind == COMPARABLE_SLOPE_T)
        return 0;
    if (kind == COMPARABLE_DIFFERENCE)
        return difference_tolerance(a, b);
    double tolerance = a->sheet != NULL ? price_tolerance(sheet_bars(a->sheet), a->at, a->at) : 0;
    if (b->sheet != NULL)
        tolerance = fmax(tolerance, price_tolerance(sheet_bars(b->sheet), b->at, b->at));
    return tolerance;
}

/* The tick at bar `at` as a length in prices of the bars; NaN: not known. */
static double tick_length(const struct condition_view *view, size_t at)
{
    const struct bars *bars = bars_of(view);
    if (view->around == NULL || view->around->tick == NULL)
        return NAN;
    const struct tick *tick = view->around->tick;
    for (size_t i = 0;
         i < view->around->tick_count && view->around->ticks[i].since <= bars->time[at]; i++)
        tick = &view->around->ticks[i].tick;
    return bars_viewed_length(bars, at, tick->value);
}

/* How far beyond the other side the value must be. */
static double distance_by(const struct condition_view *view, const struct spot *value,
                          const struct spot *other, size_t at)
{
    const struct compare_rule *rule = view->compare;
    switch (rule->by_unit) {
    case BY_NOTHING: return 0;
    case BY_UNITS: return rule->by;
    case BY_ATR:
        return value->sheet != NULL ? rule->by * value_at(sheet_atr(value->sheet, 14), value->at)
                                    : NAN;
    case BY_PERCENT: return rule->by / 100 * fabs(other->value);
    case BY_TICKS: return rule->by * tick_length(view, at);
    }
    return NAN;
}

/* Value and line as they are read at bar `at`. */
struct pair {
    double value;
    double line;
    double tolerance;
};

static struct pair pair_at(const struct condition_view *view, size_t at, bool up)
{
    const struct compare_rule *rule = view->compare;
    struct spot value = spot_of(view, &rule->value, at, 0);
    struct spot other = spot_of(view, &rule->other, at, 0);
    double by = distance_by(view, &value, &other, at);
    return (struct pair){.value = value.value,
                         .line = up ? other.value + by : other.value - by,
                         .tolerance = tolerance_of(rule, &value, &other)};
}

static enum reading_kind reading_kind_of(enum comparable_kind kind)
{
    if (kind == COMPARABLE_HUNDRED)
        return READING_FROM_HUNDRED;
    return comparable_turns(kind) ? READING_PRICE : READING_PLAIN;
}

static struct reading pair_reading(const struct compare_rule *rule, const struct pair *pair,
                                   bool up)
{
    return (struct reading){.name = rule->shown,
                            .unit = "",
                            .kind = reading_kind_of(rule->value.what->kind),
                            .comparison = up ? COMPARE_ABOVE : COMPARE_BELOW,
                            .value = pair->value,
                            .limit = pair->line,
                            .met = up ? above(pair->value, pair->line, pair->tolerance)
                                      : below(pair->value, pair->line, pair->tolerance)};
}

static struct reading read_crossing(const struct condition_view *view, bool up)
{
    const struct compare_rule *rule = view->compare;
    struct pair now = pair_at(view, view->at, up);
    struct reading reading = pair_reading(rule, &now, up);
    if (view->at == 0) {
        reading.met = TRUTH_UNDEFINED;
        return reading;
    }
    struct pair before = pair_at(view, view->at - 1, up);
    enum truth was = up ? at_most(before.value, before.line, before.tolerance)
                        : at_least(before.value, before.line, before.tolerance);
    if (reading.met == TRUTH_YES && was != TRUTH_YES) {
        reading.name = rule->shown_before;
        reading.comparison = up ? COMPARE_AT_MOST : COMPARE_AT_LEAST;
        reading.value = before.value;
        reading.limit = before.line;
    }
    bool defined = was != TRUTH_UNDEFINED && reading.met != TRUTH_UNDEFINED;
    reading.met = defined ? truth_and(reading.met, was) : TRUTH_UNDEFINED;
    return reading;
}

/* How many of the last bars rise (fall) one after the other, up to those asked
 * for. */
static struct reading read_run(const struct condition_view *view, bool up)
{
    const struct compare_rule *rule = view->compare;
    enum truth met = TRUTH_YES;
    size_t run = 0;
    for (; run < rule->run && met == TRUTH_YES; run++) {
        struct spot now = spot_of(view, &rule->value, view->at, run);
        struct spot before = spot_of(view, &rule->value, view->at, run + 1);
        double tolerance = rule->value.what->as_given ? 0 : tolerance_of(rule, &now, &before);
        met = up ? above(now.value, before.value, tolerance)
                 : below(now.value, before.value, tolerance);
        if (met != TRUTH_YES)
            break;
    }
    return (struct reading){.name = rule->shown,
                            .unit = "bars",
                            .comparison = COMPARE_AT_LEAST,
                            .value = met == TRUTH_UNDEFINED ? NAN : (double)run,
                            .limit = (double)rule->run,
                            .met = met};
}

/* Whether a side has nothing to be read from: no bars of the other instrument,
 * or a volume that is not known. */
static bool side_untold(const struct condition_view *view, const struct compare_side *side)
{
    if (side->what == NULL)
        return false;
    struct spot spot = spot_of(view, side, view->at, 0);
    if (spot.sheet == NULL)
        return side->of != NULL &&
               find_other(view, side, sheet_bars(view->sheet)->interval) == NULL;
    return side->what->kind == COMPARABLE_VOLUME && isnan(sheet_bars(spot.sheet)->volume[spot.at]);
}

static struct reading read_way(const struct condition_view *view)
{
    struct pair pair;
    switch (view->compare->way) {
    case WAY_ABOVE:
    case WAY_BELOW: break;
    case WAY_CROSSES_ABOVE: return read_crossing(view, true);
    case WAY_CROSSES_BELOW: return read_crossing(view, false);
    case WAY_RISES_FOR: return read_run(view, true);
    case WAY_FALLS_FOR: return read_run(view, false);
    }
    bool up = view->compare->way == WAY_ABOVE;
    pair = pair_at(view, view->at, up);
    return pair_reading(view->compare, &pair, up);
}

struct reading read_comparison(const struct condition_view *view)
{
    struct reading reading = read_way(view);
    if (reading.met == TRUTH_UNDEFINED)
        reading.untold = side_untold(view, &view->compare->value) ||
                         side_untold(view, &view->compare->other);
    return reading;
}
