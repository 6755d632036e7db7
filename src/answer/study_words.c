#include "answer/answer_parts.h"

#include "base/calendar.h"
#include "base/number.h"
#include "base/words.h"

#include <math.h>
#include <string.h>

static void say_count(struct text *text, size_t count, const char *one, const char *many)
{
    text_append_format(text, "%zu %s", count, count == 1 ? one : many);
}

static void say_scope(struct text *text, const struct study *study)
{
    char first[CALENDAR_TEXT_SIZE];
    char last[CALENDAR_TEXT_SIZE];
    if (study->bars == 0)
        return;
    time_format(first, study->first_time, true);
    time_format(last, study->last_time, true);
    say_count(text, study->instruments, "instrument", "instruments");
    text_append_format(text, " from %s to %s (%.0f instrument-years): ", first, last,
                       study->instrument_years);
    say_count(text, study->candidates, "candidate", "candidates");
    text_append(text, ", ");
    say_count(text, study->signals, "signal", "signals");
    text_append(text, ", ");
    say_count(text, study->closed, "closed trade", "closed trades");
    text_append_format(text, " on %zu different %s of entry", study->mean_r.dates,
                       study->mean_r.dates == 1 ? "date" : "dates");
    if (study->open_at_end > 0)
        text_append_format(text, ", %zu still open at the end and in no figure",
                           study->open_at_end);
    text_append(text, ".\n");
}

/* What could not be told, and what may have been known too late; nothing for 0. */
static void say_doubts(struct text *text, const struct study *study)
{
    if (study->untold > 0) {
        say_count(text, study->untold, "candle", "candles");
        text_append(text,
                    " more cannot be told: nothing that is known fails, but events, levels of "
                    "your own or volume are missing there. ");
    }
    if (study->dated_back > 0) {
        say_count(text, study->dated_back, "trade rests", "trades rest");
        text_append(text,
                    " on a level that was brought in with an older date: who drew it may have "
                    "known what followed. ");
    }
    if (study->untold > 0 || study->dated_back > 0)
        text_append(text, "\n");
}

static void say_nothing(struct text *text, const struct study *study)
{
    text_append(text, "Nothing can be said: ");
    if (study->bars == 0)
        text_append(text, "there is no bar to look at.");
    else if (study->candidates == 0)
        text_append(text, "no candle of this setup was found in its place.");
    else if (study->signals == 0)
        text_append(text, "no candidate was confirmed.");
    else
        text_append(text, "no trade was entered and closed.");
    text_append(text, " ");
}

/* What the 95% interval of the mean allows to be said. */
static void say_mean(struct text *text, const struct study *study)
{
    const struct estimate *mean = &study->mean_r;
    const char *after = !study->costs_matter ? "before costs, of which none were given"
                        : study->flows       ? "after costs and dividends"
                                             : "after costs";
    if (mean->method == ESTIMATE_NONE) {
        text_append_format(
            text,
            "Nothing can be said beyond these trades themselves: there are too few, or "
            "too much alike, for an interval. Their mean was %+.2f R %s. ",
            mean->value, after);
        return;
    }
    if (mean->method == ESTIMATE_WINS) {
        text_append_format(
            text,
            "Next to nothing can be said: with %s there is only the win rate "
            "to go by, and its limits, carried over to R by the average win and loss, "
            "reach from %+.2f to %+.2f R around a mean of %+.2f R %s. ",
            mean->dates < BOOTSTRAP_DATES ? "so few trades" : "trades so much alike", mean->low,
            mean->high, mean->value, after);
        return;
    }
    if (mean->low > 0)
        text_append_format(text,
                           "Over these trades the setup gained: %+.2f R a trade %s, and the 95%% "
                           "interval, %+.2f to %+.2f R, lies above 0. ",
                           mean->value, after, mean->low, mean->high);
    else if (mean->high < 0)
        text_append_format(text,
                           "Over these trades the setup lost: %+.2f R a trade %s, and the 95%% "
                           "interval, %+.2f to %+.2f R, lies below 0. ",
                           mean->value, after, mean->low, mean->high);
    else
        text_append_format(
            text,
            "Whether the setup gains or loses cannot be said: the mean was %+.2f R a "
            "trade %s, but the 95%% interval, %+.2f to %+.2f R, holds 0. ",
            mean->value, after, mean->low, mean->high);
    if (mean->method == ESTIMATE_STUDENT && mean->freedom < 15)
        text_append_format(text,
                           "That interval rests on about %.0f independent blocks of dates only. ",
                           mean->freedom + 1);
}

