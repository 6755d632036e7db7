/* The tables of a study as text cells. */
#include "evidence/study_words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct filling {
    struct study_sections *sections;
    struct study_section *now;
    size_t cell;
};

static void begin(struct filling *filling, const char *title, const char *note,
                  const char *const *columns, size_t count)
{
    struct study_section *section = &filling->sections->list[filling->sections->count++];
    *section = (struct study_section){.title = title, .note = note, .column_count = count};
    for (size_t c = 0; c < count; c++)
        section->columns[c] = columns[c];
    text_init(&section->cells);
    filling->now = section;
    filling->cell = 0;
}

static void cell(struct filling *filling, const char *content)
{
    text_append_bytes(&filling->now->cells, content, strlen(content) + 1);
    if (++filling->cell == filling->now->column_count) {
        filling->cell = 0;
        filling->now->row_count++;
    }
}

static void cell_format(struct filling *filling, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void cell_format(struct filling *filling, const char *format, ...)
{
    char content[96];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(content, sizeof content, format, arguments);
    va_end(arguments);
    cell(filling, content);
}

/* With so many decimals; with a sign. */
static void number(struct filling *filling, int places, double value)
{
    if (isfinite(value))
        cell_format(filling, "%.*f", places, value);
    else
        cell(filling, "–");
}

static void signed_number(struct filling *filling, int places, double value)
{
    if (isfinite(value))
        cell_format(filling, "%+.*f", places, value);
    else
        cell(filling, "–");
}

static void count(struct filling *filling, size_t value)
{
    char content[32];
    snprintf(content, sizeof content, "%zu", value);
    cell(filling, content);
}

static void range(struct filling *filling, int places, double low, double high)
{
    if (isnan(low) || isnan(high))
        cell(filling, "–");
    else
        cell_format(filling, "%.*f to %.*f", places, low, places, high);
}

static void signed_range(struct filling *filling, int places, double low, double high)
{
    if (isnan(low) || isnan(high))
        cell(filling, "–");
    else
        cell_format(filling, "%+.*f to %+.*f", places, low, places, high);
}

static void mean_row(struct filling *filling, const char *name, const struct estimate *estimate)
{
    cell(filling, name);
    signed_number(filling, 3, estimate->value);
    signed_range(filling, 3, estimate->low, estimate->high);
    number(filling, 4, estimate->p);
}

static void figure_row(struct filling *filling, const char *name, int places, double value)
{
    cell(filling, name);
    number(filling, places, value);
    cell(filling, "");
    cell(filling, "");
}

static void results(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"figure", "value", "95% interval", "p, one-sided"};
    begin(
        filling, "Results in R",
        "Intervals and p come from blocks of dates, not from single trades: trades of one date, and "
        "of overlapping days, rise and fall together.",
        columns, 4);
    mean_row(filling, study->costs_matter ? "mean, after costs" : "mean", &study->mean_r);
    if (study->costs_matter)
        mean_row(filling, "mean, before costs", &study->mean_r_before);
    cell(filling, "win rate");
    number(filling, 3, study->win_rate);
    range(filling, 3, study->win_limits.low, study->win_limits.high);
    cell(filling, "");
    figure_row(filling, "median", 3, study->median_r);
    figure_row(filling, "standard deviation", 3, study->sd_r);
    figure_row(filling, "design effect of dates", 2, study->mean_r.deff);
    figure_row(filling, "block of dates", 1, study->mean_r.block_length);
    figure_row(filling, "profit factor", 2, study->profit_factor);
    figure_row(filling, "average win over average loss", 2, study->payoff);
    figure_row(filling, "largest drawdown", 1, study->max_drawdown_r);
    figure_row(filling, "longest losing streak", 0, (double)study->longest_losing_streak);
    figure_row(filling, "losing streak to expect by chance", 1, study->expected_longest_streak);
    figure_row(filling, "mean bars held", 1, study->mean_bars);
    cell(filling, "worst excursion, median");
    signed_number(filling, 2, study->mae_r[2]);
    signed_range(filling, 2, study->mae_r[0], study->mae_r[4]);
    cell(filling, "(5 to 95%)");
    cell(filling, "best excursion, median");
    signed_number(filling, 2, study->mfe_r[2]);
    signed_range(filling, 2, study->mfe_r[0], study->mfe_r[4]);
    cell(filling, "(5 to 95%)");
}

static void control_row(struct filling *filling, const char *what, const char *name,
                        const struct study_control *control)
{
    char label[96];
    char trades[64];
    char fills[64];
    snprintf(label, sizeof label, "%s%s", what, name);
    cell(filling, label);
    signed_number(filling, 3, control->control.difference.value);
    signed_range(filling, 3, control->control.difference.low, control->control.difference.high);
    number(filling, 4, control->control.difference.p);
    signed_number(filling, 3, control->control.others_mean);
    snprintf(trades, sizeof trades, "%zu / %zu", control->control.setup, control->control.others);
    cell(filling, trades);
    double shares[2];
    for (size_t a = 0; a < 2; a++)
        shares[a] = control->signals[a] > 0
                        ? 100.0 * (double)control->filled[a] / (double)control->signals[a]
                        : 0;
    snprintf(fills, sizeof fills, "%.0f%% / %.0f%%", shares[0], shares[1]);
    cell(filling, fills);
}

