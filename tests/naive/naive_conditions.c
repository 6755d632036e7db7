/*
 * Conditions.  Only the long rows are written.  Each word says which way it looks: a mirror word is
 * the long row on negated bars, whatever the side of the setup ("what is written is what is seen on
 * the chart, whatever the side").  "A condition with an undefined input is false, and so is its not":
 * so a condition has three answers.
 */
#include "naive_conditions.h"

#include <stdlib.h>
#include <string.h>

enum verdict look_answer(bool holds)
{
    return holds ? YES : NO;
}

enum verdict look_answer_if(bool defined, bool holds)
{
    return defined ? look_answer(holds) : UNDEFINED;
}

const struct parameter *look_parameter_of(const struct look *look, const char *name)
{
    for (size_t i = 0; i < look->condition->parameter_count; i++) {
        if (strcmp(look->condition->parameters[i].name, name) == 0) {
            return &look->condition->parameters[i];
        }
    }
    return NULL;
}

double look_number(const struct look *look, const char *name, double usual)
{
    const struct parameter *parameter = look_parameter_of(look, name);
    return parameter == NULL ? usual : parameter->number;
}

size_t look_count_of(const struct look *look, const char *name, size_t usual)
{
    double value = look_number(look, name, (double)usual);
    return value > 0.0 ? (size_t)value : 0;
}

/* A level on the scale 0..100 is mirrored at 50: rsi_above 70 is rsi_below 30 of negated prices. */
double look_hundred_scale(const struct look *look, const char *name, double usual)
{
    const struct parameter *parameter = look_parameter_of(look, name);
    if (parameter == NULL) {
        return usual;
    }
    return look->mirrored ? 100.0 - parameter->number : parameter->number;
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
    {"downtrend", false, rule_downtrend, " bars fall_atr "},
    {"uptrend", true, rule_downtrend, " bars rise_atr "},
    {"fall", false, rule_fall, " bars atr "},
    {"rise", true, rule_fall, " bars atr "},
    {"lowest_low", false, rule_lowest_low, " bars "},
    {"highest_high", true, rule_lowest_low, " bars "},
    {"lower_swings", false, rule_lower_swings, " swing count "},
    {"higher_swings", true, rule_lower_swings, " swing count "},
    {"falling_trend_line", false, rule_falling_trend_line, " bars swing "},
    {"rising_trend_line", true, rule_falling_trend_line, " bars swing "},
    {"at_support", false, rule_at_support, " bars swing width_atr touches "},
    {"at_resistance", true, rule_at_support, " bars swing width_atr touches "},
    {"at_own_level", false, rule_at_own_level, " width_atr "},
    {"rsi_below", false, rule_rsi_below, " length level "},
    {"rsi_above", true, rule_rsi_below, " length level "},
    {"rsi_crosses_above_average", false, rule_rsi_crosses_above_average,
     " length average from_below "},
    {"rsi_crosses_below_average", true, rule_rsi_crosses_above_average,
     " length average from_above "},
    {"stochastic_below", false, rule_stochastic_below, " length smooth average level "},
    {"stochastic_above", true, rule_stochastic_below, " length smooth average level "},
    {"below_lower_band", false, rule_below_lower_band, " bars width "},
    {"above_upper_band", true, rule_below_lower_band, " bars width "},
    {"macd_turns_up", false, rule_macd_turns_up, " fast slow signal "},
    {"macd_turns_down", true, rule_macd_turns_up, " fast slow signal "},
    {"macd_crosses_signal_up", false, rule_macd_crosses_signal_up, " fast slow signal "},
    {"macd_crosses_signal_down", true, rule_macd_crosses_signal_up, " fast slow signal "},
    {"macd_above_zero", false, rule_macd_above_zero, " fast slow signal "},
    {"macd_below_zero", true, rule_macd_above_zero, " fast slow signal "},
    {"bullish_divergence", false, rule_bullish_divergence, " bars swing length "},
    {"bearish_divergence", true, rule_bullish_divergence, " bars swing length "},
    {"adx_below", false, rule_adx_below, " length level "},
    {"adx_above", false, rule_adx_above, " length level "},
    {"close_above_average", false, rule_close_above_average, " bars "},
    {"close_below_average", true, rule_close_above_average, " bars "},
    {"average_rising", false, rule_average_rising, " bars over "},
    {"average_falling", true, rule_average_rising, " bars over "},
    {"volume_above_average", false, rule_volume_above_average, " bars times "},
    {"compare", false, compare, " "},
    {"weekday", false, rule_weekday, " of "},
    {"time_of_day", false, rule_time_of_day, " from to "},
    {"no_event", false, rule_no_event, " kind before after "},
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
        return inner == UNDEFINED ? UNDEFINED : look_answer(inner == NO);
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
