/* What the rules of conditions share. */
#ifndef NAIVE_CONDITIONS_H
#define NAIVE_CONDITIONS_H

#include "naive_internal.h"

/* What a rule sees: bars of its own orientation, known ones only, and the candle first..bar. */
struct look {
    const struct chart *chart;
    const struct condition *condition;
    const struct naive_bars *bars;
    bool mirrored;
    size_t first; /* f */
    size_t bar;   /* t */
};

enum verdict look_answer(bool holds);
enum verdict look_answer_if(bool defined, bool holds);
const struct parameter *look_parameter_of(const struct look *look, const char *name);
double look_number(const struct look *look, const char *name, double usual);
size_t look_count_of(const struct look *look, const char *name, size_t usual);
double look_hundred_scale(const struct look *look, const char *name, double usual);

enum verdict rule_adx_above(const struct look *look);
enum verdict rule_adx_below(const struct look *look);
enum verdict rule_at_own_level(const struct look *look);
enum verdict rule_at_support(const struct look *look);
enum verdict rule_average_rising(const struct look *look);
enum verdict rule_below_lower_band(const struct look *look);
enum verdict rule_bullish_divergence(const struct look *look);
enum verdict rule_close_above_average(const struct look *look);
enum verdict rule_downtrend(const struct look *look);
enum verdict rule_fall(const struct look *look);
enum verdict rule_falling_trend_line(const struct look *look);
enum verdict rule_lower_swings(const struct look *look);
enum verdict rule_lowest_low(const struct look *look);
enum verdict rule_macd_above_zero(const struct look *look);
enum verdict rule_macd_crosses_signal_up(const struct look *look);
enum verdict rule_macd_turns_up(const struct look *look);
enum verdict rule_no_event(const struct look *look);
enum verdict rule_rsi_below(const struct look *look);
enum verdict rule_rsi_crosses_above_average(const struct look *look);
enum verdict rule_stochastic_below(const struct look *look);
enum verdict rule_time_of_day(const struct look *look);
enum verdict rule_volume_above_average(const struct look *look);
enum verdict rule_weekday(const struct look *look);

#endif
