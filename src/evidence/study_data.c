/* A study for other programs: JSON and CSV. */
#include "evidence/study_words.h"

#include "base/calendar.h"

#include <math.h>

/* JSON: a key and what follows it, with the comma that it needs. */
static void key(struct text *text, const char *name)
{
    char last = text->length > 0 ? text->bytes[text->length - 1] : '{';
    if (last != '{' && last != '[')
        text_append_char(text, ',');
    text_append_json(text, name);
    text_append_char(text, ':');
}

static void value(struct text *text, double number)
{
    if (isfinite(number))
        text_append_number(text, number);
    else
        text_append(text, "null");
}

static void number(struct text *text, const char *name, double content)
{
    key(text, name);
    value(text, content);
}

static void count(struct text *text, const char *name, size_t content)
{
    key(text, name);
    text_append_integer(text, (int64_t)content);
}

static void begin_item(struct text *text)
{
    if (text->length > 0 && text->bytes[text->length - 1] == '}')
        text_append_char(text, ',');
    text_append_char(text, '{');
}

static void limits(struct text *text, const char *name, double middle, double low, double high)
{
    key(text, name);
    text_append_char(text, '{');
    number(text, "value", middle);
    number(text, "low", low);
    number(text, "high", high);
    text_append_char(text, '}');
}

static const char *method_name(enum estimate_method method)
{
    static const char *const names[] = {
        [ESTIMATE_NONE] = "none",
        [ESTIMATE_WINS] = "win rate",
        [ESTIMATE_STUDENT] = "student",
        [ESTIMATE_BOOTSTRAP] = "bootstrap",
    };
    return names[method];
}

static void mean(struct text *text, const char *name, const struct estimate *estimate)
{
    key(text, name);
    text_append_char(text, '{');
    number(text, "value", estimate->value);
    number(text, "low", estimate->low);
    number(text, "high", estimate->high);
    number(text, "p", estimate->p);
    key(text, "method");
    text_append_json(text, method_name(estimate->method));
    number(text, "variance", estimate->variance);
    number(text, "block_length", estimate->block_length);
    count(text, "dates", estimate->dates);
    count(text, "left_out", estimate->left_out);
    text_append_char(text, '}');
}

static double fill_share(const struct study_control *control, size_t arm)
{
    return control->signals[arm] > 0 ? (double)control->filled[arm] / (double)control->signals[arm]
                                     : NAN;
}

static void control_members(struct text *text, const struct study_control *control)
{
    number(text, "difference", control->control.difference.value);
    number(text, "low", control->control.difference.low);
    number(text, "high", control->control.difference.high);
    number(text, "p", control->control.difference.p);
    number(text, "others_mean_r", control->control.others_mean);
    count(text, "trades", control->control.setup);
    count(text, "others", control->control.others);
    count(text, "without_others", control->control.without_others);
    count(text, "bands", control->control.bands);
    number(text, "fill_share", fill_share(control, 0));
    number(text, "others_fill_share", fill_share(control, 1));
}

static void control(struct text *text, const char *name, const struct study_control *content)
{
    key(text, name);
    text_append_char(text, '{');
    control_members(text, content);
    text_append_char(text, '}');
}

static void counts(struct text *text, const struct study *study)
{
    count(text, "instruments", study->instruments);
    count(text, "instruments_ended", study->ended);
    count(text, "bars", study->bars);
    number(text, "instrument_years", study->instrument_years);
    count(text, "candidates", study->candidates);
    count(text, "signals", study->signals);
    count(text, "filled", study->filled);
    count(text, "closed", study->closed);
    count(text, "open_at_end", study->open_at_end);
    count(text, "passed_over", study->passed_over);
    count(text, "unfilled", study->unfilled);
    count(text, "same_bar", study->same_bar);
}

static void results(struct text *text, const struct study *study)
{
    limits(text, "win_rate", study->win_rate, study->win_limits.low, study->win_limits.high);
    mean(text, "mean_r", &study->mean_r);
    mean(text, "mean_r_before_costs", &study->mean_r_before);
    number(text, "median_r", study->median_r);
    number(text, "sd_r", study->sd_r);
    number(text, "profit_factor", study->profit_factor);
    number(text, "payoff", study->payoff);
    number(text, "mean_bars", study->mean_bars);
    number(text, "max_drawdown_r", study->max_drawdown_r);
    count(text, "longest_losing_streak", study->longest_losing_streak);
    number(text, "expected_losing_streak", study->expected_longest_streak);
    key(text, "trades_needed");
    text_append_char(text, '[');
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        begin_item(text);
        number(text, "mean_r", study->needed[k].mean_r);
        number(text, "trades", ceil(study->needed[k].trades));
        text_append_char(text, '}');
    }
    text_append_char(text, ']');
    key(text, "same_bar_means");
    text_append_char(text, '{');
    for (size_t i = 0; i < SAME_BAR_COUNT; i++)
        number(text, same_bar_name(study->same_bar_means[i].rule), study->same_bar_means[i].mean);
    text_append_char(text, '}');
    number(text, "deff", study->mean_r.deff);
}

