/*
 * Candle shapes of section 5.  Only the long rows are written; a mirror row is the long row on
 * negated prices.  Colours, and prices against prices, are compared as given; lengths and computed
 * prices (middles, shares of a range, means, ATR) have the tolerance of section 2.
 */
#include "naive_internal.h"

#include <stdlib.h>
#include <string.h>

/* What a rule sees: the bars of its own orientation, the bars of the pattern, and the limits. */
struct view {
    const struct naive_bars *bars;
    const struct shape_use *use;
    size_t first, last;
    double tolerance;
    bool swap; /* a mirror row: upper and lower change places in the names of limits */
};

/* --- anatomy (section 2) ---------------------------------------------------------------------*/

static double open_of(const struct view *v, size_t bar)
{
    return v->bars->open[bar];
}
static double close_of(const struct view *v, size_t bar)
{
    return v->bars->close[bar];
}
static double range_of(const struct view *v, size_t bar)
{
    return v->bars->high[bar] - v->bars->low[bar];
}
static double body_of(const struct view *v, size_t bar)
{
    return fabs(close_of(v, bar) - open_of(v, bar));
}
static double top_of(const struct view *v, size_t bar)
{
    return fmax(open_of(v, bar), close_of(v, bar));
}
static double bottom_of(const struct view *v, size_t bar)
{
    return fmin(open_of(v, bar), close_of(v, bar));
}
static double upper_of(const struct view *v, size_t bar)
{
    return v->bars->high[bar] - top_of(v, bar);
}
static double lower_of(const struct view *v, size_t bar)
{
    return bottom_of(v, bar) - v->bars->low[bar];
}
static bool is_bullish(const struct view *v, size_t bar)
{
    return close_of(v, bar) > open_of(v, bar);
}
static bool is_bearish(const struct view *v, size_t bar)
{
    return close_of(v, bar) < open_of(v, bar);
}

/* --- limits ----------------------------------------------------------------------------------*/

static double limit_or(const struct view *v, const char *name, double usual)
{
    for (size_t i = 0; i < v->use->limit_count; i++) {
        if (strcmp(v->use->limit_name[i], name) == 0) {
            return v->use->limit_value[i];
        }
    }
    return usual;
}

/* "A mirror row's limits are named for what is seen on the chart" */
static double shadow_limit_or(const struct view *v, const char *plain, const char *mirrored,
                              double usual)
{
    return limit_or(v, v->swap ? mirrored : plain, usual);
}

/* --- measures before the pattern -------------------------------------------------------------*/

static double mean_body_before(const struct view *v, size_t count)
{
    if (count == 0 || v->first < count) {
        return NAN;
    }
    double sum = 0.0;
    for (size_t i = v->first - count; i < v->first; i++) {
        sum += body_of(v, i);
    }
    return sum / (double)count;
}

/* "ATR before": of the bar before the pattern. */
static double atr_before(const struct view *v)
{
    return v->first == 0 ? NAN : naive_atr14(v->bars, v->first - 1);
}

/* "long: body >= 1.3 times the mean body of the 10 bars before the pattern"; a limit of 0 switches
 * it off, bars before or not. */
static bool is_long(const struct view *v, size_t bar)
{
    double times = limit_or(v, "long_min_averages", 1.3);
    if (times == 0.0) {
        return true;
    }
    return at_least(body_of(v, bar), times * mean_body_before(v, 10), v->tolerance);
}

static bool is_doji(const struct view *v, size_t bar, double most)
{
    return at_most(body_of(v, bar), most * range_of(v, bar), v->tolerance);
}

/* --- one bar ---------------------------------------------------------------------------------*/

static bool any_rule(const struct view *v)
{
    (void)v;
    return true; /* "every bar with a range": asked of every bar of every pattern already */
}

/* "B <= 0.34R, B >= 0 (body_max, body_min; also body_max_average, off by default, against the mean body
 * of 10 bars), R >= 0.5 ATR before" */
