/* The answer of a study: what it comes to in a line, and three sentences: what happened
 * and how sure that is, what it may be due to, and what it would take to know. */
#include "answer/answer_parts.h"

#include "base/calendar.h"

#include <math.h>

/* Years beyond which it is idle to wait. */
enum { LONGEST_HISTORY = 200 };

static const char *trades_of(size_t count)
{
    return count == 1 ? "trade" : "trades";
}

static const char *costs_of(const struct study *study)
{
    return !study->costs_matter ? "before costs"
           : study->flows       ? "after costs and dividends"
                                : "after costs";
}

/* Whether a mean that stands alone does not among the trials of its family. */
static bool lost_among(const struct study_trials *trials)
{
    return trials != NULL && trials->family > 1 && trials->p_adjusted > 0.05;
}

static void say_without(struct text *text, const struct study *study)
{
    text_append(text, study->bars == 0 ? "nothing happened: there is no bar to look at."
                      : study->candidates == 0
                          ? "nothing happened: no candle of this setup was found "
                            "in its place."
                      : study->signals == 0 ? "nothing happened: no candidate was confirmed."
                                            : "nothing happened: no trade was entered and closed.");
}

static void say_luck(struct text *text, const struct study *study,
                     const struct study_trials *trials)
{
    const struct estimate *mean = &study->mean_r;
    bool sure = mean->low > 0 || mean->high < 0;
    if (mean->method == ESTIMATE_NONE)
        text_append(text, ", too few, or too much alike, to say whether that was luck");
    else if (mean->low > 0 && lost_among(trials))
        text_append_format(text,
                           " (95%% interval %+.2f to %+.2f R), which would be more than luck by "
                           "itself, but is not among the %zu trials of its family",
                           mean->low, mean->high, trials->family);
    else
        text_append_format(text, "%s (95%% interval %+.2f to %+.2f R)",
                           sure ? ", more than luck alone would explain"
                                : ", which may well be luck",
                           mean->low, mean->high);
    if (sure && mean->method == ESTIMATE_WINS)
        text_append(text, ", though by the win rate of few trades only");
}

static void say_what_happened(struct text *text, const struct study *study,
                              const struct study_trials *trials)
{
    const struct estimate *mean = &study->mean_r;
    if (study->closed == 0) {
        say_without(text, study);
        return;
    }
    if (study->bars_cannot_tell) {
        text_append_format(text,
                           "these bars cannot tell whether it gained or lost: of %zu %s %zu hung "
                           "on what came first within one bar.",
                           study->closed, trades_of(study->closed), study->same_bar);
        return;
    }
    text_append_format(text, "it %s %.2f R a trade on average over %zu %s, %s",
                       mean->value >= 0 ? "gained" : "lost", fabs(mean->value), study->closed,
                       trades_of(study->closed), costs_of(study));
    say_luck(text, study, trials);
    text_append(text, ".");
}

static bool adds(const struct study_control *control)
{
    return control->name != NULL && estimate_has_p(&control->control.difference) &&
           control->control.difference.low > 0;
}

static bool harms(const struct study_control *control)
{
    return estimate_has_p(&control->control.difference) && control->control.difference.high < 0;
}

static void say_interval(struct text *text, const struct estimate *estimate)
{
    text_append_format(text, " (95%% interval %+.2f to %+.2f R)", estimate->low, estimate->high);
}

static void say_due_to(struct text *text, const struct study *study)
{
    const struct estimate *difference = &study->candle.control.difference;
    const struct estimate *place = &study->place.control.difference;
    if (study->closed == 0)
        text_append(text, "So nothing is known of the candle, nor of its place.");
    else if (study->bars_cannot_tell)
        text_append(text, "So what the candle or its place is good for is not known either.");
    else if (adds(&study->candle) || harms(&study->candle)) {
        text_append_format(text,
                           "%s: traded by the same rules it made %.2f R %s than other bars of its "
                           "place",
                           adds(&study->candle) ? "The candle has a part in it"
                                                : "It is not due to the candle",
                           fabs(difference->value), adds(&study->candle) ? "more" : "less");
        say_interval(text, difference);
        text_append(text, adds(&study->candle) && adds(&study->place)
                              ? ", and the place has one too."
                              : ".");
    } else if (adds(&study->place)) {
        text_append_format(text,
                           "It may be due to the place: the same candle made %.2f R more there "
                           "than elsewhere",
                           place->value);
        say_interval(text, place);
        text_append(text, "; that the candle adds to its place cannot be said.");
    } else
        text_append(text, study->place.name != NULL
                              ? "Whether the candle, its place or neither has a part in that is "
                                "not known."
                              : "Whether the candle has a part in that is not known.");
}

