/* The tables of a study as text cells. */
#include "evidence/study_words.h"

#include <math.h>
#include <stdio.h>

static void mean_row(struct section *section, const char *name, const struct estimate *estimate)
{
    section_text(section, name);
    section_signed(section, 3, estimate->value);
    section_signed_range(section, 3, estimate->low, estimate->high);
    section_number(section, 4, estimate->p);
}

static void figure_row(struct section *section, const char *name, int places, double value)
{
    section_text(section, name);
    section_number(section, places, value);
    section_blank(section, 2);
}

static void results(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"figure", "value", "95% interval", "p, one-sided"};
    struct section *section = sections_add(
        sections, "Results in R",
        "Intervals and p come from blocks of dates, not from single trades: trades of one date, and "
        "of overlapping days, rise and fall together.",
        columns, 4);
    const char *after = study->flows ? "mean, after costs and dividends" : "mean, after costs";
    mean_row(section, study->costs_matter ? after : "mean", &study->mean_r);
    if (study->costs_matter)
        mean_row(section, "mean, before costs", &study->mean_r_before);
    section_text(section, "win rate");
    section_number(section, 3, study->win_rate);
    section_range(section, 3, study->win_limits.low, study->win_limits.high);
    section_text(section, "");
    figure_row(section, "median", 3, study->median_r);
    figure_row(section, "standard deviation", 3, study->sd_r);
    figure_row(section, "design effect of dates", 2, study->mean_r.deff);
    figure_row(section, "block of dates", 1, study->mean_r.block_length);
    figure_row(section, "profit factor", 2, study->profit_factor);
    figure_row(section, "average win over average loss", 2, study->payoff);
    figure_row(section, "largest drawdown", 1, study->max_drawdown_r);
    figure_row(section, "longest losing streak", 0, (double)study->longest_losing_streak);
    figure_row(section, "losing streak to expect by chance", 1, study->expected_longest_streak);
    figure_row(section, "mean bars held", 1, study->mean_bars);
    section_text(section, "worst excursion, median");
    section_signed(section, 2, study->mae_r[2]);
    section_signed_range(section, 2, study->mae_r[0], study->mae_r[4]);
    section_text(section, "(5 to 95%)");
    section_text(section, "best excursion, median");
    section_signed(section, 2, study->mfe_r[2]);
    section_signed_range(section, 2, study->mfe_r[0], study->mfe_r[4]);
    section_text(section, "(5 to 95%)");
}

static void control_row(struct section *section, const char *what, const char *name,
                        const struct study_control *control)
{
    char label[96];
    char trades[64];
    char fills[64];
    snprintf(label, sizeof label, "%s%s", what, name);
    section_text(section, label);
    section_signed(section, 3, control->control.difference.value);
    section_signed_range(section, 3, control->control.difference.low,
                         control->control.difference.high);
    section_number(section, 4, control->control.difference.p);
    section_signed(section, 3, control->control.others_mean);
    snprintf(trades, sizeof trades, "%zu / %zu", control->control.setup, control->control.others);
    section_text(section, trades);
    double shares[2];
    for (size_t a = 0; a < 2; a++)
        shares[a] = control->signals[a] > 0
                        ? 100.0 * (double)control->filled[a] / (double)control->signals[a]
                        : 0;
    snprintf(fills, sizeof fills, "%.0f%% / %.0f%%", shares[0], shares[1]);
    section_text(section, fills);
}

static void controls(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"what is tested", "difference in R",
                                          "95% interval",   "p, one-sided",
                                          "without it",     "trades with / without",
                                          "filled"};
    struct section *section = sections_add(
        sections, "Does each part add anything?",
        "The same rules traded with and without the part, at like risk and on the same instruments; "
        "the difference, not the result, says what the part is good for.",
        columns, 7);
    control_row(section, "the candle, in its place", "", &study->candle);
    if (study->place.name != NULL)
        control_row(section, "the place, under the candle", "", &study->place);
    for (size_t k = 0; k < study->confirmation_count; k++)
        control_row(section, "", study->confirmations[k].name, &study->confirmations[k]);
}