static void say_candle(struct text *text, const struct study *study)
{
    const struct control *control = &study->candle.control;
    const struct estimate *difference = &control->difference;
    if (isnan(difference->value)) {
        text_append(text,
                    "Whether the candle adds anything to its place cannot be said: no other bar "
                    "of the place could be traded beside it. ");
        return;
    }
    text_append_format(text,
                       "Other bars of the same place, traded by the same rules, made %+.2f R "
                       "(%zu %s); the candle's own trades made %+.2f R %s",
                       control->others_mean, control->others,
                       count_word(control->others, "trade", "trades"), fabs(difference->value),
                       difference->value >= 0 ? "more" : "less");
    if (!estimate_has_p(difference))
        text_append(text, ", which with so few of them says nothing about the candle. ");
    else if (difference->low > 0)
        text_append_format(
            text,
            " (95%% interval %+.2f to %+.2f R): here the candle adds something to its "
            "place. ",
            difference->low, difference->high);
    else if (difference->high < 0)
        text_append_format(
            text,
            " (95%% interval %+.2f to %+.2f R): here the candle is worse than the other "
            "bars of its place. ",
            difference->low, difference->high);
    else
        text_append_format(
            text,
            " (95%% interval %+.2f to %+.2f R), so it cannot be said that the candle "
            "adds anything to its place. ",
            difference->low, difference->high);
}

static void say_needed(struct text *text, const struct study *study)
{
    double needed = study->needed[NEEDED_COUNT - 1].trades;
    /* Trades without any spread would take none. */
    if (!(needed >= 1))
        return;
    text_append_format(
        text,
        "To tell a true mean of %.2f R, which would make it worth trading, from nothing "
        "takes about %.0f such trades; there are %zu. ",
        study->least_mean_r, ceil(needed), study->closed);
}

static void say_trials(struct text *text, const struct study_trials *trials)
{
    if (trials == NULL)
        return;
    text_append_format(text, "This is trial %zu of its family on overlapping data and %zu of all. ",
                       trials->family, trials->all);
    if (!isnan(trials->p_adjusted) && trials->family > 1)
        text_append_format(text, "With that many trials its p becomes %.3f. ", trials->p_adjusted);
    if (!isnan(trials->p_reality_check) && trials->family > 1)
        text_append_format(
            text,
            "The best of the family would look as good as it does with chance %.3f if "
            "all of them were worthless. ",
            trials->p_reality_check);
    if (trials->sealed_from != NULL)
        text_append_format(text, "Bars from %s on are sealed and were not looked at. ",
                           trials->sealed_from);
}

void study_opening(struct text *text, const struct study *study, const struct study_trials *trials)
{
    if (study->closed == 0) {
        say_nothing(text, study);
        text_append(text, "\n");
    } else {
        if (study->bars_cannot_tell)
            text_append_format(
                text,
                "These bars cannot tell: on %zu of the trades one bar reached both sides, and the mean "
                "is %+.2f R where the worst is assumed of them and %+.2f R where the best is, each "
                "over the trades which that makes. ",
                study->same_bar, study->same_bar_means[SAME_BAR_WORST].mean,
                study->same_bar_means[SAME_BAR_BEST].mean);
        say_mean(text, study);
        text_append(text, "\n");
        say_candle(text, study);
        text_append(text, "\n");
        say_needed(text, study);
        text_append(text, "\n");
    }
    say_trials(text, trials);
    if (study->ended == 0)
        text_append(text,
                    "None of the instruments ended inside the range: these are survivors, and "
                    "buying after a fall looks better on survivors than it was. ");
    text_append(text, "\n");
    say_scope(text, study);
    say_doubts(text, study);
}