static void controls(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"what is tested", "difference in R",
                                          "95% interval",   "p, one-sided",
                                          "without it",     "trades with / without",
                                          "filled"};
    begin(
        filling, "Does each part add anything?",
        "The same rules traded with and without the part, at like risk and on the same instruments; "
        "the difference, not the result, says what the part is good for.",
        columns, 7);
    control_row(filling, "the candle, in its place", "", &study->candle);
    if (study->place.name != NULL)
        control_row(filling, "the place, under the candle", "", &study->place);
    for (size_t k = 0; k < study->confirmation_count; k++)
        control_row(filling, "", study->confirmations[k].name, &study->confirmations[k]);
}

static void same_bar(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"assumed of a bar that reached both", "mean R", "trades"};
    begin(filling, "One bar that reached both sides",
          "How much hangs on what cannot be seen inside a bar.", columns, 3);
    for (size_t i = 0; i < SAME_BAR_COUNT; i++) {
        cell(filling, same_bar_name(study->same_bar_means[i].rule));
        signed_number(filling, 3, study->same_bar_means[i].mean);
        count(filling, study->same_bar_means[i].closed);
    }
    cell(filling, "trades that hung on it");
    cell(filling, "");
    count(filling, study->same_bar);
}

static void reach(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"reached", "share of trades", "95% interval"};
    char label[32];
    begin(filling, "Reach before the first stop",
          "How far the trades went within the time limit, whatever the target.", columns, 3);
    for (size_t k = 0; k < REACH_COUNT; k++) {
        snprintf(label, sizeof label, "%g R", study->reach[k].level);
        cell(filling, label);
        number(filling, 3, study->reach[k].share);
        range(filling, 3, study->reach[k].limits.low, study->reach[k].limits.high);
    }
}

static void followed(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"bars later", "difference in ATR", "95% interval",
                                          "p, one-sided"};
    char label[32];
    begin(filling, "What followed the candle",
          "Move of the close after candidates less that after the other bars of the place, in the "
          "setup's direction: no entry, no stop in it.",
          columns, 4);
    for (size_t h = 0; h < FOLLOWED_COUNT; h++) {
        snprintf(label, sizeof label, "%zu", study->followed[h].bars);
        mean_row(filling, label, &study->followed[h].difference);
    }
}

static void frequency(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"a year and instrument", "in its place", "anywhere"};
    double years = study->instrument_years;
    begin(filling, "How often",
          "Candles of the shape and confirmed signals, with and without the place.", columns, 3);
    cell(filling, "candles");
    number(filling, 2, (double)study->candidates / years);
    number(filling, 2, (double)study->shapes / years);
    cell(filling, "signals");
    number(filling, 2, (double)study->signals / years);
    number(filling, 2, (double)study->shape_signals / years);
    cell(filling, "trades");
    number(filling, 2, (double)study->filled / years);
    cell(filling, "");
}

static void beyond(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"stops", "value"};
    begin(filling, "Beyond the stop",
          "Stops that filled worse than the 1 R that was planned, because the market opened beyond "
          "them; before costs.",
          columns, 2);
    cell(filling, "stopped trades");
    count(filling, study->stops);
    cell(filling, "share filled worse than -1 R");
    number(filling, 3, study->stops > 0 ? (double)study->stops_beyond / (double)study->stops : NAN);
    cell(filling, "of those: mean R beyond");
    number(filling, 3, study->beyond_mean_r);
    cell(filling, "of those: worst R beyond");
    number(filling, 3, study->beyond_worst_r);
}

static void needed(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"if the true mean were", "trades needed"};
    char label[64];
    begin(
        filling, "Trades needed",
        "To find such a mean in four of five studies, with the spread and the common dates seen here.",
        columns, 2);
    for (size_t k = 0; k < NEEDED_COUNT; k++) {
        snprintf(label, sizeof label, "%g R%s", study->needed[k].mean_r,
                 k + 1 == NEEDED_COUNT ? " (worth trading)" : "");
        cell(filling, label);
        number(filling, 0, ceil(study->needed[k].trades));
    }
}