static void same_bar(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"assumed of a bar that reached both", "mean R", "trades"};
    struct section *section = sections_add(sections, "One bar that reached both sides",
                                           "How much hangs on what cannot be seen inside a bar.",
                                           columns, 3);
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        section_text(section, same_bar_name(study->same_bar_means[i].rule));
        section_signed(section, 3, study->same_bar_means[i].mean);
        section_count(section, study->same_bar_means[i].closed);
    }
    section_text(section, "trades that hung on it");
    section_text(section, "");
    section_count(section, study->same_bar);
}

static void reach(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"reached", "share of trades", "95% interval"};
    char label[32];
    struct section *section = sections_add(
        sections, "Reach before the first stop",
        "How far the trades went within the time limit, whatever the target.", columns, 3);
    for (size_t k = 0; k < REACH_COUNT; k++) {
        snprintf(label, sizeof label, "%g R", study->reach[k].level);
        section_text(section, label);
        section_number(section, 3, study->reach[k].share);
        section_range(section, 3, study->reach[k].limits.low, study->reach[k].limits.high);
    }
}

static void followed(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"bars later", "difference in ATR", "95% interval",
                                          "p, one-sided"};
    char label[32];
    struct section *section = sections_add(
        sections, "What followed the candle",
        "Move of the close after candidates less that after the other bars of the place, in the "
        "setup's direction: no entry, no stop in it.",
        columns, 4);
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        snprintf(label, sizeof label, "%zu", study->followed[h].bars);
        mean_row(section, label, &study->followed[h].difference);
    }
}

static void frequency(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"a year and instrument", "in its place", "anywhere"};
    double years = study->instrument_years;
    struct section *section = sections_add(
        sections, "How often",
        "Candles of the shape and confirmed signals, with and without the place.", columns, 3);
    section_text(section, "candles");
    section_number(section, 2, (double)study->candidates / years);
    section_number(section, 2, (double)study->shapes / years);
    section_text(section, "signals");
    section_number(section, 2, (double)study->signals / years);
    section_number(section, 2, (double)study->shape_signals / years);
    section_text(section, "trades");
    section_number(section, 2, (double)study->filled / years);
    section_text(section, "");
}

static void beyond(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"stops", "value"};
    struct section *section = sections_add(
        sections, "Beyond the stop",
        "Stops that filled worse than the 1 R that was planned, because the market opened beyond "
        "them; before costs.",
        columns, 2);
    section_text(section, "stopped trades");
    section_count(section, study->stops);
    section_text(section, "share filled worse than -1 R");
    section_number(section, 3,
                   study->stops > 0 ? (double)study->stops_beyond / (double)study->stops : NAN);
    section_text(section, "of those: mean R beyond");
    section_number(section, 3, study->beyond_mean_r);
    section_text(section, "of those: worst R beyond");
    section_number(section, 3, study->beyond_worst_r);
}

static void needed(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"if the true mean were", "trades needed"};
    char label[64];
    struct section *section = sections_add(
        sections, "Trades needed",
        "To find such a mean in four of five studies, with the spread and the common dates seen here.",
        columns, 2);
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        snprintf(label, sizeof label, "%g R%s", study->needed[k].mean_r,
                 k + 1 == NEEDED_COUNT ? " (worth trading)" : "");
        section_text(section, label);
        section_number(section, 0, ceil(study->needed[k].trades));
    }
}

static void split(struct sections *sections, const struct study_split *part)
{
    static const char *const columns[] = {"part", "mean R", "standard error", "trades", "dates"};
    static const char *const titles[SPLIT_KINDS] = {"By year", "By instrument",
                                                    "By volatility before the signal",
                                                    "By trend before the signal"};
    struct section *section = sections_add(
        sections, titles[part->kind],
        "Parts of fewer than 20 dates take no part in the test of whether the parts differ.",
        columns, 5);
    for (size_t c = 0; c < part->count; c++) {
        if (part->cells[c].trades == 0)
            continue;
        section_text(section, part->cells[c].label);
        section_signed(section, 3, part->cells[c].mean);
        section_number(section, 3, part->cells[c].deviation);
        section_count(section, part->cells[c].trades);
        section_count(section, part->cells[c].dates);
    }
    section_text(section, "p that they differ by chance");
    section_number(section, 3, part->p);
    section_blank(section, 3);
}

