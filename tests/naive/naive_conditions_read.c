/* Conditions of measures, and of the calendar. */
#include "naive_conditions.h"

#include <stdlib.h>

#include <string.h>

/* --- measures --------------------------------------------------------------------------------*/

/* "RSI, stochastic and ADX are equal within 1e-9" */
static const double oscillator_tie = 1e-9;

/* "MACD, its signal and its histogram within 1e-10 of the close of their bar, of the newer of two" */
static double macd_tie(const struct look *look, size_t bar)
{
    return 1e-10 * fabs(look->bars->close[bar]);
}

enum verdict rule_rsi_below(const struct look *look)
{
    double rsi = naive_relative_strength(look->bars, look_count_of(look, "length", 14), look->bar);
    return look_answer_if(!isnan(rsi), falls_short(rsi, look_hundred_scale(look, "level", 30.0),
                                                   oscillator_tie));
}

/* "at or below one bar ago, above now"; "from_below: x asks that RSI one bar ago was below x" */
enum verdict rule_rsi_crosses_above_average(const struct look *look)
{
    size_t n = look_count_of(look, "length", 14);
    size_t m = look_count_of(look, "average", 9);
    if (look->bar == 0) {
        return UNDEFINED;
    }
    double now = naive_relative_strength(look->bars, n, look->bar);
    double before = naive_relative_strength(look->bars, n, look->bar - 1);
    double average_now = naive_relative_strength_average(look->bars, n, m, look->bar);
    double average_before = naive_relative_strength_average(look->bars, n, m, look->bar - 1);
    double from = look_hundred_scale(look, look->mirrored ? "from_above" : "from_below", NAN);
    bool defined = !isnan(now) && !isnan(before) && !isnan(average_now) && !isnan(average_before);
    bool crosses = at_most(before, average_before, oscillator_tie) &&
                   exceeds(now, average_now, oscillator_tie);
    return look_answer_if(defined,
                          crosses && (isnan(from) || falls_short(before, from, oscillator_tie)));
}

/* "reads the value after the last mean" */
enum verdict rule_stochastic_below(const struct look *look)
{
    double value = naive_stochastic_at(look->bars, look_count_of(look, "length", 14),
                                       look_count_of(look, "smooth", 3),
                                       look_count_of(look, "average", 3), look->bar);
    return look_answer_if(!isnan(value), falls_short(value, look_hundred_scale(look, "level", 20.0),
                                                     oscillator_tie));
}

/* A band is a computed price: the close must exceed the tolerance below it. */
enum verdict rule_below_lower_band(const struct look *look)
{
    size_t n = look_count_of(look, "bars", 20);
    double band = naive_lower_band(look->bars, n, look_number(look, "width", 2.0), look->bar);
    if (isnan(band)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->bar + 1 - n, look->bar);
    return look_answer(falls_short(look->bars->close[look->bar], band, tolerance));
}

static struct macd_value macd_of(const struct look *look, size_t bar)
{
    return naive_macd_at(look->bars, look_count_of(look, "fast", 12),
                         look_count_of(look, "slow", 26), look_count_of(look, "signal", 9), bar);
}

/* "histogram higher than one bar ago" */
enum verdict rule_macd_turns_up(const struct look *look)
{
    if (look->bar == 0) {
        return UNDEFINED;
    }
    double now = macd_of(look, look->bar).histogram;
    double before = macd_of(look, look->bar - 1).histogram;
    return look_answer_if(!isnan(now) && !isnan(before),
                          exceeds(now, before, macd_tie(look, look->bar)));
}

/* As with RSI: at or below its signal one bar ago, above now. */
enum verdict rule_macd_crosses_signal_up(const struct look *look)
{
    if (look->bar == 0) {
        return UNDEFINED;
    }
    struct macd_value now = macd_of(look, look->bar);
    struct macd_value before = macd_of(look, look->bar - 1);
    bool defined = !isnan(now.signal) && !isnan(before.signal);
    return look_answer_if(defined,
                          at_most(before.line, before.signal, macd_tie(look, look->bar - 1)) &&
                              exceeds(now.line, now.signal, macd_tie(look, look->bar)));
}

