/* A study for other programs: JSON and CSV. */
#include "answer/answer_parts.h"

#include "base/calendar.h"

#include <math.h>
#include <string.h>

static void limits(struct json *json, const char *name, double middle, double low, double high)
{
    json_member_object(json, name);
    json_member_number(json, "value", middle);
    json_member_number(json, "low", low);
    json_member_number(json, "high", high);
    json_end_object(json);
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

static void mean(struct json *json, const char *name, const struct estimate *estimate)
{
    json_member_object(json, name);
    json_member_number(json, "value", estimate->value);
    json_member_number(json, "low", estimate->low);
    json_member_number(json, "high", estimate->high);
    json_member_number(json, "p", estimate->p);
    json_member_string(json, "method", method_name(estimate->method));
    json_member_number(json, "variance", estimate->variance);
    json_member_number(json, "block_length", estimate->block_length);
    json_member_count(json, "dates", estimate->dates);
    json_member_count(json, "left_out", estimate->left_out);
    json_end_object(json);
}

static double fill_share(const struct study_control *control, size_t arm)
{
    return control->signals[arm] > 0 ? (double)control->filled[arm] / (double)control->signals[arm]
                                     : NAN;
}

static void control_members(struct json *json, const struct study_control *control)
{
    json_member_number(json, "difference", control->control.difference.value);
    json_member_number(json, "low", control->control.difference.low);
    json_member_number(json, "high", control->control.difference.high);
    json_member_number(json, "p", control->control.difference.p);
    json_member_number(json, "others_mean_r", control->control.others_mean);
    json_member_count(json, "trades", control->control.setup);
    json_member_count(json, "others", control->control.others);
    json_member_count(json, "without_others", control->control.without_others);
    json_member_count(json, "bands", control->control.bands);
    json_member_number(json, "fill_share", fill_share(control, 0));
    json_member_number(json, "others_fill_share", fill_share(control, 1));
}

static void control(struct json *json, const char *name, const struct study_control *content)
{
    json_member_object(json, name);
    control_members(json, content);
    json_end_object(json);
}

static void counts(struct json *json, const struct study *study)
{
    json_member_count(json, "instruments", study->instruments);
    json_member_count(json, "instruments_ended", study->ended);
    json_member_count(json, "bars", study->bars);
    json_member_number(json, "instrument_years", study->instrument_years);
    json_member_count(json, "candidates", study->candidates);
    json_member_count(json, "signals", study->signals);
    json_member_count(json, "filled", study->filled);
    json_member_count(json, "closed", study->closed);
    json_member_count(json, "open_at_end", study->open_at_end);
    json_member_count(json, "passed_over", study->passed_over);
    json_member_count(json, "unfilled", study->unfilled);
    json_member_count(json, "same_bar", study->same_bar);
    json_member_count(json, "untold", study->untold);
    json_member_count(json, "dated_back", study->dated_back);
}

static void results(struct json *json, const struct study *study)
{
    limits(json, "win_rate", study->win_rate, study->win_limits.low, study->win_limits.high);
    mean(json, "mean_r", &study->mean_r);
    mean(json, "mean_r_before_costs", &study->mean_r_before);
    json_member_number(json, "median_r", study->median_r);
    json_member_number(json, "sd_r", study->sd_r);
    json_member_number(json, "profit_factor", study->profit_factor);
    json_member_number(json, "payoff", study->payoff);
    json_member_number(json, "mean_bars", study->mean_bars);
    json_member_number(json, "max_drawdown_r", study->max_drawdown_r);
    json_member_count(json, "longest_losing_streak", study->longest_losing_streak);
    json_member_number(json, "expected_losing_streak", study->expected_longest_streak);
    json_member_array(json, "trades_needed");
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        json_begin_object(json);
        json_member_number(json, "mean_r", study->needed[k].mean_r);
        json_member_number(json, "trades", ceil(study->needed[k].trades));
        json_end_object(json);
    }
    json_end_array(json);
    json_member_object(json, "same_bar_means");
    for (size_t i = 0; i < SAME_BAR_COUNT; i++)
        json_member_number(json, same_bar_name(study->same_bar_means[i].rule),
                           study->same_bar_means[i].mean);
    json_end_object(json);
    json_member_number(json, "design_effect", study->mean_r.design_effect);
}

static void controls(struct json *json, const struct study *study)
{
    control(json, "control", &study->candle);
    if (study->place.name != NULL)
        control(json, "place", &study->place);
    json_member_object(json, "resampled");
    json_member_count(json, "markets", study->resampled_markets);
    json_member_number(json, "mean_r", study->resampled_mean);
    json_member_number(json, "low", study->resampled_low);
    json_member_number(json, "high", study->resampled_high);
    json_member_number(json, "p", study->resampled_p);
    json_end_object(json);
    json_member_array(json, "confirmations");
    for (size_t k = 0; k < study->confirmation_count; k++) {
        json_begin_object(json);
        json_member_string(json, "name", study->confirmations[k].name);
        control_members(json, &study->confirmations[k]);
        json_end_object(json);
    }
    json_end_array(json);
}

