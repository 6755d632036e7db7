/*
 * Conditions.  Only the long rows are written.  Each word says which way it looks: a mirror word is
 * the long row on negated bars, whatever the side of the setup ("what is written is what is seen on
 * the chart, whatever the side").  "A condition with an undefined input is false, and so is its not":
 * so a condition has three answers.
 */
#include "naive_internal.h"

#include <stdlib.h>
#include <string.h>

/* What a rule sees: bars of its own orientation, known ones only, and the candle first..bar. */
struct look {
    const struct chart *chart;
    const struct condition *condition;
    const struct naive_bars *bars;
    bool mirrored;
    size_t first; /* f */
    size_t bar;   /* t */
};

static enum verdict answer(bool holds)
{
    return holds ? YES : NO;
}

static enum verdict answer_if(bool defined, bool holds)
{
    return defined ? answer(holds) : UNDEFINED;
}

static const struct parameter *parameter_of(const struct look *look, const char *name)
{
    for (size_t i = 0; i < look->condition->parameter_count; i++) {
        if (strcmp(look->condition->parameters[i].name, name) == 0) {
            return &look->condition->parameters[i];
        }
    }
    return NULL;
}

static double number(const struct look *look, const char *name, double usual)
{
    const struct parameter *parameter = parameter_of(look, name);
    return parameter == NULL ? usual : parameter->number;
}

static size_t count_of(const struct look *look, const char *name, size_t usual)
{
    double value = number(look, name, (double)usual);
    return value > 0.0 ? (size_t)value : 0;
}

/* A level on the scale 0..100 is mirrored at 50: rsi_above 70 is rsi_below 30 of negated prices. */
static double hundred_scale(const struct look *look, const char *name, double usual)
{
    const struct parameter *parameter = parameter_of(look, name);
    if (parameter == NULL) {
        return usual;
    }
    return look->mirrored ? 100.0 - parameter->number : parameter->number;
}

/* --- place -----------------------------------------------------------------------------------*/

/* "slope of closes f-n .. f-1, times n-1, is <= -a * ATR[f-1]" */
static enum verdict downtrend(const struct look *look)
{
    size_t n = count_of(look, "bars", 10);
    double a = number(look, look->mirrored ? "rise_atr" : "fall_atr", 1.0);
    size_t f = look->first;
    if (n < 2 || f < n) {
        return UNDEFINED;
    }
    double atr = naive_atr14(look->bars, f - 1);
    double moved = naive_slope_of_closes(look->bars, n, f - 1) * ((double)n - 1.0);
    double tolerance = naive_tolerance_over(look->bars, f - n, f - 1);
    return answer_if(!isnan(atr) && !isnan(moved), at_most(moved, -a * atr, tolerance));
}

/* "highest high of f-n .. f-1 less the lowest low of f..t is >= a * ATR[f-1]" */
static enum verdict fall(const struct look *look)
{
    size_t n = count_of(look, "bars", 10);
    double a = number(look, "atr", 1.0);
    size_t f = look->first;
    if (n == 0 || f < n) {
        return UNDEFINED;
    }
    double atr = naive_atr14(look->bars, f - 1);
    double highest = look->bars->high[f - n];
    for (size_t i = f - n; i < f; i++) {
        highest = fmax(highest, look->bars->high[i]);
    }
    double lowest = look->bars->low[f];
    for (size_t i = f; i <= look->bar; i++) {
        lowest = fmin(lowest, look->bars->low[i]);
    }
    double tolerance = naive_tolerance_over(look->bars, f - n, look->bar);
    return answer_if(!isnan(atr), at_least(highest - lowest, a * atr, tolerance));
}

/* "the lowest low of f..t is <= min(L[f-n .. f-1])": prices as given */
static enum verdict lowest_low(const struct look *look)
{
    size_t n = count_of(look, "bars", 10);
    size_t f = look->first;
    if (n == 0 || f < n) {
        return UNDEFINED;
    }
    double before = look->bars->low[f - n];
    for (size_t i = f - n; i < f; i++) {
        before = fmin(before, look->bars->low[i]);
    }
    double candle = look->bars->low[f];
    for (size_t i = f; i <= look->bar; i++) {
        candle = fmin(candle, look->bars->low[i]);
    }
    return answer(candle <= before);
}

