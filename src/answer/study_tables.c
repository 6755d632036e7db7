/* The tables of a study as a document. */
#include "answer/answer_parts.h"

#include <math.h>
#include <stdio.h>

static void mean_row(struct table *table, const char *name, const struct estimate *estimate)
{
    table_text(table, name);
    table_signed(table, 3, estimate->value);
    table_signed_range(table, 3, estimate->low, estimate->high);
    table_decimals(table, 4, estimate->p);
}

static void figure_row(struct table *table, const char *name, int places, double value)
{
    table_text(table, name);
    table_decimals(table, places, value);
    table_blank(table, 2);
}

static void results(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"figure", "value", "95% interval", "p, one-sided"};
    struct table *table = document_results(
        document, "results", "Results in R",
        "Intervals and p come from blocks of dates, not from single trades: trades of one date, and "
        "of overlapping days, rise and fall together.",
        columns, 4);
    const char *after = study->flows ? "mean, after costs and dividends" : "mean, after costs";
    mean_row(table, study->costs_matter ? after : "mean", &study->mean_r);
    if (study->costs_matter)
        mean_row(table, "mean, before costs", &study->mean_r_before);
    table_text(table, "win rate");
    table_decimals(table, 3, study->win_rate);
    table_range(table, 3, study->win_limits.low, study->win_limits.high);
    table_text(table, "");
    figure_row(table, "median", 3, study->median_r);
    figure_row(table, "standard deviation", 3, study->sd_r);
    figure_row(table, "design effect of dates", 2, study->mean_r.design_effect);
    figure_row(table, "block of dates", 1, study->mean_r.block_length);
    figure_row(table, "profit factor", 2, study->profit_factor);
    figure_row(table, "average win over average loss", 2, study->payoff);
    figure_row(table, "largest drawdown", 1, study->max_drawdown_r);
    figure_row(table, "longest losing streak", 0, (double)study->longest_losing_streak);
    figure_row(table, "losing streak to expect by chance", 1, study->expected_longest_streak);
    figure_row(table, "mean bars held", 1, study->mean_bars);
    table_text(table, "worst excursion, median");
    table_signed(table, 2, study->mae_r[2]);
    table_signed_range(table, 2, study->mae_r[0], study->mae_r[4]);
    table_text(table, "(5 to 95%)");
    table_text(table, "best excursion, median");
    table_signed(table, 2, study->mfe_r[2]);
    table_signed_range(table, 2, study->mfe_r[0], study->mfe_r[4]);
    table_text(table, "(5 to 95%)");
}

static void control_row(struct table *table, const char *what, const char *name,
                        const struct study_control *control)
{
    char label[96];
    char trades[64];
    char fills[64];
    snprintf(label, sizeof label, "%s%s", what, name);
    table_text(table, label);
    table_signed(table, 3, control->control.difference.value);
    table_signed_range(table, 3, control->control.difference.low, control->control.difference.high);
    table_decimals(table, 4, control->control.difference.p);
    table_signed(table, 3, control->control.others_mean);
    snprintf(trades, sizeof trades, "%zu / %zu", control->control.setup, control->control.others);
    table_text(table, trades);
    double shares[2];
    for (size_t a = 0; a < 2; a++)
        shares[a] = control->signals[a] > 0
                        ? 100.0 * (double)control->filled[a] / (double)control->signals[a]
                        : 0;
    snprintf(fills, sizeof fills, "%.0f%% / %.0f%%", shares[0], shares[1]);
    table_text(table, fills);
}

static void controls(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"what is tested", "difference in R",
                                          "95% interval",   "p, one-sided",
                                          "without it",     "trades with / without",
                                          "filled"};
    struct table *table = document_results(
        document, "parts", "Does each part add anything?",
        "The same rules traded with and without the part, at like risk and on the same instruments; "
        "the difference, not the result, says what the part is good for. It is taken within "
        "instrument and size of risk, so it is not the one mean less the other.",
        columns, 7);
    control_row(table, "the candle, in its place", "", &study->candle);
    if (study->place.name != NULL)
        control_row(table, "the place, under the candle", "", &study->place);
    for (size_t k = 0; k < study->confirmation_count; k++)
        control_row(table, "", study->confirmations[k].name, &study->confirmations[k]);
}

