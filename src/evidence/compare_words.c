/* Two setups side by side, in words, tables and JSON. */
#include "evidence/compare.h"

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
    text_append_format(text, "On all %zu candidates of either, not filled counting as 0 R, ",
                       comparison->candidates);
    say_difference(text, comparison, &comparison->all, "R a candidate");
    text_append_format(text, ". On the %zu on which both traded, ", comparison->both);
    say_difference(text, comparison, &comparison->common, "R");
    text_append(text, ".\n");
    for (size_t s = 0; s < 2; s++) {
        text_append_format(text, "%s missed %zu trades that %s made", name[s],
                           comparison->missed[s], name[1 - s]);
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

static void count_row(struct section *section, const char *name, const size_t counts[2])
{
    section_text(section, name);
    section_count(section, counts[0]);
    section_count(section, counts[1]);
}

static void mean_row(struct section *section, const char *name, const double means[2])
{
    section_text(section, name);
    section_signed(section, 3, means[0]);
    section_signed(section, 3, means[1]);
}

static void difference_row(struct section *section, const char *name,
                           const struct estimate *difference)
{
    section_text(section, name);
    section_signed(section, 3, difference->value);
    section_signed_range(section, 3, difference->low, difference->high);
    section_number(section, 4, difference->p);
    section_count(section, difference->count);
}

void comparison_sections(struct sections *sections, const struct setup_comparison *comparison)
{
    static const char *const difference_columns[] = {"first less second", "difference",
                                                     "95% interval", "p, one-sided", "candidates"};
    const char *const columns[] = {"what each did", comparison->name[0], comparison->name[1]};
    struct section *section = sections_add(
        sections, "Side by side",
        "Every signal on its own, whether or not another trade was open. Missed: trades that the "
        "other closed and this one did not make. Against the position: the worst excursion while "
        "open, of the candidates on which both traded.",
        columns, 3);
    count_row(section, "candidates", comparison->own);
    count_row(section, "closed trades", comparison->filled);
    count_row(section, "trades of the other missed", comparison->missed);
    mean_row(section, "mean R of those missed", comparison->missed_mean);
    mean_row(section, "mean R of its own trades",
             (const double[]){comparison->own_mean[0].value, comparison->own_mean[1].value});
    mean_row(section, "mean R, all candidates, not filled = 0", comparison->mean);
    mean_row(section, "mean R where both traded", comparison->mean_both);
    mean_row(section, "against the position, ATR", comparison->against_atr);
    mean_row(section, "against the position at equal risk, R", comparison->against_r);
    section = sections_add(sections, "The difference",
                           "Pair by pair on the same candidate; intervals and p from blocks of "
                           "dates. Where fewer than 20 pairs differ there is no interval.",
                           difference_columns, 5);
    difference_row(section, "R, all candidates", &comparison->all);
    difference_row(section, "R, where both traded", &comparison->common);
    difference_row(section, "against the position, ATR", &comparison->against_atr_difference);
    difference_row(section, "against the position at equal risk, R",
                   &comparison->against_r_difference);
}

static void number(struct text *text, const char *lead, double value)
{
    text_append(text, lead);
    if (isfinite(value))
        text_append_number(text, value);
    else
        text_append(text, "null");
}

static void estimate(struct text *text, const char *key, const struct estimate *content)
{
    text_append_format(text, ",\"%s\":{", key);
    number(text, "\"value\":", content->value);
    number(text, ",\"low\":", content->low);
    number(text, ",\"high\":", content->high);
    number(text, ",\"p\":", content->p);
    text_append_char(text, '}');
}

void comparison_json(struct text *text, const struct setup_comparison *comparison)
{
    text_append_format(text, "\"candidates\":%zu,\"both\":%zu", comparison->candidates,
                       comparison->both);
    estimate(text, "difference_all", &comparison->all);
    estimate(text, "difference_both", &comparison->common);
    estimate(text, "difference_against_atr", &comparison->against_atr_difference);
    estimate(text, "difference_against_r", &comparison->against_r_difference);
    text_append(text, ",\"setups\":[");
    for (size_t s = 0; s < 2; s++) {
        text_append(text, s == 0 ? "{\"name\":" : ",{\"name\":");
        text_append_json(text, comparison->name[s]);
        text_append_format(text, ",\"candidates\":%zu,\"closed\":%zu,\"missed\":%zu",
                           comparison->own[s], comparison->filled[s], comparison->missed[s]);
        number(text, ",\"missed_mean_r\":", comparison->missed_mean[s]);
        number(text, ",\"mean_r_all\":", comparison->mean[s]);
        number(text, ",\"mean_r_both\":", comparison->mean_both[s]);
        number(text, ",\"against_atr\":", comparison->against_atr[s]);
        number(text, ",\"against_r\":", comparison->against_r[s]);
        text_append_char(text, '}');
    }
    text_append_char(text, ']');
}