/* "the newest m swing highs and the newest m swing lows known at f-1 each fall strictly" */
static enum verdict lower_swings(const struct look *look)
{
    size_t k = count_of(look, "swing", 3);
    size_t m = count_of(look, "count", 2);
    if (look->first == 0) {
        return UNDEFINED;
    }
    size_t known_at = look->first - 1;
    size_t highs = 0;
    size_t lows = 0;
    double newer_high = NAN;
    double newer_low = NAN;
    bool falls = true;
    for (size_t back = 0; back <= known_at; back++) {
        size_t i = known_at - back;
        if (i + k > known_at) {
            continue;
        }
        if (highs < m && naive_is_swing_high(look->bars, k, i)) {
            falls = falls && (highs == 0 || newer_high < look->bars->high[i]);
            newer_high = look->bars->high[i];
            highs += 1;
        }
        if (lows < m && naive_is_swing_low(look->bars, k, i)) {
            falls = falls && (lows == 0 || newer_low < look->bars->low[i]);
            newer_low = look->bars->low[i];
            lows += 1;
        }
    }
    return answer_if(highs == m && lows == m, falls);
}

/* "a line exists"; "trend lines end before f" */
static enum verdict falling_trend_line(const struct look *look)
{
    size_t window = count_of(look, "bars", 60);
    size_t k = count_of(look, "swing", 3);
    if (look->first == 0) {
        return UNDEFINED;
    }
    return answer(naive_falling_trend_line_at(look->bars, window, k, look->first - 1).exists);
}

/* "some low of f..t within w*ATR[t] of a level's span and C[t] not below its lower edge" (the edge is
 * a price as given) */
static enum verdict at_support(const struct look *look)
{
    double w = number(look, "width_atr", 0.5);
    size_t t = look->bar;
    size_t window = count_of(look, "bars", 250);
    size_t count = 0;
    struct level *levels = naive_levels_at(look->bars, window, count_of(look, "swing", 3), w,
                                           count_of(look, "touches", 2), t, &count);
    if (levels == NULL) {
        return UNDEFINED;
    }
    double reach = w * naive_atr14(look->bars, t);
    double tolerance = naive_tolerance_over(look->bars, t + 1 >= window ? t + 1 - window : 0, t);
    bool holds = false;
    for (size_t which = 0; which < count; which++) {
        for (size_t i = look->first; i <= t; i++) {
            bool near = at_least(look->bars->low[i], levels[which].lower - reach, tolerance) &&
                        at_most(look->bars->low[i], levels[which].upper + reach, tolerance);
            holds = holds || (near && look->bars->close[t] >= levels[which].lower);
        }
    }
    free(levels);
    return answer(holds);
}

/* Some bar of f..t comes within w*ATR[t] of a level, or of the place that a line has come to on
 * that bar, made before f began and not withdrawn before t; its own mirror.  With none by then it
 * cannot be told. */
static enum verdict at_own_level(const struct look *look)
{
    const struct naive_market *market = look->chart->market;
    double reach = number(look, "width_atr", 0.5) * naive_atr14(look->bars, look->bar);
    if (isnan(reach)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->first, look->bar);
    enum verdict verdict = UNDEFINED;
    for (size_t which = 0; which < market->mark_count; which++) {
        const struct naive_mark *mark = &market->marks[which];
        if (look->bars->time[look->first] <= mark->made ||
            (mark->withdrawn && look->bars->time[look->bar] > mark->until)) {
            continue;
        }
        verdict = verdict == YES ? YES : NO;
        for (size_t i = look->first; i <= look->bar; i++) {
            double price = mark->price + ((double)i - mark->bar) * mark->slope;
            if (at_least(price, look->bars->low[i] - reach, tolerance) &&
                at_most(price, look->bars->high[i] + reach, tolerance)) {
                verdict = YES;
            }
        }
    }
    return verdict;
}

/* --- measures --------------------------------------------------------------------------------*/

/* "RSI, stochastic and ADX are equal within 1e-9" */
static const double oscillator_tie = 1e-9;

/* "MACD, its signal and its histogram within 1e-10 of the close of their bar, of the newer of two" */
static double macd_tie(const struct look *look, size_t bar)
{
    return 1e-10 * fabs(look->bars->close[bar]);
}

static enum verdict rsi_below(const struct look *look)
{
    double rsi = naive_relative_strength(look->bars, count_of(look, "length", 14), look->bar);
    return answer_if(!isnan(rsi),
                     falls_short(rsi, hundred_scale(look, "level", 30.0), oscillator_tie));
}