static void same_bar(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"assumed of a bar that reached both", "mean R", "trades"};
    struct table
        *table = document_results(document, "same_bar", "One bar that reached both sides",
                                  "How much hangs on what cannot be seen inside a bar. Each "
                                  "rule makes its own trades, and its mean is over those; "
                                  "the trades that hung on it are counted among those of "
                                  "the worst, whatever the setup assumes.",
                                  columns, 3);
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        table_text(table, same_bar_name(study->same_bar_means[i].rule));
        table_signed(table, 3, study->same_bar_means[i].mean);
        table_count(table, study->same_bar_means[i].closed);
    }
    table_text(table, "trades that hung on it");
    table_text(table, "");
    table_count(table, study->same_bar);
}

static void reach(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"reached", "share of trades", "95% interval"};
    char label[32];
    struct table *table = document_results(
        document, "reach", "Reach before the first stop",
        "How far the trades went within the time stop, whatever the target.", columns, 3);
    for (size_t k = 0; k < REACH_COUNT; k++) {
        snprintf(label, sizeof label, "%g R", study->reach[k].level);
        table_text(table, label);
        table_decimals(table, 3, study->reach[k].share);
        table_range(table, 3, study->reach[k].limits.low, study->reach[k].limits.high);
    }
}

static void followed(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"bars later", "difference in ATR", "95% interval",
                                          "p, one-sided"};
    char label[32];
    struct table *table = document_results(
        document, "followed", "What followed the candle",
        "Move of the close after candidates less that after the other bars of the place, in the "
        "setup's direction: no entry, no stop in it.",
        columns, 4);
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        snprintf(label, sizeof label, "%zu", study->followed[h].bars);
        mean_row(table, label, &study->followed[h].difference);
    }
}

static void frequency(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"a year and instrument", "in its place", "anywhere"};
    double years = study->instrument_years;
    struct table *table = document_results(
        document, "frequency", "How often",
        "Candles of the shape and confirmed signals, with and without the place.", columns, 3);
    table_text(table, "candles");
    table_decimals(table, 2, (double)study->candidates / years);
    table_decimals(table, 2, (double)study->shapes / years);
    table_text(table, "signals");
    table_decimals(table, 2, (double)study->signals / years);
    table_decimals(table, 2, (double)study->shape_signals / years);
    table_text(table, "trades");
    table_decimals(table, 2, (double)study->filled / years);
    table_text(table, "");
}

static void beyond(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"stops", "value"};
    struct table *table = document_results(
        document, "beyond_stop", "Beyond the stop",
        "Stops that filled worse than the 1 R that was planned, because the market opened beyond "
        "them; before costs.",
        columns, 2);
    table_text(table, "stopped trades");
    table_count(table, study->stops);
    table_text(table, "share filled worse than -1 R");
    table_decimals(table, 3,
                   study->stops > 0 ? (double)study->stops_beyond / (double)study->stops : NAN);
    table_text(table, "of those: mean R beyond");
    table_decimals(table, 3, study->beyond_mean_r);
    table_text(table, "of those: worst R beyond");
    table_decimals(table, 3, study->beyond_worst_r);
}

static void needed(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"if the true mean were", "trades needed"};
    char label[64];
    struct table *table = document_results(
        document, "trades_needed", "Trades needed",
        "To find such a mean in four of five studies, with the spread and the common dates seen here.",
        columns, 2);
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        snprintf(label, sizeof label, "%g R%s", study->needed[k].mean_r,
                 k + 1 == NEEDED_COUNT ? " (worth trading)" : "");
        table_text(table, label);
        table_decimals(table, 0, ceil(study->needed[k].trades));
    }
}