static bool small_body_rule(const struct view *v)
{
    size_t t = v->last;
    double range = range_of(v, t);
    double floor_atr = limit_or(v, "range_min_atr", 0.5);
    double most_of_mean = limit_or(v, "body_max_average", 0.0);
    if (!at_most(body_of(v, t), limit_or(v, "body_max", 0.34) * range, v->tolerance)) {
        return false;
    }
    if (!at_least(body_of(v, t), limit_or(v, "body_min", 0.0) * range, v->tolerance)) {
        return false;
    }
    if (most_of_mean != 0.0 &&
        !at_most(body_of(v, t), most_of_mean * mean_body_before(v, 10), v->tolerance)) {
        return false;
    }
    return floor_atr == 0.0 || at_least(range, floor_atr * atr_before(v), v->tolerance);
}

/* "U >= 2B, W <= 0.10R" */
static bool inverted_hammer_rule(const struct view *v)
{
    size_t t = v->last;
    double bodies = shadow_limit_or(v, "upper_min_bodies", "lower_min_bodies", 2.0);
    double most = shadow_limit_or(v, "lower_max", "upper_max", 0.10);
    return at_least(upper_of(v, t), bodies * body_of(v, t), v->tolerance) &&
           at_most(lower_of(v, t), most * range_of(v, t), v->tolerance) && small_body_rule(v);
}

/* "W >= 2B, U <= 0.10R, the rest the same" */
static bool hammer_rule(const struct view *v)
{
    size_t t = v->last;
    double bodies = shadow_limit_or(v, "lower_min_bodies", "upper_min_bodies", 2.0);
    double most = shadow_limit_or(v, "upper_max", "lower_max", 0.10);
    return at_least(lower_of(v, t), bodies * body_of(v, t), v->tolerance) &&
           at_most(upper_of(v, t), most * range_of(v, t), v->tolerance) && small_body_rule(v);
}

static bool doji_rule(const struct view *v)
{
    return is_doji(v, v->last, limit_or(v, "body_max", 0.05));
}

/* "dojis that also have W <= 0.10R" */
static bool gravestone_rule(const struct view *v)
{
    double most = shadow_limit_or(v, "lower_max", "upper_max", 0.10);
    return doji_rule(v) && at_most(lower_of(v, v->last), most * range_of(v, v->last), v->tolerance);
}

/* "U,W >= 0.3R" */
static bool long_legged_rule(const struct view *v)
{
    double least = limit_or(v, "shadow_min", 0.3) * range_of(v, v->last);
    return doji_rule(v) && at_least(upper_of(v, v->last), least, v->tolerance) &&
           at_least(lower_of(v, v->last), least, v->tolerance);
}

/* "B <= 0.3R, U >= B, W >= B, not a doji" */
static bool spinning_top_rule(const struct view *v)
{
    size_t t = v->last;
    double least = limit_or(v, "shadow_min_bodies", 1.0) * body_of(v, t);
    return at_most(body_of(v, t), limit_or(v, "body_max", 0.3) * range_of(v, t), v->tolerance) &&
           at_least(upper_of(v, t), least, v->tolerance) &&
           at_least(lower_of(v, t), least, v->tolerance) &&
           !is_doji(v, t, limit_or(v, "doji_max", 0.05));
}

/* "B >= 0.95R, long" */
static bool marubozu_rule(const struct view *v)
{
    size_t t = v->last;
    return is_bullish(v, t) &&
           at_least(body_of(v, t), limit_or(v, "body_min", 0.95) * range_of(v, t), v->tolerance) &&
           is_long(v, t);
}

/* --- two bars --------------------------------------------------------------------------------*/

/* "O2 - L2 <= 0.02 R2, bullish, long, O2 < L1" */
static bool belt_hold_rule(const struct view *v)
{
    size_t one = v->first;
    size_t two = v->last;
    double shadow = open_of(v, two) - v->bars->low[two];
    double most = shadow_limit_or(v, "lower_max", "upper_max", 0.02);
    return at_most(shadow, most * range_of(v, two), v->tolerance) && is_bullish(v, two) &&
           is_long(v, two) && open_of(v, two) < v->bars->low[one];
}