/* "at or below one bar ago, above now"; "from_below: x asks that RSI one bar ago was below x" */
static enum verdict rsi_crosses_above_average(const struct look *look)
{
    size_t n = count_of(look, "length", 14);
    size_t m = count_of(look, "average", 9);
    if (look->bar == 0) {
        return UNDEFINED;
    }
    double now = naive_relative_strength(look->bars, n, look->bar);
    double before = naive_relative_strength(look->bars, n, look->bar - 1);
    double average_now = naive_relative_strength_average(look->bars, n, m, look->bar);
    double average_before = naive_relative_strength_average(look->bars, n, m, look->bar - 1);
    double from = hundred_scale(look, look->mirrored ? "from_above" : "from_below", NAN);
    bool defined = !isnan(now) && !isnan(before) && !isnan(average_now) && !isnan(average_before);
    bool crosses = at_most(before, average_before, oscillator_tie) &&
                   exceeds(now, average_now, oscillator_tie);
    return answer_if(defined,
                     crosses && (isnan(from) || falls_short(before, from, oscillator_tie)));
}

/* "reads the value after the last mean" */
static enum verdict stochastic_below(const struct look *look)
{
    double value = naive_stochastic_at(look->bars, count_of(look, "length", 14),
                                       count_of(look, "smooth", 3), count_of(look, "average", 3),
                                       look->bar);
    return answer_if(!isnan(value),
                     falls_short(value, hundred_scale(look, "level", 20.0), oscillator_tie));
}

/* A band is a computed price: the close must exceed the tolerance below it. */
static enum verdict below_lower_band(const struct look *look)
{
    size_t n = count_of(look, "bars", 20);
    double band = naive_lower_band(look->bars, n, number(look, "width", 2.0), look->bar);
    if (isnan(band)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->bar + 1 - n, look->bar);
    return answer(falls_short(look->bars->close[look->bar], band, tolerance));
}

static struct macd_value macd_of(const struct look *look, size_t bar)
{
    return naive_macd_at(look->bars, count_of(look, "fast", 12), count_of(look, "slow", 26),
                         count_of(look, "signal", 9), bar);
}

/* "histogram higher than one bar ago" */
static enum verdict macd_turns_up(const struct look *look)
{
    if (look->bar == 0) {
        return UNDEFINED;
    }
    double now = macd_of(look, look->bar).histogram;
    double before = macd_of(look, look->bar - 1).histogram;
    return answer_if(!isnan(now) && !isnan(before),
                     exceeds(now, before, macd_tie(look, look->bar)));
}

/* As with RSI: at or below its signal one bar ago, above now. */
static enum verdict macd_crosses_signal_up(const struct look *look)
{
    if (look->bar == 0) {
        return UNDEFINED;
    }
    struct macd_value now = macd_of(look, look->bar);
    struct macd_value before = macd_of(look, look->bar - 1);
    bool defined = !isnan(now.signal) && !isnan(before.signal);
    return answer_if(defined, at_most(before.line, before.signal, macd_tie(look, look->bar - 1)) &&
                                  exceeds(now.line, now.signal, macd_tie(look, look->bar)));
}

static enum verdict macd_above_zero(const struct look *look)
{
    double line = macd_of(look, look->bar).line;
    return answer_if(!isnan(line), exceeds(line, 0.0, macd_tie(look, look->bar)));
}

static enum verdict adx_below(const struct look *look)
{
    double adx = naive_adx_at(look->bars, count_of(look, "length", 14), look->bar);
    return answer_if(!isnan(adx), falls_short(adx, number(look, "level", 20.0), oscillator_tie));
}

/* Not the mirror of adx_below (negated prices have the same ADX) but its opposite. */
static enum verdict adx_above(const struct look *look)
{
    double adx = naive_adx_at(look->bars, count_of(look, "length", 14), look->bar);
    return answer_if(!isnan(adx), exceeds(adx, number(look, "level", 20.0), oscillator_tie));
}

/* A mean is a computed price: the close must exceed the tolerance above it. */
static enum verdict close_above_average(const struct look *look)
{
    size_t n = count_of(look, "bars", 20);
    double mean = naive_mean_of_closes(look->bars, n, look->bar);
    if (isnan(mean)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->bar + 1 - n, look->bar);
    return answer(exceeds(look->bars->close[look->bar], mean, tolerance));
}

