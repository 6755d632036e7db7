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

/* What the interval of the mean rests on, where that is little. */
static void say_mean(struct text *text, const struct study *study)
{
    const struct estimate *mean = &study->mean_r;
    if (mean->method == ESTIMATE_WINS)
        text_append_format(text,
                           "Next to nothing can be said: with %s there is only the win rate to go "
                           "by, and the interval is its limits, carried over to R by the average "
                           "win and loss. ",
                           mean->dates < BOOTSTRAP_DATES ? "so few trades"
                                                         : "trades so much alike");
    if (mean->method == ESTIMATE_STUDENT && mean->freedom < 15)
        text_append_format(text,
                           "The interval of the mean rests on about %.0f independent blocks of "
                           "dates only. ",
                           mean->freedom + 1);
}

/* The other bars that the candle is measured by. */
static void say_candle(struct text *text, const struct study *study)
{
    const struct control *control = &study->candle.control;
    const struct estimate *difference = &control->difference;
    if (isnan(difference->value)) {
        text_append(text, "No other bar of the place could be traded beside the candle. ");
        return;
    }
    text_append_format(text,
                       "Other bars of the same place, traded by the same rules, made %+.2f R "
                       "(%zu %s)",
                       control->others_mean, control->others,
                       count_word(control->others, "trade", "trades"));
    bool unsure = !estimate_has_p(difference) || (difference->low <= 0 && difference->high >= 0);
    if (unsure)
        text_append_format(text, "; the candle's own trades made %.2f R %s",
                           fabs(difference->value), difference->value >= 0 ? "more" : "less");
    if (!estimate_has_p(difference))
        text_append(text, ", which with so few of them says nothing about the candle");
    else if (unsure)
        text_append_format(text, " (95%% interval %+.2f to %+.2f R)", difference->low,
                           difference->high);
    text_append(text, ". ");
}

static void say_trials(struct text *text, const struct study_trials *trials)
{
    if (trials == NULL)
        return;
    text_append_format(
        text,
        "This is trial %zu of its family on overlapping data and %zu of all, counted when "
        "it was asked. ",
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
    if (study->closed > 0) {
        if (study->bars_cannot_tell)
            text_append_format(
                text,
                "On %zu of the trades one bar reached both sides, and the mean is %+.2f R where the "
                "worst is assumed of them and %+.2f R where the best is, each over the trades which "
                "that makes. ",
                study->same_bar, study->same_bar_means[SAME_BAR_WORST].mean,
                study->same_bar_means[SAME_BAR_BEST].mean);
        say_mean(text, study);
        text_append(text, "\n");
        say_candle(text, study);
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