/* "bearish 1; bullish 2; O2 <= C1, C2 >= O1, B2 > B1" */
static bool engulfing_of(const struct view *v, size_t one, size_t two)
{
    return is_bearish(v, one) && is_bullish(v, two) && open_of(v, two) <= close_of(v, one) &&
           close_of(v, two) >= open_of(v, one) &&
           exceeds(body_of(v, two), body_of(v, one), v->tolerance);
}

static bool engulfing_rule(const struct view *v)
{
    return engulfing_of(v, v->first, v->last);
}

/* "long bearish 1; body 2 inside body 1 (one end may touch, not both)" */
static bool lies_inside(const struct view *v, size_t one, size_t two)
{
    bool inside = top_of(v, two) <= open_of(v, one) && bottom_of(v, two) >= close_of(v, one);
    bool both_touch = top_of(v, two) == open_of(v, one) && bottom_of(v, two) == close_of(v, one);
    return is_bearish(v, one) && is_long(v, one) && inside && !both_touch;
}

static bool harami_of(const struct view *v, size_t one, size_t two)
{
    return lies_inside(v, one, two) && is_bullish(v, two);
}

static bool harami_rule(const struct view *v)
{
    return harami_of(v, v->first, v->last);
}

static bool harami_cross_rule(const struct view *v)
{
    return lies_inside(v, v->first, v->last) && is_doji(v, v->last, limit_or(v, "body_max", 0.05));
}

/* "long bearish 1; O2 < L1; C2 above the middle of body 1 and below O1" */
static bool piercing_rule(const struct view *v)
{
    size_t one = v->first;
    size_t two = v->last;
    double middle = close_of(v, one) + 0.5 * (open_of(v, one) - close_of(v, one));
    return is_bearish(v, one) && is_long(v, one) && open_of(v, two) < v->bars->low[one] &&
           exceeds(close_of(v, two), middle, v->tolerance) && close_of(v, two) < open_of(v, one);
}

/* "|L2-L1| <= 0.05 ATR before, bearish then bullish" */
static bool tweezer_rule(const struct view *v)
{
    double apart = fabs(v->bars->low[v->last] - v->bars->low[v->first]);
    double most = limit_or(v, "apart_max_atr", 0.05) * atr_before(v);
    return at_most(apart, most, v->tolerance) && is_bearish(v, v->first) && is_bullish(v, v->last);
}

/* "H2<=H1, L2>=L1 not both equal" */
static bool inside_rule(const struct view *v)
{
    double h1 = v->bars->high[v->first], l1 = v->bars->low[v->first];
    double h2 = v->bars->high[v->last], l2 = v->bars->low[v->last];
    return h2 <= h1 && l2 >= l1 && !(h2 == h1 && l2 == l1);
}

/* "the converse" */
static bool outside_rule(const struct view *v)
{
    double h1 = v->bars->high[v->first], l1 = v->bars->low[v->first];
    double h2 = v->bars->high[v->last], l2 = v->bars->low[v->last];
    return h2 >= h1 && l2 <= l1 && !(h2 == h1 && l2 == l1);
}

/* --- three bars ------------------------------------------------------------------------------*/

/* "long bearish 1; B2 <= 0.3 B1 and body 2 wholly below body 1 (its top below C1, not at it);
 * bullish 3 closing above the middle of body 1" */
static bool morning_star_rule(const struct view *v)
{
    size_t one = v->first;
    size_t two = v->first + 1;
    size_t three = v->last;
    double middle = close_of(v, one) + 0.5 * (open_of(v, one) - close_of(v, one));
    double most = limit_or(v, "star_max_bodies", 0.3) * body_of(v, one);
    return is_bearish(v, one) && is_long(v, one) && at_most(body_of(v, two), most, v->tolerance) &&
           top_of(v, two) < close_of(v, one) && is_bullish(v, three) &&
           exceeds(close_of(v, three), middle, v->tolerance);
}

/* "confirmed by a third close beyond the first two bodies" */
static bool third_close_beyond(const struct view *v)
{
    double top = fmax(top_of(v, v->first), top_of(v, v->first + 1));
    return close_of(v, v->last) > top;
}

