#include "base/former.h"

#include <stddef.h>
#include <string.h>

static const struct {
    enum former_use use;
    const char *before;
    const char *now;
} words[] = {
    {FORMER_SETUP, "mean", "average"},
    {FORMER_SETUP, "exponential_mean", "exponential_average"},
    {FORMER_SETUP, "wilder_mean", "wilder_average"},
    {FORMER_SETUP, "mean_volume", "average_volume"},
    {FORMER_SETUP, "close_above_mean", "close_above_average"},
    {FORMER_SETUP, "close_below_mean", "close_below_average"},
    {FORMER_SETUP, "volume_above_mean", "volume_above_average"},
    {FORMER_SETUP, "mean_rising", "average_rising"},
    {FORMER_SETUP, "mean_falling", "average_falling"},
    {FORMER_SETUP, "body_max_mean", "body_max_average"},
    {FORMER_SETUP, "long_min_means", "long_min_averages"},
    {FORMER_SETUP, "at_own_mark", "at_own_level"},
    {FORMER_SETUP, "time_limit", "time_stop"},
    {FORMER_SETUP, "worth_r", "least_mean_r"},
    {FORMER_INSTRUMENT, "lot_step", "size_step"},
    {FORMER_INSTRUMENT, "coin", "cryptocurrency"},
    {FORMER_INTERVAL, "mo", "month"},
};

const char *former_word(enum former_use use, const char *word)
{
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (words[i].use == use && strcmp(words[i].before, word) == 0)
            return words[i].now;
    return NULL;
}

const char *word_before(enum former_use use, const char *now)
{
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (words[i].use == use && strcmp(words[i].now, now) == 0)
            return words[i].before;
    return NULL;
}

bool former_words_in(enum former_use use, const char *text)
{
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (words[i].use == use && strstr(text, words[i].before) != NULL)
            return true;
    return false;
}
