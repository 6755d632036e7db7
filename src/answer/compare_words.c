/* Two setups side by side, in words, tables and JSON. */
#include "answer/answer_parts.h"

#include "base/words.h"

#include <math.h>

static void say_difference(struct text *text, const struct setup_comparison *comparison,
                           const struct estimate *difference, const char *unit)
{
    const char *first = comparison->name[0];
    const char *second = comparison->name[1];
    if (isnan(difference->value)) {
        text_append(text, "there is nothing to compare");
        return;
    }
    text_append_format(text, "%s less %s is %+.2f %s", first, second, difference->value, unit);
    if (!estimate_has_p(difference))
        text_append(text, ", too few or too much alike to say more");
    else if (difference->low > 0 || difference->high < 0)
        text_append_format(text, " (95%% interval %+.2f to %+.2f)", difference->low,
                           difference->high);
    else
        text_append_format(text, " (95%% interval %+.2f to %+.2f), so neither can be called better",
                           difference->low, difference->high);
}

void comparison_opening(struct text *text, const struct setup_comparison *comparison)
{
    const char *const *name = comparison->name;
    text_append_format(text, "On %s%zu %s of either, not filled counting as 0 R, ",
                       count_word(comparison->candidates, "the ", "all "), comparison->candidates,
                       count_word(comparison->candidates, "candidate", "candidates"));
    say_difference(text, comparison, &comparison->all, "R a candidate");
    text_append_format(text, ". On the %zu on which both traded, ", comparison->both);
    say_difference(text, comparison, &comparison->common, "R");
    text_append(text, ".\n");
    for (size_t s = 0; s < 2; s++) {
        text_append_format(text, "%s missed %zu %s that %s made", name[s], comparison->missed[s],
                           count_word(comparison->missed[s], "trade", "trades"), name[1 - s]);
        if (comparison->missed[s] > 0)
            text_append_format(text, ", with a mean of %+.2f R", comparison->missed_mean[s]);
        text_append(text, ". ");
    }
    if (comparison->both > 0) {
        text_append_format(
            text,
            "While open, the trades of both went against the position by %.2f ATR "
            "(%s) and %.2f ATR (%s) on average, at equal risk by %.2f R and %.2f R: ",
            comparison->against_atr[0], name[0], comparison->against_atr[1], name[1],
            comparison->against_r[0], comparison->against_r[1]);
        say_difference(text, comparison, &comparison->against_r_difference, "R");
        text_append(text, ".");
    }
    text_append(text, "\n");
}

void comparison_headline(struct text *text, const struct setup_comparison *comparison)
{
    const struct estimate *difference = &comparison->all;
    const char *const *name = comparison->name;
    if (!estimate_has_p(difference))
        text_append(text, "Too little to say which is better.\n");
    else if (difference->low > 0)
        text_append_format(text, "%s made more than %s.\n", name[0], name[1]);
    else if (difference->high < 0)
        text_append_format(text, "%s made more than %s.\n", name[1], name[0]);
    else
        text_append(text, "Neither can be called better.\n");
}

static void count_row(struct table *table, const char *name, const size_t counts[2])
{
    table_text(table, name);
    table_count(table, counts[0]);
    table_count(table, counts[1]);
}

static void mean_row(struct table *table, const char *name, const double means[2])
{
    table_text(table, name);
    table_signed(table, 3, means[0]);
    table_signed(table, 3, means[1]);
}

static void difference_row(struct table *table, const char *name, const struct estimate *difference)
{
    table_text(table, name);
    table_signed(table, 3, difference->value);
    table_signed_range(table, 3, difference->low, difference->high);
    table_decimals(table, 4, difference->p);
    table_count(table, difference->count);
}

void comparison_tables(struct document *document, const struct setup_comparison *comparison)
{
    static const char *const difference_columns[] = {"first less second", "difference",
                                                     "95% interval", "p, one-sided", "candidates"};
    const char *const columns[] = {"what each did", comparison->name[0], comparison->name[1]};
    struct table *table = document_results(
        document, "each", "Side by side",
        "Every signal on its own, whether or not another trade was open. Missed: trades that the "
        "other closed and this one did not make. Against the position: the worst excursion while "
        "open, of the candidates on which both traded.",
        columns, 3);
    count_row(table, "candidates", comparison->own);
    count_row(table, "closed trades", comparison->filled);
    count_row(table, "trades of the other missed", comparison->missed);
    mean_row(table, "mean R of those missed", comparison->missed_mean);
    mean_row(table, "mean R of its own trades",
             (const double[]){comparison->own_mean[0].value, comparison->own_mean[1].value});
    mean_row(table, "mean R, all candidates, not filled = 0", comparison->mean);
    mean_row(table, "mean R where both traded", comparison->mean_both);
    mean_row(table, "against the position, ATR", comparison->against_atr);
    mean_row(table, "against the position at equal risk, R", comparison->against_r);
    table = document_results(document, "differences", "The difference",
                             "Pair by pair on the same candidate; intervals and p from blocks of "
                             "dates. Where fewer than 20 pairs differ there is no interval.",
                             difference_columns, 5);
    difference_row(table, "R, all candidates", &comparison->all);
    difference_row(table, "R, where both traded", &comparison->common);
    difference_row(table, "against the position, ATR", &comparison->against_atr_difference);
    difference_row(table, "against the position at equal risk, R",
                   &comparison->against_r_difference);
}

static void estimate(struct json *json, const char *key, const struct estimate *content)
{
    json_member_object(json, key);
    json_member_number(json, "value", content->value);
    json_member_number(json, "low", content->low);
    json_member_number(json, "high", content->high);
    json_member_number(json, "p", content->p);
    json_end_object(json);
}

void comparison_json(struct json *json, const struct setup_comparison *comparison)
{
    json_member_count(json, "candidates", comparison->candidates);
    json_member_count(json, "both", comparison->both);
    estimate(json, "difference_all", &comparison->all);
    estimate(json, "difference_both", &comparison->common);
    estimate(json, "difference_against_atr", &comparison->against_atr_difference);
    estimate(json, "difference_against_r", &comparison->against_r_difference);
    json_member_array(json, "setups");
    for (size_t s = 0; s < 2; s++) {
        json_begin_object(json);
        json_member_string(json, "name", comparison->name[s]);
        json_member_count(json, "candidates", comparison->own[s]);
        json_member_count(json, "closed", comparison->filled[s]);
        json_member_count(json, "missed", comparison->missed[s]);
        json_member_number(json, "missed_mean_r", comparison->missed_mean[s]);
        json_member_number(json, "mean_r_all", comparison->mean[s]);
        json_member_number(json, "mean_r_both", comparison->mean_both[s]);
        json_member_number(json, "against_atr", comparison->against_atr[s]);
        json_member_number(json, "against_r", comparison->against_r[s]);
        json_end_object(json);
    }
    json_end_array(json);
}