static bool three_inside_rule(const struct view *v)
{
    return harami_of(v, v->first, v->first + 1) && third_close_beyond(v);
}

static bool three_outside_rule(const struct view *v)
{
    return engulfing_of(v, v->first, v->first + 1) && third_close_beyond(v);
}

/* "three long bullish, each opening within the body before, each closing in its own top 20% and
 * above the close before" (before: within the pattern) */
static bool three_soldiers_rule(const struct view *v)
{
    double share = limit_or(v, "close_max", 0.20);
    for (size_t i = v->first; i <= v->last; i++) {
        double least = v->bars->high[i] - share * range_of(v, i);
        if (!is_bullish(v, i) || !is_long(v, i) || !at_least(close_of(v, i), least, v->tolerance)) {
            return false;
        }
    }
    for (size_t i = v->first + 1; i <= v->last; i++) {
        bool opens_within = open_of(v, i) > open_of(v, i - 1) && open_of(v, i) < close_of(v, i - 1);
        if (!opens_within || !(close_of(v, i) > close_of(v, i - 1))) {
            return false;
        }
    }
    return true;
}

/* --- the table -------------------------------------------------------------------------------*/

#define SMALL_BODY " body_max body_min body_max_average range_min_atr "
#define LONG_BODY " long_min_averages "

struct row {
    const char *name;
    enum shape_side side;
    bool negated; /* the row is the rule on negated prices */
    size_t bars;
    bool (*rule)(const struct view *);
    const char *limits; /* words between blanks */
};

static const struct row rows[] = {
    {"any", SHAPE_BOTH, false, 1, any_rule, ""},
    {"inverted-hammer", SHAPE_LONG, false, 1, inverted_hammer_rule,
     " upper_min_bodies lower_max" SMALL_BODY},
    {"hanging-man", SHAPE_SHORT, true, 1, inverted_hammer_rule,
     " lower_min_bodies upper_max" SMALL_BODY},
    {"hammer", SHAPE_LONG, false, 1, hammer_rule, " lower_min_bodies upper_max" SMALL_BODY},
    {"shooting-star", SHAPE_SHORT, true, 1, hammer_rule, " upper_min_bodies lower_max" SMALL_BODY},
    {"doji", SHAPE_BOTH, false, 1, doji_rule, " body_max "},
    {"gravestone", SHAPE_BOTH, false, 1, gravestone_rule, " body_max lower_max "},
    {"dragonfly", SHAPE_BOTH, true, 1, gravestone_rule, " body_max upper_max "},
    {"long-legged", SHAPE_BOTH, false, 1, long_legged_rule, " body_max shadow_min "},
    {"spinning-top", SHAPE_BOTH, false, 1, spinning_top_rule,
     " body_max shadow_min_bodies doji_max "},
    {"bullish-marubozu", SHAPE_LONG, false, 1, marubozu_rule, " body_min" LONG_BODY},
    {"bearish-marubozu", SHAPE_SHORT, true, 1, marubozu_rule, " body_min" LONG_BODY},
    {"bullish-belt-hold", SHAPE_LONG, false, 2, belt_hold_rule, " lower_max" LONG_BODY},
    {"bearish-belt-hold", SHAPE_SHORT, true, 2, belt_hold_rule, " upper_max" LONG_BODY},
    {"bullish-engulfing", SHAPE_LONG, false, 2, engulfing_rule, ""},
    {"bearish-engulfing", SHAPE_SHORT, true, 2, engulfing_rule, ""},
    {"bullish-harami", SHAPE_LONG, false, 2, harami_rule, LONG_BODY},
    {"bearish-harami", SHAPE_SHORT, true, 2, harami_rule, LONG_BODY},
    {"bullish-harami-cross", SHAPE_LONG, false, 2, harami_cross_rule, " body_max" LONG_BODY},
    {"bearish-harami-cross", SHAPE_SHORT, true, 2, harami_cross_rule, " body_max" LONG_BODY},
    {"piercing-line", SHAPE_LONG, false, 2, piercing_rule, LONG_BODY},
    {"dark-cloud-cover", SHAPE_SHORT, true, 2, piercing_rule, LONG_BODY},
    {"morning-star", SHAPE_LONG, false, 3, morning_star_rule, " star_max_bodies" LONG_BODY},
    {"evening-star", SHAPE_SHORT, true, 3, morning_star_rule, " star_max_bodies" LONG_BODY},
    {"three-inside-up", SHAPE_LONG, false, 3, three_inside_rule, LONG_BODY},
    {"three-inside-down", SHAPE_SHORT, true, 3, three_inside_rule, LONG_BODY},
    {"three-outside-up", SHAPE_LONG, false, 3, three_outside_rule, ""},
    {"three-outside-down", SHAPE_SHORT, true, 3, three_outside_rule, ""},
    {"three-white-soldiers", SHAPE_LONG, false, 3, three_soldiers_rule, " close_max" LONG_BODY},
    {"three-black-crows", SHAPE_SHORT, true, 3, three_soldiers_rule, " close_max" LONG_BODY},
    {"tweezer-bottom", SHAPE_LONG, false, 2, tweezer_rule, " apart_max_atr "},
    {"tweezer-top", SHAPE_SHORT, true, 2, tweezer_rule, " apart_max_atr "},
    {"inside-bar", SHAPE_BOTH, false, 2, inside_rule, ""},
    {"outside-bar", SHAPE_BOTH, false, 2, outside_rule, ""},
};