/* "the mean above itself 5 bars ago", both computed prices */
static enum verdict average_rising(const struct look *look)
{
    size_t n = count_of(look, "bars", 20);
    size_t over = count_of(look, "over", 5);
    if (look->bar < over) {
        return UNDEFINED;
    }
    double now = naive_mean_of_closes(look->bars, n, look->bar);
    double before = naive_mean_of_closes(look->bars, n, look->bar - over);
    if (isnan(now) || isnan(before)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->bar + 1 - n - over, look->bar);
    return answer(exceeds(now, before, tolerance));
}

/* Volume is compared as it is; the mean is of the last n bars, this one included. */
static enum verdict volume_above_average(const struct look *look)
{
    double mean = naive_mean_of_volume(look->bars, count_of(look, "bars", 20), look->bar);
    double volume = look->bars->volume[look->bar];
    /* bars whose volumes are all 0 have none */
    return answer_if(!isnan(mean) && !isnan(volume) && mean != 0.0,
                     volume > number(look, "times", 1.0) * mean);
}

/* "among the swing lows(k) known at t with index >= t-n+1, with t itself added if
 * L[t] <= min(L[t-k..t-1]), the newest two: price lower, RSI higher" */
static enum verdict bullish_divergence(const struct look *look)
{
    size_t window = count_of(look, "bars", 60);
    size_t k = count_of(look, "swing", 3);
    size_t length = count_of(look, "length", 14);
    size_t t = look->bar;
    const struct naive_bars *bars = look->bars;
    size_t older = NAIVE_NONE;
    size_t newer = NAIVE_NONE;
    for (size_t i = t + 1 >= window ? t + 1 - window : 0; i + k <= t; i++) {
        if (naive_is_swing_low(bars, k, i)) {
            older = newer;
            newer = i;
        }
    }
    bool lowest = t >= k;
    for (size_t step = 1; lowest && step <= k; step++) {
        lowest = bars->low[t] <= bars->low[t - step];
    }
    if (lowest) {
        older = newer;
        newer = t;
    }
    if (older == NAIVE_NONE || newer == NAIVE_NONE) {
        return UNDEFINED;
    }
    double rsi_older = naive_relative_strength(bars, length, older);
    double rsi_newer = naive_relative_strength(bars, length, newer);
    return answer_if(!isnan(rsi_older) && !isnan(rsi_newer),
                     bars->low[newer] < bars->low[older] &&
                         exceeds(rsi_newer, rsi_older, oscillator_tie));
}

/* --- calendar --------------------------------------------------------------------------------*/

static enum verdict weekday(const struct look *look)
{
    static const char *const names[7] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    const char *name = names[naive_weekday_of(look->bars->time[look->bar])];
    for (size_t i = 0; i < look->condition->word_count; i++) {
        if (strcmp(look->condition->words[i], name) == 0) {
            return YES;
        }
    }
    return NO;
}

/* "HH:MM" in seconds; "24:00" is the end of the day. */
static int64_t clock_seconds(const struct parameter *parameter, int64_t usual)
{
    if (parameter == NULL) {
        return usual;
    }
    char *rest = NULL;
    long hours = strtol(parameter->text, &rest, 10);
    long minutes = *rest == ':' ? strtol(rest + 1, NULL, 10) : 0;
    return hours * 3600 + minutes * 60;
}

/* The bar's start lies in [from, to), over midnight where `to` is the earlier. */
static enum verdict time_of_day(const struct look *look)
{
    int64_t time = look->bars->time[look->bar];
    int64_t into_day = time - naive_calendar_day(time) * 86400;
    int64_t from = clock_seconds(parameter_of(look, "from"), 0);
    int64_t to = clock_seconds(parameter_of(look, "to"), 86400);
    if (from > to) {
        return answer(into_day >= from || into_day < to);
    }
    return answer(into_day >= from && into_day < to);
}

/* Whether bars of this interval are known by their date alone. */
static bool is_dated(const char *interval)
{
    return strpbrk(interval, "dwMo") != NULL;
}

/* No event of the kind within the bar's time, up to `before` days ahead of its start or up to `after`
 * days behind it; by dates where the bar has only a date.  "Of a kind those between its first and its
 * last are known": outside it cannot be told.  One with a `known` "counts from the bar that holds that
 * moment". */