static void levels_row(struct section *section, const char *name, const double *levels, int places,
                       double scale, bool with_sign)
{
    section_text(section, name);
    for (size_t i = 0; i < RUIN_LEVELS; i++) {
        if (with_sign)
            section_signed(section, places, scale * levels[i]);
        else
            section_number(section, places, scale * levels[i]);
    }
}

static void chance_row(struct section *section, const char *name, double chance)
{
    if (isnan(chance))
        return;
    section_text(section, name);
    section_number(section, 3, chance);
    section_blank(section, RUIN_LEVELS - 1);
}

static void next(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"over the next trades", "5%", "25%", "50%", "75%", "95%"};
    static const char drawn[] =
        "These trades drawn again in blocks of dates, as if the future were like them and their "
        "mean the true one, which is not known: what to be ready for, not what will come. Kelly's "
        "fraction is the largest growth there was in them; its interval is wide, and half of it is "
        "already bold.";
    static const char repeated[] =
        "Too few trades for this: the paths repeat the same handful, and what the next ones may "
        "bring is not among them.";
    struct section *section = sections_add(sections, "The next trades",
                                           estimate_has_p(&study->mean_r) ? drawn : repeated,
                                           columns, 1 + RUIN_LEVELS);
    section_text(section, "trades");
    section_count(section, study->next_trades);
    section_blank(section, RUIN_LEVELS - 1);
    section_text(section, "at risk on each, % of the account");
    section_number(section, 2, 100 * study->risk);
    section_blank(section, RUIN_LEVELS - 1);
    levels_row(section, "sum of R", study->next.band_r, 1, 1, true);
    levels_row(section, "largest drawdown, R", study->next.drawdown_r, 1, 1, false);
    levels_row(section, "largest drawdown, % of the account", study->next.drawdown_share, 1, 100,
               false);
    levels_row(section, "longest losing streak", study->next.streak, 0, 1, false);
    levels_row(section, "account, times what it was", study->next.growth, 3, 1, false);
    chance_row(section, "chance to end lower", study->next.loses);
    chance_row(section, "chance to reach the daily limit", study->next.hits_daily);
    chance_row(section, "chance to reach the total limit", study->next.hits_total);
    chance_row(section, "chance to reach the trailing limit", study->next.hits_trailing);
    section_text(section, "Kelly's fraction, % (seen, low, high; half)");
    section_number(section, 1, 100 * study->next.kelly);
    section_number(section, 1, 100 * study->next.kelly_low);
    section_number(section, 1, 100 * study->next.kelly_high);
    section_number(section, 1, 50 * study->next.kelly);
    section_text(section, "");
}

static void resampled(struct sections *sections, const struct study *study)
{
    static const char *const columns[] = {"markets that might have been", "value"};
    struct section *section = sections_add(
        sections, "Resampled markets",
        "The same study on markets rebuilt from their bars' moves by dates drawn at random, in which "
        "no candle can know what follows.",
        columns, 2);
    section_text(section, "markets");
    section_count(section, study->draws);
    section_text(section, "their mean R");
    section_signed(section, 3, study->resampled_mean);
    section_text(section, "95% of them");
    section_signed_range(section, 3, study->resampled_low, study->resampled_high);
    section_text(section, "p, one-sided");
    section_number(section, 4, study->resampled_p);
}

int study_sections(struct sections *sections, const struct study *study, struct error *error)
{
    results(sections, study);
    controls(sections, study);
    same_bar(sections, study);
    reach(sections, study);
    followed(sections, study);
    beyond(sections, study);
    needed(sections, study);
    frequency(sections, study);
    for (size_t k = 0; k < SPLIT_KINDS; k++)
        if (k == SPLIT_YEAR || !isnan(study->splits[k].p))
            split(sections, &study->splits[k]);
    if (study->next_trades > 0 && study->closed > 0)
        next(sections, study);
    if (study->draws > 0)
        resampled(sections, study);
    return sections_check(sections, error);
}