static const struct row *row_of(const char *shape)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(rows[i].name, shape) == 0) {
            return &rows[i];
        }
    }
    return NULL;
}

enum shape_side naive_shape_side_of(const char *shape)
{
    const struct row *row = row_of(shape);
    return row == NULL ? SHAPE_UNKNOWN : row->side;
}

bool naive_shape_has_limit(const char *shape, const char *limit)
{
    const struct row *row = row_of(shape);
    size_t length = strlen(limit);
    if (row == NULL || length == 0) {
        return false;
    }
    for (const char *at = strstr(row->limits, limit); at != NULL; at = strstr(at + 1, limit)) {
        bool starts = at == row->limits || at[-1] == ' ';
        bool ends = at[length] == ' ' || at[length] == '\0';
        if (starts && ends) {
            return true;
        }
    }
    return false;
}

bool naive_shape_ends_at(const struct naive_bars *seen, const struct naive_bars *negated,
                         const struct shape_use *use, size_t t, size_t *first)
{
    const struct row *row = row_of(use->shape);
    if (row == NULL || t >= seen->count || t + 1 < row->bars) {
        return false;
    }
    struct view view = {.bars = row->negated ? negated : seen,
                        .use = use,
                        .first = t + 1 - row->bars,
                        .last = t,
                        .swap = row->negated};
    view.tolerance = naive_tolerance_over(view.bars, view.first, view.last);
    /* "A bar with H = L belongs to no shape, at any place in a pattern." */
    for (size_t i = view.first; i <= t; i++) {
        if (view.bars->high[i] == view.bars->low[i]) {
            return false;
        }
    }
    *first = view.first;
    return row->rule(&view);
}

bool naive_shape(const struct naive_bars *bars, const char *shape, const struct naive_limit *limits,
                 size_t limit_count, size_t t)
{
    struct shape_use use = {.limit_count = 0};
    if (strlen(shape) >= NAIVE_WORD || limit_count > NAIVE_MOST) {
        return false;
    }
    strcpy(use.shape, shape);
    for (size_t i = 0; i < limit_count; i++) {
        if (strlen(limits[i].name) >= NAIVE_WORD || !naive_shape_has_limit(shape, limits[i].name)) {
            return false;
        }
        strcpy(use.limit_name[i], limits[i].name);
        use.limit_value[i] = limits[i].value;
    }
    use.limit_count = limit_count;
    struct owned_bars *negated = naive_bars_negated(bars);
    size_t first = 0;
    bool fits = naive_shape_ends_at(bars, &negated->view, &use, t, &first);
    naive_bars_free(negated);
    return fits;
}