enum verdict rule_macd_above_zero(const struct look *look)
{
    double line = macd_of(look, look->bar).line;
    return look_answer_if(!isnan(line), exceeds(line, 0.0, macd_tie(look, look->bar)));
}

enum verdict rule_adx_below(const struct look *look)
{
    double adx = naive_adx_at(look->bars, look_count_of(look, "length", 14), look->bar);
    return look_answer_if(!isnan(adx),
                          falls_short(adx, look_number(look, "level", 20.0), oscillator_tie));
}

/* Not the mirror of adx_below (negated prices have the same ADX) but its opposite. */
enum verdict rule_adx_above(const struct look *look)
{
    double adx = naive_adx_at(look->bars, look_count_of(look, "length", 14), look->bar);
    return look_answer_if(!isnan(adx),
                          exceeds(adx, look_number(look, "level", 20.0), oscillator_tie));
}

/* A mean is a computed price: the close must exceed the tolerance above it. */
enum verdict rule_close_above_average(const struct look *look)
{
    size_t n = look_count_of(look, "bars", 20);
    double mean = naive_mean_of_closes(look->bars, n, look->bar);
    if (isnan(mean)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->bar + 1 - n, look->bar);
    return look_answer(exceeds(look->bars->close[look->bar], mean, tolerance));
}

/* "the mean above itself 5 bars ago", both computed prices */
enum verdict rule_average_rising(const struct look *look)
{
    size_t n = look_count_of(look, "bars", 20);
    size_t over = look_count_of(look, "over", 5);
    if (look->bar < over) {
        return UNDEFINED;
    }
    double now = naive_mean_of_closes(look->bars, n, look->bar);
    double before = naive_mean_of_closes(look->bars, n, look->bar - over);
    if (isnan(now) || isnan(before)) {
        return UNDEFINED;
    }
    double tolerance = naive_tolerance_over(look->bars, look->bar + 1 - n - over, look->bar);
    return look_answer(exceeds(now, before, tolerance));
}

/* Volume is compared as it is; the mean is of the last n bars, this one included. */
enum verdict rule_volume_above_average(const struct look *look)
{
    double mean = naive_mean_of_volume(look->bars, look_count_of(look, "bars", 20), look->bar);
    double volume = look->bars->volume[look->bar];
    /* bars whose volumes are all 0 have none */
    return look_answer_if(!isnan(mean) && !isnan(volume) && mean != 0.0,
                          volume > look_number(look, "times", 1.0) * mean);
}

/* "among the swing lows(k) known at t with index >= t-n+1, with t itself added if
 * L[t] <= min(L[t-k..t-1]), the newest two: price lower, RSI higher" */
enum verdict rule_bullish_divergence(const struct look *look)
{
    size_t window = look_count_of(look, "bars", 60);
    size_t k = look_count_of(look, "swing", 3);
    size_t length = look_count_of(look, "length", 14);
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
    return look_answer_if(!isnan(rsi_older) && !isnan(rsi_newer),
                          bars->low[newer] < bars->low[older] &&
                              exceeds(rsi_newer, rsi_older, oscillator_tie));
}

/* --- calendar --------------------------------------------------------------------------------*/

enum verdict rule_weekday(const struct look *look)
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
enum verdict rule_time_of_day(const struct look *look)
{
    int64_t time = look->bars->time[look->bar];
    int64_t into_day = time - naive_calendar_day(time) * 86400;
    int64_t from = clock_seconds(look_parameter_of(look, "from"), 0);
    int64_t to = clock_seconds(look_parameter_of(look, "to"), 86400);
    if (from > to) {
        return look_answer(into_day >= from || into_day < to);
    }
    return look_answer(into_day >= from && into_day < to);
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
enum verdict rule_no_event(const struct look *look)
{
    const struct naive_market *market = look->chart->market;
    const struct parameter *kind = look_parameter_of(look, "kind");
    double before = look_number(look, "before", 0.0) * 86400.0;
    double after = look_number(look, "after", 0.0) * 86400.0;
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
    return look_answer_if(first <= start && start <= last, true);
}