static void split(struct filling *filling, const struct study_split *part)
{
    static const char *const columns[] = {"part", "mean R", "standard error", "trades", "dates"};
    static const char *const titles[SPLIT_KINDS] = {"By year", "By instrument",
                                                    "By volatility before the signal",
                                                    "By trend before the signal"};
    begin(filling, titles[part->kind],
          "Parts of fewer than 20 dates take no part in the test of whether the parts differ.",
          columns, 5);
    for (size_t c = 0; c < part->count; c++) {
        if (part->cells[c].trades == 0)
            continue;
        cell(filling, part->cells[c].label);
        signed_number(filling, 3, part->cells[c].mean);
        number(filling, 3, part->cells[c].deviation);
        count(filling, part->cells[c].trades);
        count(filling, part->cells[c].dates);
    }
    cell(filling, "p that they differ by chance");
    number(filling, 3, part->p);
    cell(filling, "");
    cell(filling, "");
    cell(filling, "");
}

static void levels_row(struct filling *filling, const char *name, const double *levels, int places,
                       double scale, bool with_sign)
{
    cell(filling, name);
    for (size_t i = 0; i < RUIN_LEVELS; i++) {
        if (with_sign)
            signed_number(filling, places, scale * levels[i]);
        else
            number(filling, places, scale * levels[i]);
    }
}

static void chance_row(struct filling *filling, const char *name, double chance)
{
    if (isnan(chance))
        return;
    cell(filling, name);
    number(filling, 3, chance);
    for (size_t i = 1; i < RUIN_LEVELS; i++)
        cell(filling, "");
}

static void next(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"over the next trades", "5%", "25%", "50%", "75%", "95%"};
    begin(
        filling, "The next trades",
        "These trades drawn again in blocks of dates, as if the future were like them and "
        "their mean the true one, which is not known: what to be ready for, not what will come. Kelly's fraction is the largest growth there was in them; "
        "its interval is wide, and half of it is already bold.",
        columns, 1 + RUIN_LEVELS);
    cell(filling, "trades");
    count(filling, study->next_trades);
    for (size_t i = 1; i < RUIN_LEVELS; i++)
        cell(filling, "");
    cell(filling, "at risk on each, % of the account");
    number(filling, 2, 100 * study->risk);
    for (size_t i = 1; i < RUIN_LEVELS; i++)
        cell(filling, "");
    levels_row(filling, "sum of R", study->next.band_r, 1, 1, true);
    levels_row(filling, "largest drawdown, R", study->next.drawdown_r, 1, 1, false);
    levels_row(filling, "largest drawdown, % of the account", study->next.drawdown_share, 1, 100,
               false);
    levels_row(filling, "longest losing streak", study->next.streak, 0, 1, false);
    levels_row(filling, "account, times what it was", study->next.growth, 3, 1, false);
    chance_row(filling, "chance to end lower", study->next.loses);
    chance_row(filling, "chance to reach the daily limit", study->next.hits_daily);
    chance_row(filling, "chance to reach the total limit", study->next.hits_total);
    chance_row(filling, "chance to reach the trailing limit", study->next.hits_trailing);
    cell(filling, "Kelly's fraction, % (seen, low, high; half)");
    number(filling, 1, 100 * study->next.kelly);
    number(filling, 1, 100 * study->next.kelly_low);
    number(filling, 1, 100 * study->next.kelly_high);
    number(filling, 1, 50 * study->next.kelly);
    cell(filling, "");
}

static void resampled(struct filling *filling, const struct study *study)
{
    static const char *const columns[] = {"markets that might have been", "value"};
    begin(
        filling, "Resampled markets",
        "The same study on markets rebuilt from their bars' moves by dates drawn at random, in which "
        "no candle can know what follows.",
        columns, 2);
    cell(filling, "markets");
    count(filling, study->draws);
    cell(filling, "their mean R");
    signed_number(filling, 3, study->resampled_mean);
    cell(filling, "95% of them");
    signed_range(filling, 3, study->resampled_low, study->resampled_high);
    cell(filling, "p, one-sided");
    number(filling, 4, study->resampled_p);
}

int study_sections_init(struct study_sections *sections, const struct study *study,
                        struct error *error)
{
    struct filling filling = {.sections = sections};
    *sections = (struct study_sections){0};
    results(&filling, study);
    controls(&filling, study);
    same_bar(&filling, study);
    reach(&filling, study);
    followed(&filling, study);
    beyond(&filling, study);
    needed(&filling, study);
    frequency(&filling, study);
    for (size_t k = 0; k < SPLIT_KINDS; k++)
        if (k == SPLIT_YEAR || !isnan(study->splits[k].p))
            split(&filling, &study->splits[k]);
    if (study->next_trades > 0 && study->closed > 0)
        next(&filling, study);
    if (study->draws > 0)
        resampled(&filling, study);
    for (size_t s = 0; s < sections->count; s++)
        if (text_failed(&sections->list[s].cells))
            return error_memory(error);
    return ERROR_NONE;
}

void study_sections_free(struct study_sections *sections)
{
    for (size_t s = 0; s < sections->count; s++)
        text_free(&sections->list[s].cells);
    *sections = (struct study_sections){0};
}