static enum verdict no_event(const struct look *look)
{
    const struct naive_market *market = look->chart->market;
    const struct parameter *kind = parameter_of(look, "kind");
    double before = number(look, "before", 0.0) * 86400.0;
    double after = number(look, "after", 0.0) * 86400.0;
    int64_t start = look->bars->time[look->bar];
    int64_t end = naive_bucket_end(start, look->bars->interval);
    int64_t first = INT64_MAX;
    int64_t last = INT64_MIN;
    for (size_t i = 0; i < market->event_count; i++) {
        if (kind != NULL && strcmp(kind->text, market->events[i].kind) != 0) {
            continue;
        }
        if (market->events[i].known_later && market->events[i].known >= end) {
            continue;
        }
        int64_t time = market->events[i].time;
        if (is_dated(look->bars->interval)) {
            time = naive_calendar_day(time) * 86400;
        }
        double ahead = (double)(time - start);
        if ((ahead <= before && -ahead <= after) || (time >= start && time < end)) {
            return NO;
        }
        first = time < first ? time : first;
        last = time > last ? time : last;
    }
    return answer_if(first <= start && start <= last, true);
}

/* --- values compared --------------------------------------------------------------------------*/

static enum verdict compare(const struct look *look)
{
    return naive_comparison_at(look->chart, look->condition->comparison, look->bars, look->bar);
}

/* --- the table -------------------------------------------------------------------------------*/

struct row {
    const char *word;
    bool negated;
    enum verdict (*rule)(const struct look *);
    const char *parameters;
};

static const struct row rows[] = {
    {"downtrend", false, downtrend, " bars fall_atr "},
    {"uptrend", true, downtrend, " bars rise_atr "},
    {"fall", false, fall, " bars atr "},
    {"rise", true, fall, " bars atr "},
    {"lowest_low", false, lowest_low, " bars "},
    {"highest_high", true, lowest_low, " bars "},
    {"lower_swings", false, lower_swings, " swing count "},
    {"higher_swings", true, lower_swings, " swing count "},
    {"falling_trend_line", false, falling_trend_line, " bars swing "},
    {"rising_trend_line", true, falling_trend_line, " bars swing "},
    {"at_support", false, at_support, " bars swing width_atr touches "},
    {"at_resistance", true, at_support, " bars swing width_atr touches "},
    {"at_own_level", false, at_own_level, " width_atr "},
    {"rsi_below", false, rsi_below, " length level "},
    {"rsi_above", true, rsi_below, " length level "},
    {"rsi_crosses_above_average", false, rsi_crosses_above_average, " length average from_below "},
    {"rsi_crosses_below_average", true, rsi_crosses_above_average, " length average from_above "},
    {"stochastic_below", false, stochastic_below, " length smooth average level "},
    {"stochastic_above", true, stochastic_below, " length smooth average level "},
    {"below_lower_band", false, below_lower_band, " bars width "},
    {"above_upper_band", true, below_lower_band, " bars width "},
    {"macd_turns_up", false, macd_turns_up, " fast slow signal "},
    {"macd_turns_down", true, macd_turns_up, " fast slow signal "},
    {"macd_crosses_signal_up", false, macd_crosses_signal_up, " fast slow signal "},
    {"macd_crosses_signal_down", true, macd_crosses_signal_up, " fast slow signal "},
    {"macd_above_zero", false, macd_above_zero, " fast slow signal "},
    {"macd_below_zero", true, macd_above_zero, " fast slow signal "},
    {"bullish_divergence", false, bullish_divergence, " bars swing length "},
    {"bearish_divergence", true, bullish_divergence, " bars swing length "},
    {"adx_below", false, adx_below, " length level "},
    {"adx_above", false, adx_above, " length level "},
    {"close_above_average", false, close_above_average, " bars "},
    {"close_below_average", true, close_above_average, " bars "},
    {"average_rising", false, average_rising, " bars over "},
    {"average_falling", true, average_rising, " bars over "},
    {"volume_above_average", false, volume_above_average, " bars times "},
    {"compare", false, compare, " "},
    {"weekday", false, weekday, " of "},
    {"time_of_day", false, time_of_day, " from to "},
    {"no_event", false, no_event, " kind before after "},
};

static const struct row *row_of(const char *word)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(rows[i].word, word) == 0) {
            return &rows[i];
        }
    }
    return NULL;
}

const char *naive_condition_parameters(const char *word)
{
    const struct row *row = row_of(word);
    return row == NULL ? NULL : row->parameters;
}

