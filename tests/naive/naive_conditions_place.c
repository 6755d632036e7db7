/* Conditions of the place of a candle: falls, extremes, swings, lines, zones, own levels. */
#include "naive_conditions.h"

#include <stdlib.h>
#include <string.h>

/* "slope of closes f-n .. f-1, times n-1, is <= -a * ATR[f-1]" */
enum verdict rule_downtrend(const struct look *look)
{
    size_t n = look_count_of(look, "bars", 10);
    double a = look_number(look, look->mirrored ? "rise_atr" : "fall_atr", 1.0);
    size_t f = look->first;
    if (n < 2 || f < n) {
        return UNDEFINED;
    }
    double atr = naive_atr14(look->bars, f - 1);
    double moved = naive_slope_of_closes(look->bars, n, f - 1) * ((double)n - 1.0);
    double tolerance = naive_tolerance_over(look->bars, f - n, f - 1);
    return look_answer_if(!isnan(atr) && !isnan(moved), at_most(moved, -a * atr, tolerance));
}

/* "highest high of f-n .. f-1 less the lowest low of f..t is >= a * ATR[f-1]" */
enum verdict rule_fall(const struct look *look)
{
    size_t n = look_count_of(look, "bars", 10);
    double a = look_number(look, "atr", 1.0);
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
    return look_answer_if(!isnan(atr), at_least(highest - lowest, a * atr, tolerance));
}

/* "the lowest low of f..t is <= min(L[f-n .. f-1])": prices as given */
enum verdict rule_lowest_low(const struct look *look)
{
    size_t n = look_count_of(look, "bars", 10);
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
    return look_answer(candle <= before);
}

/* "the newest m swing highs and the newest m swing lows known at f-1 each fall strictly" */
enum verdict rule_lower_swings(const struct look *look)
{
    size_t k = look_count_of(look, "swing", 3);
    size_t m = look_count_of(look, "count", 2);
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
    return look_answer_if(highs == m && lows == m, falls);
}

/* "a line exists"; "trend lines end before f" */
enum verdict rule_falling_trend_line(const struct look *look)
{
    size_t window = look_count_of(look, "bars", 60);
    size_t k = look_count_of(look, "swing", 3);
    if (look->first == 0) {
        return UNDEFINED;
    }
    return look_answer(naive_falling_trend_line_at(look->bars, window, k, look->first - 1).exists);
}

/* "some low of f..t within w*ATR[t] of a level's span and C[t] not below its lower edge" (the edge is
 * a price as given) */
enum verdict rule_at_support(const struct look *look)
{
    double w = look_number(look, "width_atr", 0.5);
    size_t t = look->bar;
    size_t window = look_count_of(look, "bars", 250);
    size_t count = 0;
    struct level *levels = naive_levels_at(look->bars, window, look_count_of(look, "swing", 3), w,
                                           look_count_of(look, "touches", 2), t, &count);
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
    return look_answer(holds);
}

/* Some bar of f..t comes within w*ATR[t] of a level, or of the place that a line has come to on
 * that bar, made before f began and not withdrawn before t; its own mirror.  With none by then it
 * cannot be told. */
enum verdict rule_at_own_level(const struct look *look)
{
    const struct naive_market *market = look->chart->market;
    double reach = look_number(look, "width_atr", 0.5) * naive_atr14(look->bars, look->bar);
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