/* Years that so many more trades would take, at the pace seen; NaN where none
 * is. */
static double years_for(const struct study *study, double trades)
{
    double years = (double)(study->last_time - study->first_time) / SECONDS_PER_DAY / 365.25;
    return years > 0 && study->closed > 0 ? trades * years / (double)study->closed : NAN;
}

/* Said where the two stand beside each other as if they disagreed. How many trades the
 * mean seen would take is not asked (docs/method.md 10.6). */
static void say_seen(struct text *text, const struct study *study)
{
    const struct estimate *mean = &study->mean_r;
    if (mean->low > 0 && mean->value > study->least_mean_r)
        text_append_format(text, "; one as large as the %.2f R seen takes fewer", mean->value);
}

static void say_what_it_takes(struct text *text, const struct study *study)
{
    double needed = ceil(study->needed[NEEDED_COUNT - 1].trades);
    double more = needed - (double)study->closed;
    double years = years_for(study, more);
    if (study->closed > 0 && study->bars_cannot_tell) {
        text_append(text, "It would take finer bars, which show what came first.");
        return;
    }
    if (!(needed >= 1) || study->mean_r.method == ESTIMATE_NONE) {
        text_append(text, "To know more takes more trades: more history, more instruments, or a "
                          "setup that is met more often.");
        return;
    }
    if (more <= 0) {
        text_append_format(text,
                           "There are trades enough to tell a mean of %.2f R from nothing; what is "
                           "left is to judge the setup, unchanged, on bars that are still to come.",
                           study->least_mean_r);
        return;
    }
    text_append_format(text,
                       "To tell a true mean of only %.2f R, the least worth trading, from nothing "
                       "takes about %.0f such trades, %.0f more than there are",
                       study->least_mean_r, needed, more);
    if (years > LONGEST_HISTORY)
        text_append(text, ", which no history of these instruments will have");
    else if (years >= 1)
        text_append_format(text, ", or about %.0f more %s of these instruments", years,
                           years < 1.5 ? "year" : "years");
    say_seen(text, study);
    text_append(text, ".");
}

/* Only what the intervals allow, in as few words. */
static const char *verdict(const struct study *study, const struct study_trials *trials)
{
    const struct estimate *mean = &study->mean_r;
    if (study->closed == 0)
        return "No trade to judge it by.";
    if (study->bars_cannot_tell)
        return "These bars cannot tell.";
    if (!estimate_has_p(mean))
        return "Too few trades to judge it by, or too much alike.";
    if (mean->high < 0)
        return "Lost, more than luck alone would explain.";
    if (!(mean->low > 0))
        return "May be luck.";
    if (lost_among(trials))
        return "May be luck, among so many trials.";
    return adds(&study->candle)    ? "Gained, and the candle has a part in it."
           : harms(&study->candle) ? "Gained, but not by the candle."
                                   : "Gained, but not shown to be the candle's doing.";
}

void study_headline(struct text *text, const struct study *study, const struct study_trials *trials)
{
    text_append(text, verdict(study, trials));
    if (study->closed > 0 && !study->costs_matter)
        text_append(text, " No costs are in it.");
    text_append_char(text, '\n');
}

void study_answer(struct text *text, const char *title, const struct study *study,
                  const struct study_trials *trials)
{
    text_append_format(text, "%s: ", title);
    say_what_happened(text, study, trials);
    text_append_char(text, '\n');
    say_due_to(text, study);
    text_append_char(text, '\n');
    say_what_it_takes(text, study);
    text_append_char(text, '\n');
}

void study_beside(struct text *text, const struct study *study)
{
    if (study->closed == 0)
        return;
    text_append_format(text, "Win rate %.0f%%", 100 * study->win_rate);
    if (!isnan(study->win_limits.low))
        text_append_format(text, " (95%% interval %.0f to %.0f%%)", 100 * study->win_limits.low,
                           100 * study->win_limits.high);
    text_append_format(text, ", longest losing streak %zu %s, deepest drawdown %.1f R.\n",
                       study->longest_losing_streak, trades_of(study->longest_losing_streak),
                       study->max_drawdown_r);
}