static void controls(struct text *text, const struct study *study)
{
    control(text, "control", &study->candle);
    if (study->place.name != NULL)
        control(text, "place", &study->place);
    key(text, "resampled");
    text_append_char(text, '{');
    count(text, "draws", study->draws);
    number(text, "mean_r", study->resampled_mean);
    number(text, "low", study->resampled_low);
    number(text, "high", study->resampled_high);
    number(text, "p", study->resampled_p);
    text_append_char(text, '}');
    key(text, "confirmations");
    text_append_char(text, '[');
    for (size_t k = 0; k < study->confirmation_count; k++) {
        begin_item(text);
        key(text, "name");
        text_append_json(text, study->confirmations[k].name);
        control_members(text, &study->confirmations[k]);
        text_append_char(text, '}');
    }
    text_append_char(text, ']');
}

static void shares(struct text *text, const struct study *study)
{
    key(text, "reach");
    text_append_char(text, '[');
    for (size_t k = 0; k < REACH_COUNT; k++) {
        begin_item(text);
        number(text, "r", study->reach[k].level);
        number(text, "share", study->reach[k].share);
        number(text, "low", study->reach[k].limits.low);
        number(text, "high", study->reach[k].limits.high);
        text_append_char(text, '}');
    }
    text_append_char(text, ']');
    key(text, "followed");
    text_append_char(text, '[');
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        begin_item(text);
        count(text, "bars", study->followed[h].bars);
        number(text, "difference_atr", study->followed[h].difference.value);
        number(text, "low", study->followed[h].difference.low);
        number(text, "high", study->followed[h].difference.high);
        number(text, "p", study->followed[h].difference.p);
        text_append_char(text, '}');
    }
    text_append_char(text, ']');
    key(text, "beyond_stop");
    text_append_char(text, '{');
    count(text, "stops", study->stops);
    count(text, "beyond", study->stops_beyond);
    number(text, "mean_r", study->beyond_mean_r);
    number(text, "worst_r", study->beyond_worst_r);
    text_append_char(text, '}');
    key(text, "frequency");
    text_append_char(text, '{');
    number(text, "per_instrument_year", (double)study->signals / study->instrument_years);
    number(text, "candidates_per_instrument_year",
           (double)study->candidates / study->instrument_years);
    number(text, "shapes_per_instrument_year", (double)study->shapes / study->instrument_years);
    text_append_char(text, '}');
}

static void splits(struct text *text, const struct study *study)
{
    key(text, "splits");
    text_append_char(text, '[');
    for (size_t k = 0; k < SPLIT_KINDS; k++) {
        const struct study_split *split = &study->splits[k];
        begin_item(text);
        key(text, "by");
        text_append_json(text, split_name(split->kind));
        number(text, "p", split->p);
        key(text, "parts");
        text_append_char(text, '[');
        for (size_t c = 0; c < split->count; c++) {
            if (split->cells[c].trades == 0)
                continue;
            begin_item(text);
            key(text, "name");
            text_append_json(text, split->cells[c].label);
            number(text, "mean_r", split->cells[c].mean);
            number(text, "standard_error", split->cells[c].deviation);
            count(text, "trades", split->cells[c].trades);
            count(text, "dates", split->cells[c].dates);
            text_append_char(text, '}');
        }
        text_append(text, "]}");
    }
    text_append_char(text, ']');
}

static void levels(struct text *text, const char *name, const double *content)
{
    key(text, name);
    text_append_char(text, '[');
    for (size_t i = 0; i < RUIN_LEVELS; i++) {
        text_append(text, i > 0 ? "," : "");
        value(text, content[i]);
    }
    text_append_char(text, ']');
}

/* Cumulated R after so many of the next trades. */
static void on_the_way(struct text *text, const struct ruin *next)
{
    key(text, "on_the_way");
    text_append_char(text, '[');
    for (size_t i = 0; i < next->steps; i++) {
        double level[RUIN_LEVELS];
        for (size_t k = 0; k < RUIN_LEVELS; k++)
            level[k] = next->path_r[k * next->steps + i];
        begin_item(text);
        number(text, "trades", next->step[i]);
        levels(text, "sum_r", level);
        number(text, "whole_low", next->whole_low[i]);
        number(text, "whole_high", next->whole_high[i]);
        text_append_char(text, '}');
    }
    text_append_char(text, ']');
}

/* Levels are the quantiles 5, 25, 50, 75 and 95%. */
static void next(struct text *text, const struct study *study)
{
    key(text, "next");
    text_append_char(text, '{');
    count(text, "trades", study->next_trades);
    number(text, "risk", study->risk);
    levels(text, "sum_r", study->next.band_r);
    levels(text, "drawdown_r", study->next.drawdown_r);
    levels(text, "drawdown_share", study->next.drawdown_share);
    levels(text, "losing_streak", study->next.streak);
    levels(text, "growth", study->next.growth);
    number(text, "ends_lower", study->next.loses);
    number(text, "reaches_daily_limit", study->next.hits_daily);
    number(text, "reaches_total_limit", study->next.hits_total);
    number(text, "reaches_trailing_limit", study->next.hits_trailing);
    limits(text, "kelly", study->next.kelly, study->next.kelly_low, study->next.kelly_high);
    number(text, "half_kelly", study->next.kelly / 2);
    on_the_way(text, &study->next);
    text_append_char(text, '}');
}