void naive_condition_clear(struct condition *condition)
{
    for (size_t i = 0; i < condition->inner_count; i++) {
        naive_condition_clear(&condition->inner[i]);
    }
    free(condition->comparison);
    condition->comparison = NULL;
    free(condition->inner);
    condition->inner = NULL;
    condition->inner_count = 0;
}

/* --- asking ----------------------------------------------------------------------------------*/

static bool is_negated(const struct condition *condition, const struct row *row)
{
    return row->negated ||
           (condition->comparison != NULL && naive_comparison_is_negated(condition->comparison));
}

/* "read on its last bar already closed": the candle is then that bar alone. */
static enum verdict on_longer_bars(const struct chart *chart, const struct condition *condition,
                                   const struct row *row, size_t bar)
{
    enum orientation way = is_negated(condition, row) ? NEGATED : AS_SEEN;
    const struct naive_bars *own = &chart->bars[way]->view;
    int64_t known_at = naive_bucket_end(own->time[bar], own->interval);
    struct owned_bars *longer = naive_longer_bars(&chart->base[way]->view, condition->interval,
                                                  known_at);
    enum verdict verdict = UNDEFINED;
    if (longer->view.count > 0) {
        size_t last = longer->view.count - 1;
        struct look look = {chart, condition, &longer->view, way == NEGATED, last, last};
        verdict = row->rule(&look);
    }
    naive_bars_free(longer);
    return verdict;
}

/* "As a confirm condition at another bar than t, the candle is that bar alone." */
static enum verdict on_one_bar(const struct chart *chart, const struct condition *condition,
                               size_t first, size_t candle, size_t bar)
{
    const struct row *row = row_of(condition->word);
    if (row == NULL) {
        return UNDEFINED;
    }
    bool negated = is_negated(condition, row);
    const struct naive_bars *own = &chart->bars[negated ? NEGATED : AS_SEEN]->view;
    if (condition->interval[0] != '\0' && strcmp(condition->interval, own->interval) != 0) {
        return on_longer_bars(chart, condition, row, bar);
    }
    struct look look = {chart, condition, own, negated, bar == candle ? first : bar, bar};
    return row->rule(&look);
}

/* "within: w asks on any of the bars s-w .. s"; a bar before the first is undefined. */
static enum verdict on_any_bar(const struct chart *chart, const struct condition *condition,
                               size_t first, size_t candle, size_t bar)
{
    enum verdict verdict = NO;
    for (size_t back = 0; back <= condition->within; back++) {
        enum verdict there = UNDEFINED;
        if (back <= bar) {
            there = on_one_bar(chart, condition, first, candle, bar - back);
        }
        if (there == YES) {
            return YES;
        }
        if (there == UNDEFINED) {
            verdict = UNDEFINED;
        }
    }
    return verdict;
}

enum verdict naive_condition_at(const struct chart *chart, const struct condition *condition,
                                size_t first, size_t candle, size_t bar)
{
    if (strcmp(condition->word, "not") == 0) {
        enum verdict inner = naive_condition_at(chart, &condition->inner[0], first, candle, bar);
        return inner == UNDEFINED ? UNDEFINED : answer(inner == NO);
    }
    if (strcmp(condition->word, "any") == 0) {
        enum verdict verdict = NO;
        for (size_t i = 0; i < condition->inner_count; i++) {
            enum verdict inner = naive_condition_at(chart, &condition->inner[i], first, candle,
                                                    bar);
            if (inner == YES) {
                return YES;
            }
            verdict = inner == UNDEFINED ? UNDEFINED : verdict;
        }
        return verdict;
    }
    return on_any_bar(chart, condition, first, candle, bar);
}

bool naive_condition_of_candle(const struct naive_market *market, const char *condition_yaml_text,
                               size_t first, size_t t)
{
    struct condition condition = {.inner = NULL};
    char message[200];
    if (naive_condition_read(condition_yaml_text, &condition, message, sizeof message) != 0) {
        return false;
    }
    bool holds = false;
    if (first <= t && t < market->bars.count) {
        struct chart *chart = naive_chart_new(market, "");
        holds = naive_condition_at(chart, &condition, first, t, t) == YES;
        naive_chart_free(chart);
    }
    naive_condition_clear(&condition);
    return holds;
}

bool naive_condition(const struct naive_market *market, const char *condition_yaml_text, size_t t)
{
    return naive_condition_of_candle(market, condition_yaml_text, t, t);
}