static void shares(struct json *json, const struct study *study)
{
    json_member_array(json, "reach");
    for (size_t k = 0; k < REACH_COUNT; k++) {
        json_begin_object(json);
        json_member_number(json, "r", study->reach[k].level);
        json_member_number(json, "share", study->reach[k].share);
        json_member_number(json, "low", study->reach[k].limits.low);
        json_member_number(json, "high", study->reach[k].limits.high);
        json_end_object(json);
    }
    json_end_array(json);
    json_member_array(json, "followed");
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        json_begin_object(json);
        json_member_count(json, "bars", study->followed[h].bars);
        json_member_number(json, "difference_atr", study->followed[h].difference.value);
        json_member_number(json, "low", study->followed[h].difference.low);
        json_member_number(json, "high", study->followed[h].difference.high);
        json_member_number(json, "p", study->followed[h].difference.p);
        json_end_object(json);
    }
    json_end_array(json);
    json_member_object(json, "beyond_stop");
    json_member_count(json, "stops", study->stops);
    json_member_count(json, "beyond", study->stops_beyond);
    json_member_number(json, "mean_r", study->beyond_mean_r);
    json_member_number(json, "worst_r", study->beyond_worst_r);
    json_end_object(json);
    json_member_object(json, "frequency");
    json_member_number(json, "per_instrument_year",
                       (double)study->signals / study->instrument_years);
    json_member_number(json, "candidates_per_instrument_year",
                       (double)study->candidates / study->instrument_years);
    json_member_number(json, "shapes_per_instrument_year",
                       (double)study->shapes / study->instrument_years);
    json_end_object(json);
}

static void splits(struct json *json, const struct study *study)
{
    json_member_array(json, "splits");
    for (size_t k = 0; k < SPLIT_KINDS; k++) {
        const struct study_split *split = &study->splits[k];
        json_begin_object(json);
        json_member_string(json, "by", split_name(split->kind));
        json_member_number(json, "p", split->p);
        json_member_array(json, "parts");
        for (size_t c = 0; c < split->count; c++) {
            if (split->cells[c].trades == 0)
                continue;
            json_begin_object(json);
            json_member_string(json, "name", split->cells[c].label);
            json_member_number(json, "mean_r", split->cells[c].mean);
            json_member_number(json, "standard_error", split->cells[c].deviation);
            json_member_count(json, "trades", split->cells[c].trades);
            json_member_count(json, "dates", split->cells[c].dates);
            json_end_object(json);
        }
        json_end_array(json);
        json_end_object(json);
    }
    json_end_array(json);
}

static void levels(struct json *json, const char *name, const double *content)
{
    json_member_array(json, name);
    for (size_t i = 0; i < RUIN_LEVELS; i++)
        json_put_number(json, content[i]);
    json_end_array(json);
}

/* Cumulated R after so many of the next trades. */
static void on_the_way(struct json *json, const struct ruin *next)
{
    json_member_array(json, "on_the_way");
    for (size_t i = 0; i < next->steps; i++) {
        double level[RUIN_LEVELS];
        for (size_t k = 0; k < RUIN_LEVELS; k++)
            level[k] = next->path_r[k * next->steps + i];
        json_begin_object(json);
        json_member_number(json, "trades", next->step[i]);
        levels(json, "sum_r", level);
        json_member_number(json, "whole_low", next->whole_low[i]);
        json_member_number(json, "whole_high", next->whole_high[i]);
        json_end_object(json);
    }
    json_end_array(json);
}

/* Levels are the quantiles 5, 25, 50, 75 and 95%. */
static void next(struct json *json, const struct study *study)
{
    json_member_object(json, "next");
    json_member_count(json, "trades", study->next_trades);
    json_member_number(json, "risk", study->risk);
    levels(json, "sum_r", study->next.band_r);
    levels(json, "drawdown_r", study->next.drawdown_r);
    levels(json, "drawdown_share", study->next.drawdown_share);
    levels(json, "losing_streak", study->next.streak);
    levels(json, "growth", study->next.growth);
    json_member_number(json, "ends_lower", study->next.loses);
    json_member_number(json, "reaches_daily_limit", study->next.hits_daily);
    json_member_number(json, "reaches_total_limit", study->next.hits_total);
    json_member_number(json, "reaches_trailing_limit", study->next.hits_trailing);
    limits(json, "kelly", study->next.kelly, study->next.kelly_low, study->next.kelly_high);
    json_member_number(json, "half_kelly", study->next.kelly / 2);
    on_the_way(json, &study->next);
    json_end_object(json);
}

/* What it comes to, and the three sentences, as a list. */
static void answer(struct json *json, const struct study *study, const struct setup *setup,
                   const struct study_trials *trials)
{
    struct text text;
    text_init(&text);
    study_headline(&text, study, trials);
    json->text->failed = json->text->failed || text_failed(&text);
    text.bytes[strcspn(text.bytes, "\n")] = '\0';
    json_member_string(json, "comes_to", text.bytes);
    text_clear(&text);
    study_answer(&text, setup->title != NULL ? setup->title : setup->name, study, trials);
    json->text->failed = json->text->failed || text_failed(&text);
    json_member_array(json, "answer");
    for (char *line = text.bytes; line != NULL && *line != '\0';) {
        char *end = strchr(line, '\n');
        *end = '\0';
        json_put_string(json, line);
        line = end + 1;
    }
    json_end_array(json);
    text_free(&text);
}

void study_json(struct json *json, const struct study *study, const struct setup *setup,
                const struct study_trials *trials)
{
    answer(json, study, setup, trials);
    counts(json, study);
    results(json, study);
    controls(json, study);
    shares(json, study);
    splits(json, study);
    next(json, study);
    json_member_object(json, "trials");
    json_member_count(json, "count", trials != NULL ? trials->family : 1);
    json_member_count(json, "all", trials != NULL ? trials->all : 1);
    json_member_number(json, "p_adjusted", trials != NULL ? trials->p_adjusted : NAN);
    json_member_number(json, "p_reality_check", trials != NULL ? trials->p_reality_check : NAN);
    json_end_object(json);
    json_member_string(json, "sealed_from", trials != NULL ? trials->sealed_from : NULL);
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
    line(text, "design_effect", "", study->mean_r.design_effect, NAN, NAN, NAN, study->closed);
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
         study->resampled_p, study->resampled_markets);
}