static void split(struct document *document, const struct study_split *part)
{
    static const char *const columns[] = {"part", "mean R", "standard error", "trades", "dates"};
    static const char *const titles[SPLIT_KINDS] = {"By year", "By instrument",
                                                    "By volatility before the signal",
                                                    "By trend before the signal"};
    struct table *table = document_results(
        document, split_name(part->kind), titles[part->kind],
        "Parts of fewer than 20 dates take no part in the test of whether the parts differ.",
        columns, 5);
    for (size_t c = 0; c < part->count; c++) {
        if (part->cells[c].trades == 0)
            continue;
        table_text(table, part->cells[c].label);
        table_signed(table, 3, part->cells[c].mean);
        table_decimals(table, 3, part->cells[c].deviation);
        table_count(table, part->cells[c].trades);
        table_count(table, part->cells[c].dates);
    }
    table_text(table, "p that they differ by chance");
    table_decimals(table, 3, part->p);
    table_blank(table, 3);
}

static void levels_row(struct table *table, const char *name, const double *levels, int places,
                       double scale, bool with_sign)
{
    table_text(table, name);
    for (size_t i = 0; i < RUIN_LEVELS; i++) {
        if (with_sign)
            table_signed(table, places, scale * levels[i]);
        else
            table_decimals(table, places, scale * levels[i]);
    }
}

static void chance_row(struct table *table, const char *name, double chance)
{
    if (isnan(chance))
        return;
    table_text(table, name);
    table_decimals(table, 3, chance);
    table_blank(table, RUIN_LEVELS - 1);
}

static void next(struct document *document, const struct study *study)
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
    struct table *table = document_results(document, "next", "The next trades",
                                           estimate_has_p(&study->mean_r) ? drawn : repeated,
                                           columns, 1 + RUIN_LEVELS);
    table_text(table, "trades");
    table_count(table, study->next_trades);
    table_blank(table, RUIN_LEVELS - 1);
    table_text(table, "at risk on each, % of the account");
    table_decimals(table, 2, 100 * study->risk);
    table_blank(table, RUIN_LEVELS - 1);
    levels_row(table, "sum of R", study->next.band_r, 1, 1, true);
    levels_row(table, "largest drawdown, R", study->next.drawdown_r, 1, 1, false);
    levels_row(table, "largest drawdown, % of the account", study->next.drawdown_share, 1, 100,
               false);
    levels_row(table, "longest losing streak", study->next.streak, 0, 1, false);
    levels_row(table, "account, times what it was", study->next.growth, 3, 1, false);
    chance_row(table, "chance to end lower", study->next.loses);
    chance_row(table, "chance to reach the daily limit", study->next.hits_daily);
    chance_row(table, "chance to reach the total limit", study->next.hits_total);
    chance_row(table, "chance to reach the trailing limit", study->next.hits_trailing);
    table_text(table, "Kelly's fraction, % (seen, low, high; half)");
    table_decimals(table, 1, 100 * study->next.kelly);
    table_decimals(table, 1, 100 * study->next.kelly_low);
    table_decimals(table, 1, 100 * study->next.kelly_high);
    table_decimals(table, 1, 50 * study->next.kelly);
    table_text(table, "");
}

static void resampled(struct document *document, const struct study *study)
{
    static const char *const columns[] = {"markets that might have been", "value"};
    struct table *table = document_results(
        document, "resampled", "Resampled markets",
        "The same study on markets rebuilt from their bars' moves by dates drawn at random, in which "
        "no candle can know what follows.",
        columns, 2);
    table_text(table, "markets");
    table_count(table, study->resampled_markets);
    table_text(table, "their mean R");
    table_signed(table, 3, study->resampled_mean);
    table_text(table, "95% of them");
    table_signed_range(table, 3, study->resampled_low, study->resampled_high);
    table_text(table, "p, one-sided");
    table_decimals(table, 4, study->resampled_p);
}

void study_tables(struct document *document, const struct study *study)
{
    results(document, study);
    controls(document, study);
    same_bar(document, study);
    reach(document, study);
    followed(document, study);
    beyond(document, study);
    needed(document, study);
    frequency(document, study);
    for (size_t k = 0; k < SPLIT_KINDS; k++)
        if (k == SPLIT_YEAR || !isnan(study->splits[k].p))
            split(document, &study->splits[k]);
    if (study->next_trades > 0 && study->closed > 0)
        next(document, study);
    if (study->resampled_markets > 0)
        resampled(document, study);
}