void study_json(struct text *text, const struct study *study, const struct study_tries *tries)
{
    counts(text, study);
    results(text, study);
    controls(text, study);
    shares(text, study);
    splits(text, study);
    next(text, study);
    key(text, "tries");
    text_append_char(text, '{');
    count(text, "count", tries != NULL ? tries->family : 1);
    count(text, "all", tries != NULL ? tries->all : 1);
    number(text, "p_adjusted", tries != NULL ? tries->p_adjusted : NAN);
    number(text, "p_reality_check", tries != NULL ? tries->p_reality_check : NAN);
    text_append_char(text, '}');
    key(text, "sealed_from");
    if (tries != NULL && tries->sealed_from != NULL)
        text_append_json(text, tries->sealed_from);
    else
        text_append(text, "null");
}

/* One line of the CSV. */
static void line(struct text *text, const char *figure, const char *of, double middle, double low,
                 double high, double p, size_t n)
{
    const double numbers[] = {middle, low, high, p};
    text_append_csv(text, figure);
    text_append_char(text, ',');
    text_append_csv(text, of);
    for (size_t i = 0; i < 4; i++) {
        text_append_char(text, ',');
        if (isfinite(numbers[i])) /* a profit factor without a loss is not */
            text_append_number(text, numbers[i]);
    }
    text_append_char(text, ',');
    text_append_integer(text, (int64_t)n);
    text_append_char(text, '\n');
}

static void estimate_line(struct text *text, const char *figure, const char *of,
                          const struct estimate *estimate)
{
    line(text, figure, of, estimate->value, estimate->low, estimate->high, estimate->p,
         estimate->count);
}

static void csv_lists(struct text *text, const struct study *study)
{
    struct text label;
    text_init(&label);
    for (size_t k = 0; k < REACH_COUNT; k++) {
        text_clear(&label);
        text_append_number(&label, study->reach[k].level);
        line(text, "reach", label.bytes, study->reach[k].share, study->reach[k].limits.low,
             study->reach[k].limits.high, NAN, study->filled);
    }
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        text_clear(&label);
        text_append_integer(&label, (int64_t)study->followed[h].bars);
        estimate_line(text, "followed_atr", label.bytes, &study->followed[h].difference);
    }
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        text_clear(&label);
        text_append_number(&label, study->needed[k].mean_r);
        line(text, "trades_needed", label.bytes, ceil(study->needed[k].trades), NAN, NAN, NAN,
             study->closed);
    }
    text_free(&label);
}

void study_csv(struct text *text, const struct study *study)
{
    text_append(text, "figure,of,value,low,high,p,count\n");
    estimate_line(text, "mean_r", "", &study->mean_r);
    estimate_line(text, "mean_r_before_costs", "", &study->mean_r_before);
    line(text, "win_rate", "", study->win_rate, study->win_limits.low, study->win_limits.high, NAN,
         study->closed);
    line(text, "median_r", "", study->median_r, NAN, NAN, NAN, study->closed);
    line(text, "sd_r", "", study->sd_r, NAN, NAN, NAN, study->closed);
    line(text, "profit_factor", "", study->profit_factor, NAN, NAN, NAN, study->closed);
    line(text, "max_drawdown_r", "", study->max_drawdown_r, NAN, NAN, NAN, study->closed);
    line(text, "longest_losing_streak", "", (double)study->longest_losing_streak, NAN, NAN, NAN,
         study->closed);
    line(text, "deff", "", study->mean_r.deff, NAN, NAN, NAN, study->closed);
    for (size_t i = 0; i < SAME_BAR_COUNT; i++)
        line(text, "same_bar_mean", same_bar_name(study->same_bar_means[i].rule),
             study->same_bar_means[i].mean, NAN, NAN, NAN, study->same_bar_means[i].closed);
    estimate_line(text, "control", "candle", &study->candle.control.difference);
    if (study->place.name != NULL)
        estimate_line(text, "control", "place", &study->place.control.difference);
    for (size_t k = 0; k < study->confirmation_count; k++)
        estimate_line(text, "control", study->confirmations[k].name,
                      &study->confirmations[k].control.difference);
    csv_lists(text, study);
    for (size_t k = 0; k < SPLIT_KINDS; k++)
        for (size_t c = 0; c < study->splits[k].count; c++)
            if (study->splits[k].cells[c].trades > 0)
                line(text, split_name(study->splits[k].kind), study->splits[k].cells[c].label,
                     study->splits[k].cells[c].mean, NAN, NAN, NAN,
                     study->splits[k].cells[c].trades);
    line(text, "resampled", "", study->resampled_mean, study->resampled_low, study->resampled_high,
         study->resampled_p, study->draws);
}
