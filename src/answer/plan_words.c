#include "answer/plan_words.h"

#include "base/words.h"
#include "draw/ticks.h"

#include <math.h>

static void append_r(struct text *text, double r)
{
    char number[TICK_TEXT_SIZE];
    number_text(r, 2, number);
    text_append_format(text, "%s%s", r > 0 ? "+" : "", number);
}

/* Of orders that have their R. */
static void append_results(struct text *text, const struct planned_orders *orders)
{
    char risk[TICK_TEXT_SIZE];
    number_text(orders->risk, decimals_of(orders->tick), risk);
    text_append_format(text, "1 R is %s. After costs ", risk);
    if (isfinite(orders->at_target)) {
        append_r(text, (orders->at_target - orders->costs_target) / orders->risk);
        text_append(text, " R at the target, ");
    }
    append_r(text, -1 - orders->costs_stop / orders->risk);
    text_append(text, " R at the stop");
    if (orders->costs_stop == 0)
        text_append(text, "; neither setup nor instrument states any costs");
    text_append_char(text, '.');
    if (orders->targets > 1)
        text_append_format(text, " The nearest of %zu targets is drawn.", orders->targets);
}

void orders_words(struct text *text, const struct planned_orders *orders, bool is_short)
{
    if (orders->note[0] != '\0')
        text_append_format(text, "There is no entry by this rule: %s.", orders->note);
    else if (isnan(orders->stop))
        text_append(text, "The stop is known only once the entry is; put one in to see its R.");
    else if (isnan(orders->risk))
        text_append_format(text, "The stop does not stand %s the entry: there is no R.",
                           is_short ? "above" : "below");
    else
        append_results(text, orders);
}

void plan_study_words(struct text *text, const struct plan_study *study, const char *date)
{
    if (!study->found) {
        text_append(text, "No study of this setup is in the ledger: what such orders came to "
                          "before is not known.");
        return;
    }
    text_append_format(text, "The study of %s, %lld closed %s on %zu %s: mean ", date,
                       (long long)study->closed,
                       count_word((uint64_t)study->closed, "trade", "trades"), study->instruments,
                       count_word(study->instruments, "instrument", "instruments"));
    if (!isfinite(study->mean_r)) {
        text_append(text, "not known.");
        return;
    }
    append_r(text, study->mean_r);
    text_append(text, " R");
    if (isfinite(study->low) && isfinite(study->high)) {
        text_append(text, ", 95 % interval ");
        append_r(text, study->low);
        text_append(text, " to ");
        append_r(text, study->high);
        text_append(text, " R");
    }
    text_append_char(text, '.');
}

void plan_study_figure_words(struct text *text, const struct plan_study *study)
{
    if (!study->found) {
        text_append(text, "not studied");
        return;
    }
    text_append_format(text, "%lld %s", (long long)study->closed,
                       count_word((uint64_t)study->closed, "trade", "trades"));
    if (!isfinite(study->mean_r))
        return;
    text_append(text, ", mean ");
    append_r(text, study->mean_r);
    text_append(text, " R");
    if (!isfinite(study->low) || !isfinite(study->high))
        return;
    text_append(text, " (");
    append_r(text, study->low);
    text_append(text, " to ");
    append_r(text, study->high);
    text_append_char(text, ')');
}

void plan_study_short_words(struct text *text, const struct plan_study *study)
{
    plan_study_figure_words(text, study);
    if (study->found && isfinite(study->mean_r) && study->low <= 0 && study->high >= 0)
        text_append(text, ", may be luck");
}
