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

void plan_study_short_words(struct text *text, const struct plan_study *study)
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
    text_append(text, study->low <= 0 && study->high >= 0 ? ", may be nothing" : "");
}
